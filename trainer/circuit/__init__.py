"""A circuit of ideal elements, and the analyses that read it.

Knows nodes, branches, machines and devices; must not know what a contactor or a study is.
"""
