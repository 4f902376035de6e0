"""What has terminals: each part writes itself down as elements of a circuit.

Knows one part at a time; must not know how parts are wired or what comes of it.
"""
