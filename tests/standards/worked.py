"""The worked numbers of sections 1.6 and 1.7, kept in one place. Knows numbers only.

Source of every number here and in the tests that name this module: assessment conventions of this
project, sections 1.6 and 1.7, recomputed here.
"""

JUDGES = [[0.9, 0.7, 0.6, 0.8, 0.5], [0.8, 0.6, 0.7, 0.9, 0.4], [0.85, 0.65, 0.5, 0.85, 0.6]]
RATINGS = [1, 2, 2, 3, 3, 4, 4, 5]
SCORES = [38, 52, 55, 61, 66, 74, 78, 90]
#: Eight learners by four items, totals 4 3 3 2 2 1 1 0.
ROWS = ["1111", "1110", "1101", "1010", "1100", "1000", "0100", "0000"]
X = [[int(c) for c in row] for row in ROWS]
#: Six persons by four scenarios.
Y = [[8, 7, 9, 6], [6, 6, 7, 5], [9, 8, 9, 8], [5, 4, 6, 5], [7, 7, 6, 6], [4, 5, 5, 3]]
RATER_1 = [int(c) for c in "1110010110"]
RATER_2 = [int(c) for c in "1100010111"]
