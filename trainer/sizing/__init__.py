"""Conductors, breaker, disconnect and start gear from a nameplate, each rule with its source.

Knows code tables and rules of the trade; must not know studies of other people.
"""
