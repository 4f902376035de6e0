"""Every critical error: a case that raises it, and a near case that does not."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.assess.made import Script, again, control, dead_tests, empties, known, scripted, work
from trainer.assess.procedure import procedure

Case = Callable[[], Script]


def codes(script: Script) -> set[str]:
    return {c.code for c in script.marked().mark.critical}


def bare_hand() -> Script:
    return Script().source("branch circuit").touch("contactor.T1")


def at_power(prepare: Callable[[Script], object]) -> Case:
    """The careful job, with something done just before power comes back."""

    def case() -> Script:
        script = scripted(upto="RESTORE")
        prepare(script)
        return script.close("disconnect")

    return case


def hummed(ms: int) -> Case:
    def case() -> Script:
        script = Script()
        script.hums = ["comp"]
        script.call(ms=100, outcome="stalled")
        script.did("wait", seconds=ms / 1000, ms=ms)
        script.hums = []
        return script.uncall(ms=100)

    return case


def retried(times: int, look: bool) -> Case:
    def case() -> Script:
        script = Script()
        for _ in range(times):
            script.call(outcome="stalled").uncall()
            if look:
                script.did("look", at="comp")
        return script

    return case


def other_lock(by: str) -> Case:
    def case() -> Script:
        script = Script(locks={"disconnect": "plumber"})
        if by == "key":
            return script.refused("unlock", part="disconnect", by="key")
        return script.act(
            "unlock", lambda: script.emit("unlocked", part="disconnect"), part="disconnect", by=by
        )

    return case


def pierced(hit: bool) -> Case:
    def case() -> Script:
        script = Script()
        more = [lambda: script.emit("pierced", zone="discharge-line", x=610, y=200)] if hit else []
        return script.act("mount", *more, part="can", screw_mm=40.0, arrow="up")

    return case


def recorded(value: str) -> Case:
    def case() -> Script:
        script = scripted()
        script.select("meter", "V ac")
        return script.record("volts", value, script.read("disconnect.L1", "disconnect.L2"))

    return case


def probed(*items: str) -> Case:
    def case() -> Script:
        script = Script().ppe(*items).select("meter", "V ac")
        script.read("disconnect.L1", "disconnect.L2", why="known source")
        return script

    return case


def short(s: Script) -> None:
    s.lift("4", "b").land("4", "b", "contactor.T2")


RAISES: list[tuple[str, Case]] = [
    ("CF1", bare_hand),
    ("CF2", lambda: scripted(without=("P15",))),
    ("CF2", lambda: scripted(without=("P16",))),
    ("CF2", lambda: scripted(without=("P20",))),
    ("CF3", lambda: scripted(without=("P12",))),
    ("CF3", lambda: scripted(P12=lambda s: s.lock(tag=False))),
    ("CF4", lambda: scripted(without=("P19",))),
    ("CF5", lambda: scripted(without=("P36",))),
    ("CF5", at_power(lambda s: s.act("tool", lambda: s.emit("tool", tool="pliers", inside=True)))),
    ("CF6", other_lock("bolt cutter")),
    ("CF7", lambda: scripted(WORK=lambda s: (work(s), short(s)))),
    ("CF7", lambda: scripted(WORK=lambda s: (work(s), s.lift("3", "b")))),
    ("CF8", hummed(9_000)),
    ("CF8", retried(4, look=False)),
    ("CF10", pierced(True)),
    ("CF11", recorded("208 V")),
    ("CF12", lambda: scripted(without=("P04", "P09", "P11", "P12"))),
    ("CF13", probed("safety glasses")),
]
DOES_NOT: list[tuple[str, Case]] = [
    ("CF1", scripted),
    ("CF2", scripted),
    ("CF3", scripted),
    ("CF4", lambda: scripted(without=("P18",))),
    ("CF5", scripted),
    ("CF6", other_lock("key")),
    ("CF7", scripted),
    ("CF8", hummed(1_500)),
    ("CF8", retried(4, look=True)),
    ("CF8", retried(3, look=False)),
    ("CF10", pierced(False)),
    ("CF11", recorded("240 V")),
    ("CF12", lambda: scripted(without=("P04",))),
    ("CF13", probed("safety glasses", "insulating gloves")),
]


@pytest.mark.parametrize(("code", "case"), RAISES)
def test_raised(code, case):
    mark = case().marked().mark
    found = next(c for c in mark.critical if c.code == code)
    assert found.evidence.events and found.sentence and found.source and found.practice
    assert mark.verdict == "fail" and not mark.safe


@pytest.mark.parametrize(("code", "case"), DOES_NOT)
def test_a_near_case_is_none(code, case):
    assert code not in codes(case())


def test_a_jumper_across_a_safety_at_the_hand_over():
    """CF9, on the heat pump's pressure switches: both sides of one joined by a wire."""
    from dataclasses import replace

    from trainer.assess.critical import criticals
    from trainer.assess.loading import job_for
    from trainer.assess.story import told
    from trainer.unit.layout import load_layout, unit_of

    script = Script().hand_over()
    unit = unit_of(load_layout("signal-house"), "signal-house")
    job = job_for(script.job, 0)
    story = told(script.attempt.events, job.site)
    parts = {n: p.model_dump(mode="json") for n, p in unit.parts.items()}
    wires = {t: c.model_dump(mode="json") for t, c in unit.conductors.items()}
    last = replace(story.turns[-1].after, parts=parts, conductors=wires)
    story.turns[-1] = replace(story.turns[-1], after=last)  # type: ignore[index]
    counted = frozenset({"CF9"})
    assert criticals(story, job, counted) == []
    jumper = {**wires["23"], "tag": "99", "a": {**wires["23"]["a"], "on": "hp.1"},
              "b": {**wires["23"]["b"], "on": "hp.2"}}  # fmt: skip
    bridged = replace(last, conductors={**wires, "99": jumper})
    story.turns[-1] = replace(story.turns[-1], after=bridged)  # type: ignore[index]
    (found,) = criticals(story, job, counted)
    assert found.code == "CF9" and "hp" in found.sentence


def test_every_code_has_its_cases():
    wanted = set(procedure().critical)
    assert {c for c, _ in RAISES} | {"CF9"} == wanted
    assert {c for c, _ in DOES_NOT} | {"CF9"} == wanted


def test_told_once_with_every_event():
    script = scripted(without=("P19",), WORK=lambda s: (work(s), s.touch("contactor.T1")))
    (found,) = [c for c in script.marked().mark.critical if c.code == "CF4"]
    assert len(found.evidence.events) == 3  # lift, land and touch
    assert "2 later acts" in found.sentence


@pytest.mark.parametrize(
    ("ground", "raised"),
    [("none", True), ("chassis proved", False), ("second reference", False)],
)
def test_a_test_to_ground_counts_by_that_ground(ground, raised):
    def prove(s: Script) -> None:
        s.select("meter", "V ac")
        s.read("disconnect.L1", "disconnect.L2", why="known source")
        if ground == "chassis proved":
            s.read("disconnect.L1", "chassis", why="known source")

    def tests_(s: Script) -> None:
        dead_tests(s)
        if ground == "second reference":
            for terminal in ("L1", "L2", "T1", "T2"):
                s.read(f"contactor.{terminal}", "disconnect.PE", why="test")

    assert ("CF2" in codes(scripted(P15=prove, P16=tests_))) == raised


def test_only_some_pairs_cost_the_rule_and_are_not_critical():
    def some(s: Script) -> None:
        s.select("meter", "V ac")
        for terminal in ("L1", "L2", "T1", "T2"):
            s.read(f"contactor.{terminal}", "chassis", why="test")

    script = scripted(P16=some)
    assert "CF2" not in codes(script)
    from tests.assess.made import findings

    assert findings(script.marked())["P16 before WORK"].outcome == "not met"


def sense(s: Script, terminal: str) -> None:
    """The pen at a place, quiet."""
    shown = {"text": "stays quiet", "value": 0.0, "unit": "", "note": "", "harm": ""}
    leads = {"tip": terminal}
    s.act(
        "sense",
        lambda: s.emit("read", instrument="pen", setting="on", leads=leads, shown=shown, why=""),
        place=terminal,
    )


def test_the_pen_alone_proves_nothing():
    def pen(s: Script) -> None:
        for terminal in ("contactor.T1", "contactor.T2"):
            sense(s, terminal)

    assert "CF2" in codes(scripted(P16=pen))


def test_a_rubric_chooses_which_count():
    from trainer.assess.finding_rubric import load_rubric, rubrics_dir

    rubric = load_rubric(rubrics_dir() / "standard.yaml").model_copy(update={"critical": ["CF1"]})
    mark = scripted(without=("P19",)).marked(rubric).mark
    assert mark.critical == ()


def test_a_charge_left_by_the_insulation_tester_is_a_charge():
    def megger(s: Script) -> None:
        s.select("insulation", "500 V")
        s.read("comp.C", "chassis", 5e8, "ohm")

    def and_emptied(s: Script) -> None:
        work(s)
        megger(s)
        empties(s)
        s.touch("comp.C")

    assert "CF4" in codes(scripted(WORK=lambda s: (megger(s), work(s))))
    assert "CF4" not in codes(scripted(WORK=and_emptied))


def test_a_hand_that_may_stop_a_heart_ends_it():
    script = Script()
    shock = {"place": "contactor.T1", "other": "chassis", "doer": "a hand", "volts_ac": 120.0,
             "volts_dc": 0.0, "body_ohms": 1500, "for_s": 1.0, "amps": 0.08, "peak_a": 0.0,
             "joules": 0.0, "effect": "the heart may fibrillate"}  # fmt: skip
    script.touch(
        "contactor.T1", lambda: script.emit("shock", **shock),
        lambda: script.emit("over", why="death"),
    )  # fmt: skip
    mark = script.marked().mark
    assert mark.ended == "death" and mark.verdict == "fail" and not mark.safe
    assert "80 mA through the body for 1 s" in mark.critical[0].consequence


def test_a_lost_unit_ends_it_whatever_a_rubric_counts():
    from trainer.assess.finding_rubric import load_rubric, rubrics_dir

    standard = load_rubric(rubrics_dir() / "standard.yaml")
    script = scripted(upto="WORK")
    script.act(
        "mount", lambda: script.emit("pierced", zone="discharge-line", x=610, y=200),
        lambda: script.emit("over", why="loss"), part="can", screw_mm=40.0, arrow="up",
    )  # fmt: skip
    mark = script.marked(standard.model_copy(update={"critical": []})).mark
    assert mark.critical == ()
    assert (mark.ended, mark.verdict, mark.safe) == ("loss", "fail", False)
    assert "the attempt ended with the loss of the unit" in mark.reasons


@pytest.mark.parametrize("why", [{"why": "handed over"}, {}])
def test_a_hand_over_ends_it_too(why):
    """A bench says no reason at a hand-over."""
    script = Script()
    script.act("hand over", lambda: script.emit("over", **why), words="done")
    assert script.marked().mark.ended == "handed over"
    assert Script().marked().mark.ended == "left open"


def test_order_of_helpers_is_the_careful_one():
    """The pieces used here are those of the careful job."""
    script = scripted(P15=known, P16=dead_tests, P17=control, P19=empties, P20=again)
    assert script.marked().mark.critical == ()
