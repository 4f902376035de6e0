"""The condensing unit as a learner finds it: parts in place, conductors with two ends, covers."""
