"""Every check, point of workmanship, reading and item of a diagnosis: met, not met, not shown.

Values of readings are invented; limits are those of the modules they test.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from tests.assess import test_dressing
from tests.assess.made import PIECES, Script, scripted, work
from trainer.assess.checks import CHECKS
from trainer.assess.finding_rubric import load_rubric, rubric_names, rubrics_dir
from trainer.assess.lint import CORRECTNESS, DIAGNOSIS
from trainer.assess.loading import job_for
from trainer.assess.procedure import procedure
from trainer.assess.story import MOMENTS, told
from trainer.assess.workmanship import WORKMANSHIP

Piece = Callable[[Script], object]
NOTHING: Piece = lambda s: None  # noqa: E731


def judged(code: str, script: Script) -> str | None:
    """The outcome of a check or a point of workmanship; None where it is left out."""
    job = job_for(script.job, 0)
    story = told(script.attempt.events, job.site)
    found = {**CHECKS, **WORKMANSHIP}[code](story, job)
    return found.outcome if found else None


def blank() -> Script:
    return Script()


#: Steps that are one act: without it, not shown.
TAKEN = ("P01", "P02", "P04", "P05", "P06", "P10", "P11", "P35", "SIGN", "P54", "P55", "PPE",
         "LEADS", "P34", "P39", "P41")  # fmt: skip


@pytest.mark.parametrize("code", TAKEN)
def test_a_step_taken_or_not(code):
    assert judged(code, scripted()) == "met"
    assert judged(code, blank()) == "not shown"


def lifted(s: Script) -> None:
    s.lift("6", "b")


def fitted(s: Script) -> None:
    part = {"type": "dual-35-5", "where": "unit", "set": {}}
    s.act("fit", lambda: s.emit("part", name="can", part=part), part="can", type="dual-35-5")


def humming(ms: int) -> Piece:
    def hum(s: Script) -> None:
        s.hums = ["comp"]
        s.call(ms=100)
        s.did("wait", seconds=ms / 1000, ms=ms)
        s.hums = []
        s.uncall(ms=500)

    return hum


def volts(s: Script, ground: bool = True) -> None:
    s.select("meter", "V ac")
    s.read("disconnect.T1", "disconnect.T2")
    if ground:
        s.read("disconnect.T1", "chassis")


def with_(*pieces: Piece) -> Script:
    """The careful job up to the hand on metal, then these pieces."""
    script = scripted(upto="WORK")
    for piece in pieces:
        piece(script)
    return script


def restored(*pieces: Piece, after: tuple[Piece, ...] = ()) -> Script:
    script = scripted(upto="START")
    for piece in (*pieces, lambda s: s.call(), *after):
        piece(script)
    return script


def twice(rest_ms: int) -> Script:
    script = scripted(upto="START")
    script.call().uncall().did("wait", seconds=1.0, ms=rest_ms)
    return script.call().uncall()


def caught(s: Script) -> None:
    s.select("clamp", "inrush")
    s.clamp("1", 80.0)


#: code -> (case, the outcome it has).
CASES: list[tuple[str, Callable[[], Script], str | None]] = [
    ("P08", scripted, "met"),
    ("P08", blank, "not shown"),
    ("P21", scripted, "met"),
    ("P21", lambda: scripted(without=("P21",)), "not shown"),
    ("P21", blank, None),
    ("P22", scripted, "met"),
    ("P22", lambda: scripted(without=("P22",)), "not met"),
    ("P22", blank, None),
    ("P23", scripted, "met"),
    ("P23", lambda: scripted(WORK=lifted), "not met"),
    ("P23", blank, None),
    ("P24", lambda: with_(fitted, lambda s: s.did("look", at="can")), "met"),
    ("P24", lambda: with_(fitted), "not met"),
    ("P24", blank, None),
    ("P26", scripted, "met"),
    ("P26", lambda: scripted(WORK=lambda s: s.lift("6", "b", by="wire")), "not met"),
    ("P26", blank, None),
    ("P42", lambda: restored(volts), "met"),
    ("P42", lambda: restored(lambda s: volts(s, ground=False)), "not met"),
    ("P42", scripted, "not shown"),
    ("P42", blank, "not shown"),
    ("P44", lambda: restored(after=(caught,)), "met"),
    ("P44", scripted, "not shown"),
    ("P44", blank, "not shown"),
    ("P45", lambda: restored(humming(1_000)), "met"),
    ("P45", lambda: restored(humming(4_000)), "not met"),
    ("P45", blank, None),
    ("P50", lambda: twice(120_000), "met"),
    ("P50", lambda: twice(1_000), "not shown"),
    ("P52", lambda: with_(fitted, lambda s: s.did("label unit", text="can")), "met"),
    ("P52", lambda: with_(fitted), "not shown"),
    ("P52", blank, None),
    ("P53", blank, "not shown"),
    ("STARTS", scripted, "met"),
    ("STARTS", lambda: restored(after=(lambda s: s.call(outcome="stalled"),)), "not met"),
    ("STARTS", blank, "not shown"),
]


@pytest.mark.parametrize(("code", "case", "outcome"), CASES)
def test_a_check(code, case, outcome):
    assert judged(code, case()) == outcome


def recorded(value: str, cite: bool = True) -> Script:
    script = scripted(upto="WORK")
    script.select("meter", "farads")
    seq = script.read("can.C", "can.H", 26e-6, "F", text="26 µF")
    return script.record("HERM section", value, seq if cite else 0)


@pytest.mark.parametrize(
    ("script", "outcome"),
    [
        (lambda: recorded("26 µF"), "met"),
        (lambda: recorded("26.1 µF"), "met"),
        (lambda: recorded("35 µF"), "not met"),
        (lambda: recorded("17.3 µF", cite=False), "not met"),
        (lambda: scripted().record("verdict", "weak"), "met"),
        (lambda: scripted().record("pressure", "17.3 bar", 9999), "not met"),
    ],
)
def test_a_record_holds_what_was_read(script, outcome):
    assert judged("P53", script()) == outcome


def end(**facts: object) -> Callable[[], Script]:
    """The work done with one end left so."""

    def case() -> Script:
        script = scripted(upto="WORK")
        script.label("6", "b").lift("6", "b").land("6", "b", "can.C", **facts)
        return script.tug("6", "b") if facts.get("tug") != "no" else script

    return case


def loose(capped: bool) -> Callable[[], Script]:
    def case() -> Script:
        script = scripted(upto="WORK")
        script.lift("6", "b").end("cap", "6", "b", capped=capped)
        return script.end("park", "6", "b", parked=True)

    return case


def screw(nm: float, means: str = "torque driver") -> Callable[[], Script]:
    def case() -> Script:
        script = scripted(upto="WORK")
        script.lift("1", "b").land("1", "b", "contactor.L1")
        return script.end("torque", "1", "b", torque_nm=nm, nm=nm, means=means)

    return case


def mounted(**fields: object) -> Callable[[], Script]:
    given = {"part": "can", "arrow": "up", "screw_mm": 12.0, "looked_behind": True, **fields}
    return lambda: scripted(upto="WORK").did("mount", **given)


def crowded() -> Script:
    script = scripted(upto="WORK")
    script.lift("1", "b").land("1", "b", "contactor.L1")
    return script.lift("2", "b").land("2", "b", "contactor.L1")


def mixed() -> Script:
    script = scripted(upto="WORK")
    return script.lift("7", "a").land("7", "a", "contactor.L1")


def grounded(scraped: bool) -> Callable[[], Script]:
    def case() -> Script:
        script = scripted(upto="WORK").lift("3", "b")
        script = script.did("scrape", place="lug.1") if scraped else script
        return script.land("3", "b", "lug.1")

    return case


def new_wire(tied: bool) -> Callable[[], Script]:
    def case() -> Script:
        script = scripted(upto="WORK")
        made = {**script.wires["6"], "tag": "31", "factory": False}
        script.wires["31"] = made
        script.act("take wire", lambda: script.emit("conductor", conductor=made), wire="31")
        return script.did("dress", wire="31", how="tie") if tied else script

    return case


POINTS: list[tuple[str, Callable[[], Script], str | None]] = [
    ("W01", end(stripped_mm=8.5), "met"), ("W01", end(stripped_mm=14.0), "not met"),
    ("W02", end(), "met"), ("W02", end(strands="severed"), "not met"),
    ("W03", end(), "met"), ("W03", end(strands="stray"), "not met"),
    ("W05", end(fitting="female_250"), "met"), ("W05", end(fitting="ring"), "not met"),
    ("W06", end(fitting="female_250", crimp="full"), "met"),
    ("W06", end(fitting="female_250", crimp="pliers"), "not met"),
    ("W07", end(seated=1.0), "met"), ("W07", end(seated=0.4), "not met"),
    ("W08", end(), "met"), ("W08", end(tug="no"), "not met"),
    ("W12", lambda: scripted().did("route", wire="6", past=""), "met"),
    ("W12", lambda: scripted().did("route", wire="6", past="discharge-line"), "not met"),
    ("W12", blank, None),
    ("W16", mounted(), "met"), ("W16", mounted(screw_mm=40.0), "not met"),
    ("W16", mounted(arrow="down"), "not met"), ("W16", mounted(looked_behind=False), "not met"),
    ("W16", blank, None),
    ("W18", loose(True), "met"), ("W18", loose(False), "not met"), ("W18", blank, None),
    ("W20", grounded(True), "met"), ("W20", grounded(False), "not met"), ("W20", blank, None),
    ("W22", scripted, "met"), ("W22", lambda: scripted(without=("P38",)), "not met"),
    ("W22", lambda: scripted(upto="P38"), "not shown"), ("W22", blank, None),
    ("W23", lambda: with_(fitted, lambda s: s.did("label unit", text="x")), "met"),
    ("W23", lambda: with_(fitted), "not shown"), ("W23", blank, None),
    ("W24", lambda: with_(fitted, lambda s: s.did("clean up")), "met"),
    ("W24", lambda: with_(fitted), "not shown"), ("W24", blank, None),
    ("W25", new_wire(True), "met"), ("W25", new_wire(False), "not met"), ("W25", blank, None),
]  # fmt: skip


@pytest.mark.parametrize(("code", "case", "outcome"), POINTS)
def test_a_point_of_workmanship(code, case, outcome):
    assert judged(code, case()) == outcome


def place_torque() -> tuple[float, float]:
    from trainer.unit.catalogue import place_in

    script = blank()
    types = {n: p["type"] for n, p in script.events[0].data["unit"]["parts"].items()}
    place = place_in(types, "contactor.L1")
    assert place is not None and place.torque is not None
    return place.torque


@pytest.mark.parametrize(
    ("share", "means", "outcome"),
    [(0.5, "torque driver", "met"), (0.5, "feel", "not met"), (3.0, "torque driver", "not met")],
)
def test_screws(share, means, outcome):
    least, most = place_torque()
    assert judged("W09", screw(least + share * (most - least), means)()) == outcome
    assert judged("W09", blank()) is None


def test_places_that_are_shared():
    assert judged("W10", screw(4.5)()) == "met"
    assert judged("W10", crowded()) == "not met"
    assert judged("W11", screw(4.5)()) == "met"
    assert judged("W10", blank()) is None and judged("W11", blank()) is None


def test_solid_wire_is_not_crimped():
    def case(fitting: str) -> Script:
        script = scripted(upto="WORK")
        return script.lift("11", "b").land("11", "b", "contactor.A1", fitting=fitting)

    assert judged("W04", case("none")) == "met"
    assert judged("W04", case("female_250")) == "not met"
    assert judged("W04", blank()) is None


def test_untouched_factory_joints_are_nobodys_work():
    for code in ("W01", "W05", "W06", "W07", "W08", "W09"):
        assert judged(code, scripted(without=("WORK",))) is None


# -- the meta-tests ----------------------------------------------------------------------------


def test_every_code_of_a_shipped_rubric_has_its_cases_here():
    tried = {code for code, _, _ in (*CASES, *POINTS)} | set(TAKEN)
    tried |= {*test_dressing.CASES, "W04", "W09", "W10", "W11"}
    for name in rubric_names():
        rubric = load_rubric(rubrics_dir() / f"{name}.yaml")
        codes = {c for weights in rubric.checks.values() for c in weights} | set(rubric.workmanship)
        assert codes <= tried, codes - tried
        assert set(rubric.diagnosis) <= set(DIAGNOSIS)
        assert set(rubric.correctness) <= set(CORRECTNESS)


def test_every_check_can_be_met():
    met = {code for code, _, outcome in CASES if outcome == "met"} | set(TAKEN)
    met |= {"P53"}  # in test_a_record_holds_what_was_read
    assert set(CHECKS) == met


def test_every_step_of_the_procedure_can_be_shown():
    """By a check, or as a step of the trail that a rule of order can name."""

    def mount(s: Script) -> None:
        s.did("look behind", x=100, y=200)
        s.did("mount", part="can", arrow="up", screw_mm=12.0, looked_behind=True)

    job = job_for(blank().job, 0)
    script = scripted(WORK=lambda s: (mount(s), work(s)))
    taken = {
        row.step for row in told(script.attempt.events, job.site).trail if hasattr(row, "step")
    }
    assert set(procedure().steps) <= set(CHECKS) | taken
    assert taken <= MOMENTS


def test_nothing_done_is_nothing():
    mark = Script().hand_over().marked().mark
    assert mark.verdict == "fail" and not mark.safe
    empty = Script().marked().mark
    assert empty.total == 0 and empty.verdict == "fail" and not empty.safe
    assert all(d.score == Fraction(0) for d in empty.domains)
    assert all(f.outcome != "met" for d in empty.domains for f in d.findings)


def test_more_correct_acts_never_score_less():
    last = Fraction(-1)
    for name in [n for n, _ in PIECES][1:]:
        total = scripted(upto=name).marked().mark.total
        assert total >= last, name
        last = total


def test_looks_and_waits_change_nothing():
    def idle(s: Script) -> None:
        s.did("look", at="fan").did("wait", seconds=5.0)
        work(s)

    assert scripted(WORK=idle).marked().mark.total == scripted().marked().mark.total
