"""Wiring as nets: which terminals are one, how far two wirings are apart, and in what moves."""
