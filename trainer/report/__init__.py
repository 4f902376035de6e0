"""Pages that a learner and an instructor read: debrief, comparison, progress."""
