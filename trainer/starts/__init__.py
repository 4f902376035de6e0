"""What a start report says: figures from a trace, findings with their thresholds.

Knows what happened in a transient; must not know what somebody wanted to happen.
"""
