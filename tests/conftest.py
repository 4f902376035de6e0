"""For all tests: no window, steady random cases, all of them and no skips in CI.

A skip hides what was not checked. With CONDENSER_BENCH_CI=1 every skip, of a test or of a whole
file, is a failure that repeats the reason. Without it a run of the whole suite leaves out two of
three cases of large families, told as deselected, so that it ends in minutes.
"""

import os
from collections import Counter

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


#: A run of so many tests is one of the whole suite; families of more cases than this are thinned.
WHOLE, FAMILY, KEPT = 8000, 6, 3


def pytest_collection_modifyitems(config, items):
    """Of a large family the first cases and every third after them; everything in CI."""
    if CI or len(items) < WHOLE:
        return
    sizes = Counter(item.nodeid.partition("[")[0] for item in items)
    seen, kept, left = Counter(), [], []
    for item in items:
        family = item.nodeid.partition("[")[0]
        seen[family] += 1
        few = sizes[family] <= FAMILY or seen[family] <= KEPT
        (kept if few or seen[family] % KEPT == 0 else left).append(item)
    items[:] = kept
    config.hook.pytest_deselected(items=left)
