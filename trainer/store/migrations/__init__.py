"""Revisions of the schema, one file each, in the order of their numbers.

A revision that was released is never edited: stores made with it exist. ``python -m
tests.store.revision WORDS`` writes the next one from what ``tables`` has become. Knows columns and
constraints as they were; must not import ``tables``.
"""
