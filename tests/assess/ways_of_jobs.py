"""Every golden way of every shipped job: right, another legal order, and at least six wrong.

Knows changes of acts; must know no mark.
"""

from __future__ import annotations

from tests.assess.ways import (
    Steps,
    Way,
    after,
    all_of,
    another_order,
    before,
    by_tester,
    changed,
    cover_off_at_power,
    dead_at_once,
    do,
    emptied_first,
    invented,
    left_off,
    moved,
    no_gloves,
    no_own_lock,
    no_photographs,
    no_second_look,
    no_tag,
    no_warning,
    not_handed_over,
    not_reproved,
    not_tugged,
    nothing_on_dc,
    on_second_ground,
    right,
    sources_late,
    swapped,
    until,
    without,
)  # fmt: skip

NAMED = {"act": "name fault"}
CALL = {"act": "thermostat", "to": "call"}
CLOSED = {"act": "close", "part": "disconnect"}
DECLARED = {"act": "declare dead"}
SOURCE_24 = {"act": "list source", "name": "24 V from indoors"}


def land(wire: str, end: str) -> dict[str, str]:
    return {"act": "land", "wire": wire, "end": end}


MAKE_DEAD: dict[str, Way] = {
    "right": right,
    "other-order": all_of(by_tester, another_order, on_second_ground),
    "no-own-lock": no_own_lock,
    "tester-not-reproved": not_reproved,
    "dead-at-once": dead_at_once,
    "nothing-on-dc": nothing_on_dc,
    "no-gloves": no_gloves,
    "second-supply-forgotten": without(SOURCE_24, {"act": "open", "part": "indoor"}),
    "safe-and-nothing-handed-over": not_handed_over,
    "thumb-before-the-pull-out": before(
        {"act": "open", "part": "disconnect"},
        do("take off", cover="control-panel"), do("touch", place="contactor.L1", other="chassis"),
    ),
}  # fmt: skip

EMPTY_THREE: dict[str, Way] = {
    "right": right,
    "other-order": all_of(sources_late, on_second_ground),
    "one-pair-not-on-dc": without({"act": "measure", "red": "can.C", "black": "can.F"}),
    "no-own-lock": no_own_lock,
    "start-capacitor-forgotten": without(
        {"act": "discharge", "a": "sc.1"}, {"act": "measure", "red": "sc.1", "why": "test"}
    ),
    "fingers-across-it-at-once": until(
        {"act": "discharge"}, do("touch", place="sc.1", other="sc.2")
    ),
    "tester-not-reproved": not_reproved,
    "known-source-after-the-tests": all_of(
        moved({"act": "measure", "why": "known source"}, {"act": "measure", "red": "contactor.A1"}),
        moved({"act": "measure", "why": "known source"}, {"act": "measure", "red": "contactor.A1"}),
    ),
    "no-tag": no_tag,
}

FULL_CALL: dict[str, Way] = {
    "right": right,
    "other-order": another_order,
    "fan-section-named": changed(NAMED, fault="F24"),
    "no-second-look": no_second_look,
    "larger-can": changed({"act": "fit"}, type="dual-40-5"),
    "own-lock-forgotten": no_own_lock,
    "herm-and-fan-exchanged": swapped(land("7", "a"), land("10", "a")),
    "value-nobody-measured": invented("suction pressure", "128 psi"),
    "named-after-the-part": moved(NAMED, {"act": "fit"}),
}

BREAKER: dict[str, Way] = {
    "right": right,
    "other-order": emptied_first,
    "fourteen-gauge": all_of(
        changed({"act": "take wire", "wire": "51"}, gauge="14 AWG"),
        changed({"act": "take wire", "wire": "52"}, gauge="14 AWG"),
    ),
    "ten-ampere-breaker": changed({"act": "fit"}, type="panel-breaker-10"),
    "sixty-ampere-breaker": changed({"act": "fit"}, type="panel-breaker-60"),
    "lugs-by-feel": changed({"act": "torque", "wire": "51", "end": "a"}, means="feel"),
    "no-warning": no_warning,
    "both-legs-on-one-lug": changed(land("52", "b"), place="disconnect.L1"),
    "values-not-recorded": without({"act": "record"}),
}  # fmt: skip

RELAY: dict[str, Way] = {
    "right": right,
    "other-order": all_of(
        moved(land("8", "a"), {"act": "tug", "wire": "10", "end": "a"}),
        moved({"act": "tug", "wire": "8", "end": "a"}, land("8", "a")),
    ),
    "relay-a": lambda steps: _relay(steps, "relay-a"),
    "relay-e": lambda steps: _relay(steps, "relay-e"),
    "second-time-not-isolated": lambda steps: _second_time(steps),
    "cover-off-at-power": cover_off_at_power("terminal-cap"),
    "one-and-two-exchanged": swapped(land("9", "a"), land("10", "a")),
    "five-and-one-exchanged": swapped(land("8", "a"), land("10", "a")),
    "no-second-look": no_second_look,
}

DUAL: dict[str, Way] = {
    "right": right,
    "other-order": all_of(
        emptied_first,
        moved(land("4", "a"), {"act": "tug", "wire": "10", "end": "a"}),
        moved({"act": "tug", "wire": "4", "end": "a"}, land("4", "a")),
    ),
    "start-and-run-exchanged": swapped(land("5", "b"), land("7", "b")),
    "common-and-start-exchanged": swapped(land("4", "b"), land("7", "b")),
    "herm-and-fan-exchanged": swapped(land("7", "a"), land("10", "a")),
    "can-c-on-the-other-leg": changed(land("6", "a"), place="contactor.T1:c"),
    "not-tugged": not_tugged,
    "no-second-look": no_second_look,
    "compressor-lead-left-off": without(land("4", "b"), {"act": "tug", "wire": "4", "end": "b"}),
    "value-nobody-measured": invented("start lead amps", "3.1 A"),
}  # fmt: skip

FIND_CSR: dict[str, Way] = {
    "right": right,
    "other-order": all_of(emptied_first, sources_late),
    "common-and-start-exchanged": swapped(land("4", "b"), land("7", "b")),
    "start-and-run-exchanged": swapped(land("5", "b"), land("7", "b")),
    "common-and-run-exchanged": swapped(land("4", "b"), land("5", "b")),
    "no-ohms-at-all": without(
        {"act": "measure", "red": "strip.1"}, {"act": "measure", "red": "strip.2"}
    ),
    "screws-not-tightened": without({"act": "torque"}),
    "cover-left-off": left_off("bench-lid"),
    "ground-not-proved": without({"act": "measure", "red": "chassis", "black": "disconnect.PE"}),
}

FIRST: dict[str, Way] = {
    "right": right,
    "other-order": emptied_first,
    "clamp-round-both-legs": changed({"act": "clamp", "wires": "1"}, wires="1,2"),
    "cover-off-at-power": cover_off_at_power("terminal-cap"),
    "straight-to-the-call": lambda steps: _straight(steps),
    "one-start-only": without({"act": "wait", "seconds": 180.0}),
    "no-gloves": no_gloves,
    "values-not-recorded": without({"act": "record"}),
    "tool-left-in": before({"act": "put back"}, do("tool", name="discharge resistor", to="in")),
}

GROWL: dict[str, Way] = {
    "right": right,
    "other-order": another_order,
    "start-capacitor-named": changed(NAMED, fault="F25"),
    "no-separating-reading": lambda steps: _cites(steps, 1),
    "start-capacitor-changed-too": after(
        NAMED, do("lift", wire="11", end="a"), do("fit", part="sc", type="start-88-108"),
        do("land", wire="11", end="a", place="sc.2"), do("tug", wire="11", end="a"),
    ),
    "one-and-two-exchanged": swapped(land("9", "a"), land("10", "a")),
    "contact-named": changed(NAMED, fault="F27"),
    "named-after-the-part": moved(NAMED, {"act": "fit"}),
    "named-twice": before(NAMED, do("name fault", fault="F28", evidence=[], meanings=[])),
}  # fmt: skip

HUM: dict[str, Way] = {
    "right": right,
    "other-order": another_order,
    "held-on-the-hum": after(CALL, do("wait", seconds=20.0)),
    "named-after-the-part": moved(NAMED, {"act": "fit"}),
    "no-separating-reading": lambda steps: _cites(steps, 1),
    "rotor-named": changed(NAMED, fault="F42"),
    "own-lock-forgotten": no_own_lock,
    "herm-and-fan-exchanged": swapped(land("7", "a"), land("10", "a")),
    "no-photographs": no_photographs,
    "not-shown-empty": nothing_on_dc,
}

NO_AID: dict[str, Way] = {
    "right": right,
    "other-order": another_order,
    "no-fault-named": changed(NAMED, fault="none"),
    "contactor-named": changed(NAMED, fault="F36"),
    "nothing-cited": lambda steps: _cites(steps, None),
    "own-lock-forgotten": no_own_lock,
    "cover-left-off": left_off("top-tray"),
    "value-nobody-measured": invented("start time", "0.31 s"),
    "dead-at-once": dead_at_once,
}

POTENTIAL: dict[str, Way] = {
    "right": right,
    "other-order": all_of(
        emptied_first,
        moved({"act": "mount", "part": "pr"}, {"act": "mount", "part": "sc"}),
    ),
    "five-and-two-exchanged": swapped(land("31", "a"), land("32", "a")),
    "one-and-two-exchanged": swapped(land("32", "a"), land("33", "a")),
    "coil-on-the-leg-of-r": changed(land("31", "b"), place="contactor.T2:c"),
    "crimped-with-pliers": lambda steps: _pliers(steps),
    "not-looked-behind": changed({"act": "mount", "part": "pr"}, looked_behind=False),
    "cover-off-at-power": cover_off_at_power("terminal-cap"),
    "start-capacitor-on-the-leg-of-c": changed(land("34", "b"), place="contactor.T1:a"),
}

SOFT: dict[str, Way] = {
    "right": right,
    "other-order": emptied_first,
    "in-and-out-exchanged": swapped(land("4", "b"), land("15", "a")),
    "reference-on-the-leg-of-in": changed(land("16", "b"), place="contactor.T1:c"),
    "ground-not-proved": without({"act": "measure", "red": "chassis", "black": "disconnect.PE"}),
    "thermistor-left-in": lambda steps: _left_in(steps),
    "no-second-look": no_second_look,
    "cover-left-off": left_off("base-rail"),
    "nothing-handed-over": not_handed_over,
}

WAYS: dict[str, dict[str, Way]] = {
    "make-it-dead": MAKE_DEAD, "empty-three-capacitors": EMPTY_THREE,
    "a-full-service-call": FULL_CALL, "breaker-and-wire-from-the-nameplate": BREAKER,
    "choose-the-relay": RELAY, "dual-capacitor-unit": DUAL, "find-c-s-r-by-ohms": FIND_CSR,
    "first-start": FIRST, "growl-after-repair": GROWL, "hum-and-no-turn": HUM,
    "no-aid-is-the-right-answer": NO_AID, "potential-relay-and-start-capacitor": POTENTIAL,
    "soft-starter-retrofit": SOFT,
}  # fmt: skip


def _relay(steps: Steps, name: str) -> Steps:
    """Another relay off the tray, wired as the right one."""
    for step in steps:
        for key, value in step.act.items():
            if isinstance(value, str) and value.startswith("relay-d"):
                step.act[key] = value.replace("relay-d", name)
    return steps


def _second_time(steps: Steps) -> Steps:
    """Power was on once; the second time only the pull-out is opened."""
    first = next(n for n, s in enumerate(steps) if s.has(act="open", part="disconnect"))
    again = [n for n, s in enumerate(steps) if s.has(act="declare dead")][1]
    return [*steps[: first + 1], *steps[again + 1 :]]


def _straight(steps: Steps) -> Steps:
    """Covers on and the call, nothing checked."""
    a = next(n for n, s in enumerate(steps) if s.has(act="self check")) - 1
    b = next(n for n, s in enumerate(steps) if s.has(act="put back"))
    return [*steps[:a], *steps[b:]]


def _cites(steps: Steps, nth: int | None) -> Steps:
    """Cites one reading only, or none."""
    named = next(s for s in steps if s.has(act="name fault"))
    named.cites = [] if nth is None else [named.cites[nth]]
    named.act["meanings"] = [] if nth is None else [named.act["meanings"][nth]]
    return steps


def _left_in(steps: Steps) -> Steps:
    """The old thermistor and its two leads stay."""
    return [
        s for s in steps
        if s.act.get("part") != "pt" and s.act.get("wire") not in ("31", "32")
    ]  # fmt: skip


def _pliers(steps: Steps) -> Steps:
    for step in steps:
        if step.has(act="crimp"):
            step.act["tool"] = "pliers"
    return steps
