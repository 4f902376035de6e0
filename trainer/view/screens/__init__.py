"""Screens: pure functions from the state to one frame of shapes and nodes."""
