"""Condenser Bench: wire a condensing unit on the bench, energise it, read what really happens.

The package root knows its version and nothing else; it must import nothing heavy, so that
every command starts quickly.
"""

import os

# matrices here are small: linear algebra in threads of its own only waits for itself. It has to
# be said before numpy is first imported; who sets the variable himself is left alone.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "0.1.0"
