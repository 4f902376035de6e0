"""Jobs done in a real window, by mouse and by keyboard alone, give the events of their acts.

A job is gone on with from the home screen after its first act. One window does several, one after
the other: a job that is done is left for home, where the next one waits. All jobs are done by
mouse; by keys a few, and all with CONDENSER_BENCH_LONG=1, which takes some minutes more.
"""

import os
from concurrent.futures import ThreadPoolExecutor
from queue import Empty, Queue

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
KEYED = (
    scenario_names()
    if os.environ.get("CONDENSER_BENCH_LONG") == "1"
    else ["make-it-dead", "find-c-s-r-by-ohms", "dual-capacitor-unit", "first-start"]
)
ROWS = [(name, ByMouse) for name in scenario_names()] + [(name, ByKeys) for name in KEYED]


class Sitting:
    """One window on a display of its own and the jobs done in it; another after one that failed."""

    def __init__(self, folder):
        self.display, self.folder = Display(), folder
        self.window = None

    def do(self, name, kind):
        """The events of a job that is taken up again in the window after its first act."""
        try:
            return self._done(name, kind)
        except Exception as error:  # told by the test whose job it is
            self._shut()
            return error

    def _done(self, name, kind):
        for file in self.folder.glob("attempts/*"):
            file.unlink()
        acts = acts_of(name)
        path = left_off(self.folder, name, list(acts[:1]))
        if self.window is None:
            self.window = kind(self.display, self.folder)
        window = self.window = self.window.by(kind)
        if window.seen.get("screen") == "bench":
            window.press("strip.leave")
        window.until(lambda s: any(n["name"] == "resume.0" for n in s["nodes"]))
        window.until(lambda s: not s["waiting"])
        window.press("resume.0")
        window.until(lambda s: s["path"] == str(path) and not s["waiting"])
        clicks = Clicks(load_layout(load_scenario(name).layout))
        for n, act in enumerate(acts[1:], 1):
            before, steps = window.seen["events"], clicks.steps(act.model_dump(mode="json"))
            try:
                perform(window, steps)
                window.until(lambda s, n=before: s["events"] > n and not s["busy"])
            except AssertionError as error:
                raise AssertionError(f"act {n}, {act}: {steps}: {error}") from error
        return [(e.kind, e.at_ms, dict(e.data)) for e in read(path).events[1:]]

    def _shut(self):
        if self.window is not None:
            self.window.close()
        self.window = None

    def close(self):
        self._shut()
        self.display.close()


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """(job, hands) -> its events, or why it could not be done; several windows at a time."""
    folders = [tmp_path_factory.mktemp("person") for _ in range(AT_ONCE)]
    left, found = Queue(), {}
    for row in ROWS:
        left.put(row)

    def sit(folder):
        sitting = Sitting(folder)
        try:
            while True:
                row = left.get_nowait()
                found[row] = sitting.do(*row)
        except Empty:
            return
        finally:
            sitting.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        list(pool.map(sit, folders))
    return found


@pytest.mark.parametrize(("name", "hands"), ROWS)
def test_a_job_in_a_window_gives_the_events_of_its_acts(done, name, hands):
    found = done[name, hands]
    if isinstance(found, Exception):
        raise found
    assert unlike(found, played(name)) == ""
