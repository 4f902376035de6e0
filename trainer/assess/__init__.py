"""Marks: from an attempt's events and a rubric to scores, critical errors and a verdict."""
