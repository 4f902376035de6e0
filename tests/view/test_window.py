"""Jobs done in a real window, by mouse and by keyboard alone, give the events of their acts.

A job is gone on with from the home screen after its first act. Every job is done by mouse; by keys
the shortest one and one with wiring in a real window, all of them in ``test_jobs_by_hand.py``.
"""

import os
import shutil

import pytest

from tests.view.clicks import Clicks, perform
from tests.view.test_jobs_by_hand import acts_of, played, unlike
from tests.view.windowed import ByKeys, ByMouse, Display, left_off
from trainer.scenario.load import load_scenario, scenario_names
from trainer.session.log import read
from trainer.unit.layout import load_layout

pytestmark = [
    pytest.mark.skipif(not shutil.which(tool), reason=f"no {tool} command on this machine")
    for tool in ("Xvfb", "xdotool")
]
#: Done wherever the tools are; the others are done where everything is checked.
SHORT = {"make-it-dead"}
BY_KEYS = ("make-it-dead", "find-c-s-r-by-ohms")


@pytest.fixture(scope="module")
def display():
    found = Display()
    yield found
    found.close()


def in_window(display, folder, name, kind):
    """The events of a job that is taken up again in the window after its first act."""
    acts = acts_of(name)
    path = left_off(folder, name, list(acts[:1]))
    window = kind(display, folder)
    try:
        window.until(lambda s: any(n["name"] == "resume.0" for n in s["nodes"]))
        window.until(lambda s: not s["waiting"])
        window.press("resume.0")
        window.until(lambda s: s["screen"] == "bench" and not s["waiting"])
        clicks = Clicks(load_layout(load_scenario(name).layout))
        for n, act in enumerate(acts[1:], 1):
            before, steps = window.seen["events"], clicks.steps(act.model_dump(mode="json"))
            try:
                perform(window, steps)
                window.until(lambda s, n=before: s["events"] > n and not s["busy"])
            except AssertionError as error:
                raise AssertionError(f"act {n}, {act}: {steps}: {error}") from error
    finally:
        window.close()
    return [(e.kind, e.at_ms, dict(e.data)) for e in read(path).events[1:]]


@pytest.mark.parametrize("name", scenario_names())
def test_a_job_by_mouse_in_a_window(display, tmp_path, name):
    if name not in SHORT and not os.environ.get("CONDENSER_BENCH_CI"):
        pytest.skip("done where every check is, with CONDENSER_BENCH_CI=1")
    assert unlike(in_window(display, tmp_path, name, ByMouse), played(name)) == ""


@pytest.mark.parametrize("name", BY_KEYS)
def test_a_job_by_keys_in_a_window(display, tmp_path, name):
    if name not in SHORT and not os.environ.get("CONDENSER_BENCH_CI"):
        pytest.skip("done where every check is, with CONDENSER_BENCH_CI=1")
    assert unlike(in_window(display, tmp_path, name, ByKeys), played(name)) == ""
