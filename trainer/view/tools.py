"""The tray: every tool, what it wants to be pointed at, what is set on it, which act comes of it.

Data only, so that tray, keys and scripts agree. Knows names of acts; must know no bench.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from trainer.view.language import later as _

Pick = Literal["place", "end", "wire", "part"]


@dataclass(frozen=True)
class Choice:
    """One of a few words; ``rows`` are (value, word)."""

    name: str
    label: str
    rows: tuple[tuple[str, str], ...]
    first: str = ""


@dataclass(frozen=True)
class Amount:
    """A set value: exact by buttons and keys alike."""

    name: str
    label: str
    unit: str
    first: float
    step: float
    low: float
    high: float


@dataclass(frozen=True)
class Line:
    """Something to type; ``offers`` names a list of the job to pick from."""

    name: str
    label: str
    offers: str = ""
    first: str = ""
    needed: bool = True


Setting = Choice | Amount | Line


@dataclass(frozen=True)
class Tool:
    """``picks``: field of the act -> kind of thing, in order. ``at_once``: all is said by choosing.

    An end fills two fields of its act, ``wire`` and ``end``.
    """

    name: str
    group: str
    label: str
    icon: str
    act: str = ""
    picks: tuple[tuple[str, Pick], ...] = ()
    settings: tuple[Setting, ...] = ()
    says: str = ""
    instrument: str = ""
    #: Carried out with a button once its settings are right, not by the last pick.
    by_button: bool = False
    #: The word on that button.
    does: str = ""


GROUPS: tuple[tuple[str, str], ...] = (
    ("safe", _("Make safe")), ("measure", _("Measure")), ("hand", _("Hand tools")),
    ("parts", _("Leads and parts")), ("power", _("Power")),
)  # fmt: skip

WHY = Choice("why", _("Why"), (
    ("", _("no reason")), ("known source", _("known source")), ("test", _("test")),
    ("re-prove", _("re-prove")),
))  # fmt: skip
PROTECT = (_("safety glasses"), _("insulating gloves"), _("arc-rated jacket"), _("face shield"))
COLOURS = tuple((c, c) for c in ("BK", "RD", "YE", "BU", "GN", "WH", "PU", "BN", "OR", "GY"))
GAUGES = tuple((g, g) for g in ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG"))
TWO: tuple[tuple[str, Pick], ...] = (("red", "place"), ("black", "place"))
END: tuple[tuple[str, Pick], ...] = (("wire", "end"),)
PART: tuple[tuple[str, Pick], ...] = (("part", "part"),)

TOOLS: tuple[Tool, ...] = (
    Tool("hand", "hand", _("Hand"), "hand",
         says=_("Click an end to take it off or pick it up, a place to land it, a cover, a switch.")),
    Tool("protect", "safe", _("Protect"), "gloves", "put on", by_button=True, settings=(
        Choice("items", _("You wear"), tuple((p, p) for p in PROTECT)),)),
    Tool("lock", "safe", _("Lock"), "lock", "lock", PART, says=_("Click what your lock goes on.")),
    Tool("tag", "safe", _("Tag"), "tag", "tag", PART, (
        Line("text", _("Words"), "tags", "do not close, working on the unit"),),
        says=_("Click what the tag hangs on.")),
    Tool("try start", "safe", _("Try start"), "try", "try start", by_button=True, settings=(
        Line("part", _("By"), "callers", "indoor"),)),
    Tool("discharge", "safe", _("Discharge"), "discharge", "discharge",
         (("a", "place"), ("b", "place")),
         (Amount("seconds", _("For"), "s", 10.0, 1.0, 1.0, 600.0),),
         says=_("Click the two places the resistor goes across.")),
    Tool("declare dead", "safe", _("Dead"), "declare", "declare dead", by_button=True,
         says=_("Say that the unit is dead and safe to work on.")),
    Tool("meter", "measure", _("Meter"), "meter", "measure", TWO, (WHY,), instrument="meter",
         says=_("Click where the red probe goes, then the black one.")),
    Tool("tester", "measure", _("Tester"), "tester", "measure", TWO, (WHY,), instrument="tester",
         says=_("Click where each of the two probes goes.")),
    Tool("pen", "measure", _("Pen"), "pen", "sense", (("place", "place"),), instrument="pen",
         says=_("Click where the tip goes.")),
    Tool("clamp", "measure", _("Clamp"), "clamp", "clamp", (("wires", "wire"),),
         instrument="clamp", says=_("Click the flag of the conductor the jaws close round.")),
    Tool("insulation", "measure", _("Insulation"), "insulation", "measure", TWO, (WHY,),
         instrument="insulation", says=_("Click where the red lead goes, then the black one.")),
    Tool("scope", "measure", _("Scope"), "scope", "scope",
         (("one", "place"), ("clip", "place"), ("two", "place")),
         (Amount("ms", _("For"), "ms", 100.0, 20.0, 20.0, 1000.0),), instrument="scope",
         says=_("Click tip one, the earthed clip both share, tip two.")),
    Tool("strip", "hand", _("Strip"), "strip", "strip", END, (
        Amount("mm", _("Bare"), "mm", 8.0, 1.0, 1.0, 60.0),
        Choice("tool", _("with"), (("stripper", _("stripper")), ("knife", _("knife")),
               ("wrong notch", _("wrong notch"))), "stripper")),
        says=_("Click a free end.")),
    Tool("crimp", "hand", _("Crimp"), "crimp", "crimp", END, (
        Choice("fitting", _("Fitting"), (("female_250", _("1/4 in female")), ("ring", _("ring")),
               ("fork", _("fork")), ("pin", _("pin"))), "female_250"),
        Choice("tool", _("with"), (("ratchet", _("ratchet")), ("pliers", _("pliers")),
               ("wrong die", _("wrong die"))), "ratchet")),
        says=_("Click a free, stripped end.")),
    Tool("torque", "hand", _("Torque"), "torque", "torque", END, (
        Amount("nm", _("To"), "N·m", 2.5, 0.1, 0.1, 60.0),
        Choice("means", _("by"), (("torque driver", _("torque driver")), ("feel", _("feel"))),
               "torque driver")),
        says=_("Click an end that is under a screw."), by_button=True, does=_("Tighten")),
    Tool("tug", "hand", _("Tug"), "tug", "tug", END, says=_("Click the end to pull at.")),
    Tool("look", "hand", _("Look"), "look", "look", (("at", "part"),),
         says=_("Click a part, or an end to see how it was made.")),
    Tool("wipe", "hand", _("Wipe"), "wipe", "wipe", (("place", "place"),),
         says=_("Click the marking or terminal to clean.")),
    Tool("cut", "hand", _("Cut"), "cut", "cut", END, says=_("Click the free end to cut back.")),
    Tool("loosen", "hand", _("Loosen"), "screwdriver", "loosen", END,
         says=_("Click an end under a screw.")),
    Tool("half", "hand", _("Push half"), "hand", "land", (("wire", "end"), ("place", "place")), (
        Choice("push", _("Push"), (("fully", _("fully")), ("half", _("half"))), "half"),),
        says=_("Click a free end, then where it goes.")),
    Tool("lead", "parts", _("New lead"), "lead", "take wire", by_button=True, settings=(
        Line("wire", _("Number"), "numbers"),
        Choice("gauge", _("Gauge"), GAUGES, "14 AWG"),
        Choice("colour", _("Colour"), COLOURS, "BK"),
        Amount("length", _("Length"), "ft", 2.0, 1.0, 1.0, 300.0))),
    Tool("cap", "parts", _("Cap off"), "cap", "cap", END, says=_("Click a free end.")),
    Tool("park", "parts", _("Park"), "park", "park", END, says=_("Click a capped end.")),
    Tool("label", "parts", _("Label"), "label", "label", END, (Line("text", _("Label"), "labels"),),
         says=_("Click the end the label goes on.")),
    Tool("dress", "parts", _("Tie"), "dress", "dress", (("wire", "wire"),), (
        Choice("how", _("How"), (("tie", _("tie")), ("grommet", _("grommet")),
               ("strain relief", _("strain relief")), ("drip loop", _("drip loop")),
               ("slack", _("slack"))), "tie"),),
        says=_("Click the flag of a conductor.")),
    Tool("part", "parts", _("Part"), "part", "fit", PART, (Line("type", _("For"), "types"),),
         says=_("Click the part to exchange, its wires off.")),
    Tool("stand", "power", _("Stand"), "stand", "stand", by_button=True, settings=(
        Choice("where", _("Stand"), (("aside", _("aside")), ("in front", _("in front"))),
               "aside"),)),
    Tool("thermostat", "power", _("Call"), "call", "thermostat", by_button=True, settings=(
        Choice("to", _("Set to"), (("call", _("call")), ("off", _("off")), ("cool", _("cool")),
               ("heat", _("heat"))), "call"),
        Line("part", _("at"), "callers", "indoor"))),
    Tool("wait", "power", _("Wait"), "wait", "wait", by_button=True, settings=(
        Amount("seconds", _("For"), "s", 3.0, 1.0, 1.0, 14400.0),)),
    Tool("more", "power", _("More"), "search", says=_("Every act, by name.")),
)  # fmt: skip

BY_NAME: Mapping[str, Tool] = {t.name: t for t in TOOLS}


def first_values(tool: Tool) -> dict[str, Any]:
    """What is set on a tool when it is taken up first."""
    return {s.name: s.first for s in tool.settings}


def filled(tool: Tool, picks: Sequence[str], values: Mapping[str, Any]) -> dict[str, Any]:
    """The act as plain data, from what was pointed at and what is set."""
    act: dict[str, Any] = {"act": tool.act, **_settings(tool, values)}
    for (name, kind), picked in zip(tool.picks, picks, strict=False):
        if kind == "end":
            tag, side = picked.rsplit(".", 1)
            act |= {"wire": tag, "end": side}
        else:
            act[name] = picked
    return act


def _settings(tool: Tool, values: Mapping[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for setting in tool.settings:
        value = values.get(setting.name, setting.first)
        if setting.name == "items":
            found["items"] = [p for p in str(value).split(",") if p]
        elif setting.name == "length":
            found["length"] = f"{value:g} ft"
        elif value != "" or isinstance(setting, Line):
            found[setting.name] = value
    return found
