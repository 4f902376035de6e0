"""What is run only where everything is checked: with outside tools, or for minutes.

CONDENSER_BENCH_CI=1 says so; there a missing tool is a failure, not a skip. Knows that alone.
"""

import os

import pytest

CI = os.environ.get("CONDENSER_BENCH_CI") == "1"
only_in_ci = pytest.mark.skipif(not CI, reason="done where every check is: CONDENSER_BENCH_CI=1")
