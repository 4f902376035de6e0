"""Screens over session. What is drawn is computed elsewhere; no physics and no marks in here."""
