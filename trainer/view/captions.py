"""What just happened, in a sentence for the caption: what eye and ear got, and what the hand did.

Knows the events of one act; must know no shape and no bench.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trainer.session.events import Event
from trainer.session.text import tell
from trainer.view.language import later as _
from trainer.view.language import spelt, term, tr

#: An act by its name, in words; fields of the act stand in braces.
DONE = {
    "set zone": _("You have closed off the area."),
    "look": _("You look at {at}."),
    "read": _("You have read it: {what}."),
    "inspect": _("You look at end {end} of wire {wire}."),
    "inspect leads": _("You look over the leads of the {instrument}."),
    "self check": _("You let the {instrument} check itself."),
    "try start": _("You try to start it at {part}."),
    "discharge": _("The resistor lay across {a} and {b} for {seconds} s."),
    "touch": _("You touch {place}."),
    "short": _("You bridge {a} and {b}."),
    "lift": _("End {end} of wire {wire} is off, taken by its terminal."),
    "lift by the wire": _("End {end} of wire {wire} is off, pulled by the wire."),
    "land": _("End {end} of wire {wire} is on {place}."),
    "land half": _("End {end} of wire {wire} is half on {place}."),
    "torque": _("End {end} of wire {wire} is tightened to {nm} N-m with the torque driver."),
    "torque by feel": _("End {end} of wire {wire} is tightened by feel."),
    "loosen": _("The screw on end {end} of wire {wire} is loose."),
    "take wire": _("Wire {wire} is cut to length: {colour}, {gauge}."),
    "strip": _("End {end} of wire {wire} is stripped, {mm} mm bare."),
    "crimp": _("End {end} of wire {wire} has its fitting crimped on."),
    "cap": _("End {end} of wire {wire} is capped."),
    "park": _("End {end} of wire {wire} is parked."),
    "cut": _("End {end} of wire {wire} is cut off."),
    "label": _("End {end} of wire {wire} is labelled: {text}."),
    "dress": _("Wire {wire} is dressed: {how}."),
    "route": _("Wire {wire} has its way through the cabinet."),
    "fit": _("A new part is fitted as {part}: {type}."),
    "mount": _("The {part} is mounted."),
    "look behind": _("You look behind that spot."),
    "scrape": _("The paint is off under {place}."),
    "label unit": _("The unit carries a label: {text}."),
    "dispose": _("Disposed of: {what}."),
    "photograph": _("You photograph {what}."),
    "record": _("Noted: {what}, {value}."),
    "name fault": _("You have named what is wrong."),
    "wait until": _("You have waited."),
    "second look": _("You have looked over the work a second time."),
    "clean up": _("You have cleaned up."),
    "sign off": _("You have signed off."),
    "hand over": _("You hand over: {words}."),
}
#: What these found out has been told where anything has.
FOUND = frozenset(("look", "read", "inspect", "look behind", "torque", "wait until", "photograph"))
#: Words of a person, of a plate or of a flag: they stay as they are.
OWN = ("text", "words", "value", "wire", "end", "colour", "gauge", "type")


def captions(events: Sequence[Event]) -> tuple[str, ...]:
    """Sentences of one act, what was done before what came of it."""
    asked = next((e.data for e in events if e.kind == "asked"), None)
    refused = any(e.kind == "refused" for e in events)
    found = tell([e for e in events if e.kind != "did"])
    if asked is None or refused or (found and asked.get("act") in FOUND):
        return tuple(found)
    # what changed without an event of its own is told only where nothing else is
    did = any(e.kind == "did" for e in events)
    words = done(asked) if did or not found else ""
    return (words, *found) if words else tuple(found)


def done(act: Mapping[str, Any]) -> str:
    """What a hand did, or "" for what has no sentence."""
    words = DONE.get(_kind(act), "")
    return tr(words, **{name: _field(name, value) for name, value in act.items()})


def _kind(act: Mapping[str, Any]) -> str:
    name = str(act.get("act"))
    if name == "hand over" and not act.get("words"):
        return ""
    if name == "lift" and act.get("by") == "wire":
        return "lift by the wire"
    if name == "land" and act.get("push") == "half":
        return "land half"
    return "torque by feel" if name == "torque" and act.get("means") == "feel" else name


def _field(name: str, value: Any) -> str:
    if isinstance(value, int | float):
        return f"{value:g}"
    if name == "instrument":
        return term("instrument", str(value))
    return str(value) if name in OWN else spelt(str(value))
