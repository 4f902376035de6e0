"""The drawn terminal board: where parts stand, how conductors run, what can be pointed at."""
