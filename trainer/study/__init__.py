"""The file of parts, conductors and acts, and the circuit built from it.

Knows what was wired; must not know whether it is right.
"""
