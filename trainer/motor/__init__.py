"""The two-winding motor and its load: parameters, equations, phasors, nameplates.

Knows windings, fluxes and torque; must know nothing of the circuit around them.
"""
