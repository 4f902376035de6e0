"""The files that travel between instructor and learner, signed. Knows no class and no mark."""
