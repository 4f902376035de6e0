"""Studies: a circuit of parts and wires, what is done to it, and how it becomes elements."""
