"""For all tests: no window, steady random cases, and in CI no skips.

A skip hides what was not checked. With CONDENSER_BENCH_CI=1 every skip, of a test or of a whole
file, is a failure that repeats the reason.
"""

import os

os.environ.setdefault("MPLBACKEND", "Agg")
# before numpy is imported: see trainer/__init__.py
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

CI = os.environ.get("CONDENSER_BENCH_CI") == "1"

settings.register_profile("bench", deadline=None, derandomize=CI, print_blob=True)
settings.load_profile("bench")


def _fail_if_skipped(report):
    if CI and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped, which CI does not allow: {report.longrepr}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    return _fail_if_skipped((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector):
    return _fail_if_skipped((yield))
