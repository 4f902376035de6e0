"""The text bench: a line becomes an act, events become sentences. One line, one act.

Grammar: the act's name, then its fields in order, little words left out as one likes; a text of
several words goes last or in quotes. ``measure contactor.L1 to chassis`` and ``measure
contactor.L1 chassis`` are the same. Knows acts and events; must know no circuit.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import Any, get_args, get_origin

from pydantic import ValidationError

from trainer.base.errors import TrainerError, quoted
from trainer.session.acts import ACTS, Act
from trainer.session.events import Event

#: Words that may stand between fields.
LITTLE = {"to", "and", "from", "on", "at", "the", "wire", "end", "with", "for", "is", "=", "round"}
UNITS = {"s", "sec", "seconds", "mm", "N.m", "Nm", "nm"}
LINE_MOST = 500


def parse(line: str) -> Act:
    """The act a line asks for. Raises TrainerError with what to type."""
    words = _words(line)
    name = next((n for n in sorted(ACTS, key=len, reverse=True) if _begins(words, n)), None)
    if name is None:
        near = get_close_matches(" ".join(words[:2]), ACTS, n=1) or get_close_matches(
            words[0], ACTS, n=1
        )
        hint = f"did you mean {near[0]}" if near else "type help for all acts"
        raise TrainerError(f"{quoted(' '.join(words[:3]))} is no act", hint=hint)
    kind = ACTS[name]
    try:
        return kind.model_validate(_fields(kind, words[len(name.split()) :]))
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = " ".join(str(x) for x in first["loc"])
        raise TrainerError(f"{name}: {where} {first['msg'].lower()}", hint=usage(name)) from None


def _words(line: str) -> list[str]:
    try:
        words = shlex.split(line[:LINE_MOST])
    except ValueError:
        raise TrainerError("a quotation mark is not closed") from None
    if not words:
        raise TrainerError("nothing is asked", hint="type help for all acts")
    return words


def _begins(words: Sequence[str], name: str) -> bool:
    parts = name.split()
    return [w.lower() for w in words[: len(parts)]] == parts


def _fields(kind: type[Act], words: list[str]) -> dict[str, Any]:
    """Fields in order from words; the last field takes what is left."""
    names = [n for n in kind.model_fields if n != "act"]
    given: dict[str, Any] = {}
    left = list(words)
    for n, name in enumerate(names):
        while left and left[0].lower() in LITTLE:
            left.pop(0)
        if not left:
            break
        note = kind.model_fields[name].annotation
        last = n == len(names) - 1 or _takes_rest(note, left)
        taken = left if last and not _single(note) else left[:1]
        left = left[len(taken) :]
        if left and left[0] in UNITS:
            left.pop(0)
        given[name] = _value(note, taken)
    if left:
        raise TrainerError(
            f"{quoted(' '.join(left))} is too much",
            hint=usage(str(kind.model_fields["act"].default)),
        )
    return given


def _single(note: Any) -> bool:
    return note in (float, int, bool)


def _takes_rest(note: Any, left: Sequence[str]) -> bool:
    """A choice of several words, such as "V ac" or "known source", written without quotes."""
    choices = get_args(note) if get_origin(note) is not None else ()
    return " ".join(left) in choices


def _value(note: Any, words: Sequence[str]) -> Any:
    text = " ".join(words)
    if get_origin(note) is list:
        return [piece.strip() for piece in text.split(",") if piece.strip()]
    if note is bool:
        return text.lower() in ("yes", "true", "1")
    if note in (float, int):
        try:
            return float(text) if note is float else int(text)
        except ValueError:
            return text
    return text


def usage(name: str) -> str:
    fields = [
        n.upper() if f.is_required() else f"[{n.upper()}]"
        for n, f in ACTS[name].model_fields.items()
        if n != "act"
    ]
    return " ".join([name, *fields])


def spelled(act: Act) -> str:
    """The line that asks for an act: what ``parse`` makes this act of again."""
    given = act.model_dump(mode="json")
    fields = [(n, f) for n, f in type(act).model_fields.items() if n != "act"]
    while fields and given[fields[-1][0]] == fields[-1][1].get_default(call_default_factory=True):
        fields.pop()
    words = [_word(given[name], field.annotation) for name, field in fields]
    return " ".join([str(given["act"]), *words])


def _word(value: Any, note: Any) -> str:
    """A field as one word of the line; a length with its unit."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"'{value!r} m'" if str in get_args(note) else repr(value)
    return shlex.quote(", ".join(map(str, value)) if isinstance(value, list) else str(value))


def tell(events: Sequence[Event]) -> list[str]:
    """What eye and ear get of events, a sentence each; what has no sentence is silent."""
    found = [TELL[e.kind](e) for e in events if e.kind in TELL]
    return [sentence for sentence in found if sentence]


def _read(event: Event) -> str:
    d, shown = event.data, event.data["shown"]
    places = " and ".join(d["leads"].values())
    note = f" ({shown['note']})" if shown["note"] else ""
    display = shown["text"] or "nothing"
    return f"[{event.seq}] {d['instrument']}, {d['setting']}, {places}: {display}{note}."


def _shock(event: Event) -> str:
    d = event.data
    volts = (
        f"{d['volts_ac']} V ac" if d["volts_ac"] > abs(d["volts_dc"]) else f"{d['volts_dc']} V dc"
    )
    amps = 1000.0 * max(d["amps"], d["peak_a"])
    return (
        f"SHOCK: {d['doer']} on {d['place']}, the other on {d['other']}: {volts} drives "
        f"{amps:.0f} mA through you; {d['effect']}."
    )


def _arc(event: Event) -> str:
    d = event.data
    fed = " The supply feeds it." if d["fed"] else ""
    return f"FLASH at {d['a']} and {d['b']}: {d['joules']:.3g} J.{fed}"


def _harmed(event: Event) -> str:
    what = {"ohms_burnt": "its ohms function is burnt", "destroyed": "it is destroyed"}
    return f"The {event.data['instrument']} is hurt: {what[event.data['what']]}."


def _start(event: Event) -> str:
    c, f = event.data["course"], event.data.get("figures", {})
    speed = f", up to speed in {c['to_speed_ms'] / 1000:.2f} s" if c["to_speed_ms"] else ""
    said = f"Start: the compressor {c['outcome']}{speed}."
    others = [n for n, how in event.data.get("motors", {}).items() if how == "stands"]
    stood = f" Standing: {', '.join(others)}." if others else ""
    peak = f.get("peak_line_a")
    return f"{said} Peak line amps {peak:.0f} A.{stood}" if peak else f"{said}{stood}"


#: How an attempt ends, by the word in its last event.
ENDED = {
    "handed over": "The job is handed over.",
    "death": "The attempt ends here: at that current and for that long the heart may stop. "
    "On a real unit there would be no next try.",
    "loss": "The attempt ends here: the screw went through and the unit has lost its refrigerant.",
}


TELL: dict[str, Callable[[Event], str]] = {
    "refused": lambda e: str(e.data["why"]),
    "seen": lambda e: str(e.data["text"]),
    "read": _read,
    "shock": _shock,
    "arc": _arc,
    "harmed": _harmed,
    "start": _start,
    "cover": lambda e: f"The {e.data['cover']} is {'off' if e.data['off'] else 'on'}.",
    "locked": lambda e: f"Your lock is on {e.data['part']}, the key in your pocket.",
    "tagged": lambda e: f"The tag hangs on {e.data['part']}.",
    "unlocked": lambda e: f"The lock is off {e.data['part']}.",
    "ppe": lambda e: f"You wear {', '.join(e.data['items']) or 'nothing special'}.",
    "stance": lambda e: f"You stand {e.data['stance']}.",
    "told": lambda e: f"You tell {e.data['who']}.",
    "source": lambda e: f"Listed: {e.data['name']}.",
    "selected": lambda e: f"{e.data['instrument']} in hand, on {e.data['setting']}.",
    "leads": lambda e: f"The leads stay on {e.data['red']} and {e.data['black']}.",
    "trace": lambda e: f"[{e.seq}] scope, {e.data['text']}.",
    "pierced": lambda e: f"A hiss: the screw has gone into the {e.data['zone']}. Keep clear, air.",
    "killed": lambda e: f"A faint snap in {e.data['part']}: its electronics are no more.",
    "photographed": lambda e: f"The photograph shows {e.data['what']} as it is.",
    "part out": lambda e: f"{e.data['name']} is out of the unit.",
    "conductor out": lambda e: f"Wire {e.data['wire']} is out.",
    "hint": lambda e: f"Hint {e.data['tier']}: {e.data['text']}",
    "wiped": lambda e: f"{e.data['place']} is clean.",
    "declared": lambda e: "You declare the unit dead.",
    "tool": lambda e: f"{e.data['tool']} {'in' if e.data['inside'] else 'out of'} the cabinet.",
    "over": lambda e: ENDED[e.data.get("why", "handed over")],
    "did": lambda e: f"[{e.seq}] {e.data['what']} {e.data['to']}".rstrip() + ".",
}


def clock(at_ms: int) -> str:
    """Bench time as h:mm:ss."""
    seconds = at_ms // 1000
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
