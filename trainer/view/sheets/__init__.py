"""Sheets of the clipboard: each draws itself into a rectangle from what the bench knows."""
