"""Ground floor: errors, units, fields, files and places.

Knows numbers, text and folders; must know nothing of circuits, motors or learners.
"""
