"""Cut scores and the statistics of marks, for instructors.

Knows judges, ratings and marks as numbers; must know no attempt, scenario or rubric. What is
rational is an exact fraction; what is undefined is None and shown as "–".
"""
