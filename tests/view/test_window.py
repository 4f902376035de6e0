"""Jobs done in a real window, by mouse and by keyboard alone, give the events of their acts.

A job is gone on with from the home screen after its first act. Every job is done by mouse; by keys
the shortest one and one with wiring in a real window, all of them in ``test_jobs_by_hand.py``.
"""

from concurrent.futures import ThreadPoolExecutor
from queue import Queue

import pytest

from tests.outside import only_in_ci
from tests.view.clicks import Clicks, perform
from tests.view.test_jobs_by_hand import acts_of, played, unlike
from tests.view.windowed import ByKeys, ByMouse, Display, left_off
from trainer.scenario.load import load_scenario, scenario_names
from trainer.session.log import read
from trainer.unit.layout import load_layout

pytestmark = only_in_ci
#: So many windows at a time; each spends most of its time waiting for the display.
AT_ONCE = 3
BY_KEYS = ("make-it-dead", "find-c-s-r-by-ohms")
ROWS = [*((name, ByMouse) for name in scenario_names()), *((name, ByKeys) for name in BY_KEYS)]


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


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """(job, hands) -> its events, or why it could not be done; several windows at a time."""
    tmp_path_factory.getbasetemp()  # made before the threads, which would each make it
    free: Queue = Queue()
    for _ in range(AT_ONCE):
        free.put(Display())

    def one(row):
        display = free.get()
        try:
            return in_window(display, tmp_path_factory.mktemp("person"), *row)
        except Exception as error:  # told by the test whose job it is
            return error
        finally:
            free.put(display)

    with ThreadPoolExecutor(AT_ONCE) as pool:
        found = dict(zip(ROWS, pool.map(one, ROWS)))
    while not free.empty():
        free.get().close()
    return found


@pytest.mark.parametrize(("name", "hands"), ROWS)
def test_a_job_in_a_window_gives_the_events_of_its_acts(done, name, hands):
    found = done[name, hands]
    if isinstance(found, Exception):
        raise found
    assert unlike(found, played(name)) == ""
