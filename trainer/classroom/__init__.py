"""The services of a class: roster, assignments, hand-ins, marks, release. Knows no face."""
