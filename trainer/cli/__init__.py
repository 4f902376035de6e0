"""The commands: what a person types and what is printed.

The only place that prints, reads the clock or knows exit codes. Physics and rules stay below.
"""
