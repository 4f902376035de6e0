"""Each critical error: a case that raises it and the near case that does not.

Every case is the careful job of ``made`` with one thing changed. Numbers shown are invented.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.assess.golden import marked
from tests.assess.made import Script, cap_on, scripted, work
from tests.session.jobs import do
from trainer.assess.procedure import procedure
from trainer.session.attempt import start
from trainer.session.log import Attempt
from trainer.session.opening import opening

GLOVED = ("safety glasses", "insulating gloves")


def codes(script: Script) -> list[str]:
    return [c.code for c in script.marked().mark.critical]


def also(piece: Callable[[Script], object], *more: Callable[[Script], object]):
    """A piece of the careful job with something after it."""

    def both(s: Script) -> None:
        piece(s)
        for one in more:
            one(s)

    return both


def tool(to: str) -> Callable[[Script], object]:
    return lambda s: s.act(
        "tool", lambda: s.emit("tool", tool="driver", inside=to == "in"), name="driver", to=to
    )


def others_lock(by: str) -> Script:
    """Somebody else's lock is on the breaker; it is cut, or left after a try with a key."""
    s = scripted(upto="WORK")
    s.act("lock", lambda: s.emit("locked", part="breaker", owner="plumber"), part="breaker")
    if by == "bolt cutter":
        s.act("unlock", lambda: s.emit("unlocked", part="breaker"), part="breaker", by=by)
    else:
        s.refused("unlock", part="breaker", by=by)
    return s


def moved(*rows: tuple[str, str, str]) -> Callable[[Script], object]:
    """Work that lands ends on other places."""

    def change(s: Script) -> None:
        for wire, end, place in rows:
            s.label(wire, end).lift(wire, end).land(wire, end, place).tug(wire, end)

    return change


def hum(ms: int, accommodation: float = 1.0) -> Script:
    """A call at which the motor stands and hums for so long."""
    s = scripted(upto="START")
    s.events[0].data["found"]["accommodation"] = accommodation

    def stands() -> None:
        s.hums = ["comp"]
        s._electrics()

    def over() -> None:
        s.hums = []
        s._electrics()

    s.act("thermostat", stands, to="call", part="indoor", ms=0)
    return s.act("thermostat", over, to="off", part="indoor", ms=ms)


def retried(times: int, look: bool = False) -> Script:
    s = scripted(upto="START")
    for _ in range(times):
        s.call(outcome="stalled").uncall()
        if look:
            s.did("look", at="can")
    return s


def jumper(both_sides: bool) -> Script:
    """A wire lands on one side of a pressure switch, or on both."""
    s = scripted(upto="P54")
    switch = {"type": "hp-switch", "where": "unit", "set": {}}
    s.emit("asked", act="mount", part="hp")
    s.emit("part", name="hp", part=switch)
    s.emit("done")
    s.land("11", "a", "hp.1")
    s.land("11", "b", "hp.2" if both_sides else "contactor.A1")
    return s.hand_over()


def mounted(pierces: bool) -> Script:
    def bores(s: Script) -> None:
        more = [lambda: s.emit("pierced", zone="coil", x=1, y=1)] if pierces else []
        s.act("mount", *more, part="can", looked_behind=True, screw_mm=40.0, arrow="up")

    return scripted(WORK=also(work, bores))


def recorded(value: str, cite: bool = True) -> Script:
    s = scripted(upto="P54")
    s.select("clamp", "A ac")
    seq = s.clamp("1", 12.9)
    s.record("line amps", value, seq if cite else 0)
    return s.hand_over()


def live(*worn: str) -> Script:
    return scripted(PPE=lambda s: s.ppe(*worn))


def scoped(peak_v: float, *worn: str, clip_v: float = 0.0) -> Script:
    """A scope on a unit that is on; with its clip on a leg that clip is a short to ground."""
    s = Script().ppe(*worn)
    tip, clip = "contactor.T1", "contactor.L1" if clip_v else "chassis"

    def flash() -> None:
        s.emit("arc", a=clip, b="chassis", volts_ac=clip_v, joules=40.0, peak_a=900.0, fed=True)

    def picture() -> None:
        lines = {"t_s": {"scale": 1e-6, "points": [0, 15000, 30000]},
                 tip: {"scale": peak_v / 30000, "points": [0, -30000, 12]}}  # fmt: skip
        s.emit("trace", clip=clip, lines=lines, text="")

    return s.act("scope", *([flash] if clip_v else []), picture, one=tip, two="", clip=clip)


#: code -> (raises it, the near case that does not).
CASES: dict[str, list[tuple[Callable[[], Script], Callable[[], Script]]]] = {
    "CF1": [(lambda: scripted(without=("P09",)), scripted)],
    "CF2": [
        (lambda: scripted(without=("P16",)), scripted),
        (lambda: scripted(without=("P15",)), scripted),
        (lambda: scripted(without=("P20",)), lambda: scripted(without=("P17",))),
        (lambda: scripted(P15=no_ground_proved), lambda: scripted(P15=by_second_reference)),
        (lambda: scripted(P16=by_pen), scripted),
    ],
    "CF3": [
        (lambda: scripted(without=("P12", "unlock")), scripted),
        (lambda: scripted(P12=lambda s: s.lock(tag=False)), scripted),
        # locked on the breaker upstream isolates the branch as well
        (
            lambda: scripted(P12=lambda s: s.lock("indoor")),
            lambda: scripted(
                P09=lambda s: s.open("breaker").open("disconnect"),
                P12=lambda s: s.lock("breaker"), unlock=lambda s: s.unlock("breaker"),
            ),
        ),
    ],
    "CF4": [
        (lambda: scripted(without=("P19",)), lambda: scripted(without=("P18",))),
        (lambda: scripted(P19=charged), scripted),
    ],
    "CF5": [
        (lambda: scripted(without=("P36",)), scripted),
        # with equipment on, a panel may stay off for a declared live reading
        (
            lambda: scripted(without=("P38",), PPE=lambda s: s.ppe("safety glasses")),
            lambda: scripted(without=("P38",)),
        ),
        (
            lambda: scripted(P36=also(cap_on, tool("in"))),
            lambda: scripted(P36=also(cap_on, tool("in"), tool("out"))),
        ),
    ],
    "CF6": [(lambda: others_lock("bolt cutter"), lambda: others_lock("key"))],
    "CF7": [
        # leg to leg; both legs exchanged as a whole are another wiring, and a safe one
        (
            lambda: scripted(WORK=moved(("1", "b", "contactor.L2"))),
            lambda: scripted(WORK=moved(("1", "b", "contactor.L2"), ("2", "b", "contactor.L1"))),
        ),
        (lambda: scripted(WORK=moved(("11", "b", "contactor.L1"))), scripted),
        (lambda: scripted(WORK=lambda s: s.lift("3", "b")),
         lambda: scripted(WORK=lambda s: s.lift("3", "b").land("3", "b", "lug.1"))),
    ],
    "CF8": [
        (lambda: hum(6000), lambda: hum(4000)),
        (lambda: hum(8000, 1.5), lambda: hum(7000, 1.5)),
        (lambda: retried(4), lambda: retried(4, look=True)),
        (lambda: retried(4), lambda: retried(2)),
    ],
    "CF9": [(lambda: jumper(True), lambda: jumper(False))],
    "CF10": [(lambda: mounted(True), lambda: mounted(False))],
    "CF11": [
        (lambda: recorded("14.2 A"), lambda: recorded("12.9 A")),
        (lambda: recorded("14.2 A", cite=False), lambda: recorded("not read", cite=False)),
        (lambda: recorded("14 A"), lambda: recorded("13 A")),  # the display rounded
    ],
    "CF12": [(lambda: scripted(without=("P04", "P09")), lambda: scripted(without=("P04",)))],
    "CF13": [
        (lambda: live("safety glasses"), lambda: live(*GLOVED)),
        (lambda: live("insulating gloves"), lambda: live(*GLOVED, "hat")),
        (lambda: scoped(340.0), lambda: scoped(340.0, *GLOVED)),
        # 24 V of the control circuit are 34 V at their peak
        (lambda: scoped(340.0), lambda: scoped(34.0)),
        (lambda: scoped(0.0, clip_v=120.0), lambda: scoped(0.0, *GLOVED, clip_v=120.0)),
    ],
}  # fmt: skip


def no_ground_proved(s: Script) -> None:
    s.select("meter", "V ac")
    s.read("disconnect.L1", "disconnect.L2", why="known source")


def by_second_reference(s: Script) -> None:
    """The ground gave nothing on the source, and every point is read to another ground."""
    no_ground_proved(s)
    for point in ("L1", "L2", "T1", "T2"):
        s.read(f"contactor.{point}", "disconnect.PE", why="test")


def by_pen(s: Script) -> None:
    s.select("pen", "on")
    for point in ("contactor.T1", "contactor.T2"):
        s.act(
            "sense",
            lambda at=point: s.emit(
                "read", instrument="pen", setting="on", leads={"tip": at}, why="",
                shown={"text": "silent", "value": None, "unit": "", "note": "", "harm": ""},
            ),
            place=point,
        )  # fmt: skip


def charged(s: Script) -> None:
    """A capacitor still holds a charge after the discharge."""
    s.select("meter", "V dc")
    s.read("can.C", "can.H", 140.0)
    s.read("can.C", "can.F", 0.0)


EACH = [(code, n) for code, cases in CASES.items() for n in range(len(cases))]


@pytest.mark.parametrize(("code", "n"), EACH)
def test_it_is_raised_and_its_near_case_is_not(code, n):
    raises, near = CASES[code][n]
    marked = raises().marked().mark
    found = next((c for c in marked.critical if c.code == code), None)
    assert found is not None
    assert marked.verdict == "fail" and not marked.safe
    assert any(reason.startswith("not safe yet") for reason in marked.reasons)
    assert found.evidence.events and found.sentence and found.practice and found.source
    assert code not in codes(near())


def test_every_critical_error_has_its_case():
    assert set(CASES) == set(procedure().critical)


def test_an_error_is_told_once_with_every_act_it_came_from():
    mark = scripted(without=("P16",)).marked().mark
    (found,) = [c for c in mark.critical if c.code == "CF2"]
    assert len(found.evidence.events) > 1
    assert len(set(found.evidence.events)) == len(found.evidence.events)


def test_the_total_is_told_beside_a_critical_error():
    mark = scripted(without=("P20",)).marked().mark
    assert mark.verdict == "fail" and mark.total > 0


def test_a_rubric_chooses_which_errors_count():
    from trainer.assess.finding_rubric import load_rubric, rubrics_dir

    standard = load_rubric(rubrics_dir() / "standard.yaml")
    without = standard.model_copy(update={"critical": ["CF1"]})
    assert not scripted(without=("P20",)).marked(without).mark.critical


def test_a_shock_is_told_in_its_own_numbers():
    """Volts and milliampere are invented; the effect is the wording of the bench."""

    def hurt(s: Script) -> None:
        shock = {
            "volts_ac": 118.0, "volts_dc": 0.0, "amps": 0.09, "peak_a": 0.13, "for_s": 0.2,
            "doer": "hand", "place": "contactor.T1", "other": "chassis",
            "effect": "a hand that cannot let go",
        }  # fmt: skip
        s.touch("contactor.T1", lambda: s.emit("shock", **shock))

    mark = scripted(without=("P09",), WORK=also(work, hurt)).marked().mark
    (touched,) = [c for c in mark.critical if c.code == "CF1"]
    assert "118 V ac" in touched.consequence and "90 mA" in touched.consequence


def test_a_heart_that_may_stop_is_no_pass_whatever_else():
    def fatal(s: Script) -> None:
        shock = {
            "volts_ac": 240.0, "volts_dc": 0.0, "amps": 0.2, "peak_a": 0.3, "for_s": 2.0,
            "doer": "hand", "place": "contactor.T1", "other": "chassis",
            "effect": "the heart may fibrillate",
        }  # fmt: skip
        s.touch(
            "contactor.T1", lambda: s.emit("shock", **shock), lambda: s.emit("over", why="death")
        )

    script = scripted(upto="WORK")
    also(work, fatal)(script)
    mark = script.marked().mark
    assert (mark.verdict, mark.safe, mark.ended) == ("fail", False, "death")


@pytest.mark.parametrize("open_first", [False, True])
def test_a_scope_on_a_bench_is_live_work(open_first):
    """Larkspur Row's contactor, 120 V to ground: the picture is the bench's own."""
    opened = opening("make-it-dead", 0)
    running = start(opened.unit, None, opened.header, found=opened.found)
    do(running, "take off", cover="control-panel")
    if open_first:
        do(running, "open", part="disconnect")
    do(running, "scope", one="contactor.L1", clip="chassis")
    found = marked("make-it-dead", Attempt(opened.header, tuple(running.events)))
    told = [c.sentence for c in found.mark.critical if c.code == "CF13"]
    assert bool(told) != open_first
    assert all("A scope on contactor.L1 against chassis at 1" in said for said in told)


def test_a_near_miss_is_noted_and_not_charged():
    mark = others_lock("key").marked().mark
    assert [n.sentence for n in mark.notes if n.kind == "near miss"]
    assert "CF6" not in [c.code for c in mark.critical]
