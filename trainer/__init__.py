"""Condenser Bench: wire a condensing unit on the bench, energise it, read what really happens.

The package root knows its version and nothing else; it must import nothing, so that every
command starts quickly.
"""

__version__ = "0.1.0"
