"""For all tests: no window, steady random cases, and in CI no skips.

A skip hides what was not checked. With CONDENSER_BENCH_CI=1 every skip, of a test or of a whole
file, is a failure that repeats the reason.
"""

import gc
import os
import sys
from pathlib import Path

# programs that tests start are quicker when compiled modules are kept
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
os.environ.setdefault("MPLBACKEND", "Agg")
# before numpy is imported: see trainer/__init__.py
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

sys.dont_write_bytecode = False
CI = os.environ.get("CONDENSER_BENCH_CI") == "1"

#: Cases that are drawn: where everything is checked the same many, elsewhere a few new ones.
DRAWN = 100 if CI else 35
settings.register_profile(
    "bench", deadline=None, derandomize=CI, print_blob=True, max_examples=DRAWN
)
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


def pytest_collection_finish():
    """What collecting made stays to the end: no later look for rubbish has to go over it."""
    gc.collect()
    gc.freeze()


#: The kernel is compiled once and kept for every process. With two workers the first begins with
#: what compiles it; the other has a while of tests that never step a circuit, and then finds it.
COMPILES = (
    "session/test_random_acts.py", "motor/test_fit.py", "session/test_jobs.py",
    "motor/test_reference_dq.py", "test_house.py", "store/test_crowd.py",
)  # fmt: skip
#: Files that take longest, most with outside tools or many processes: they begin first, so that no
#: worker is left alone with one at the end.
LONG = (
    *COMPILES,
    "view/test_window.py", "classroom/test_crowd.py", "test_class_story.py",
    "report/test_browser.py", "report/test_class_browser.py", "test_wheel.py",
    "view/test_random_inputs.py", "classroom/test_damage.py",
    "exchange/test_handin.py", "view/test_language.py", "starts/test_studies.py",
    "circuit/test_cross_radau.py", "circuit/test_cross_spice.py",
    "classroom/test_importing.py", "view/test_jobs_by_hand.py", "view/test_sizes.py",
    "view/test_client.py", "assess/test_golden.py",
)  # fmt: skip


def pytest_collection_modifyitems(items):
    rank = {name: n for n, name in enumerate(LONG)}
    here = Path(__file__).parent
    places = {p: p.relative_to(here).as_posix() for p in {item.path for item in items}}
    items.sort(key=lambda item: rank.get(places[item.path], len(rank)))
