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
from trainer.base.retold import acted, again, spelt
from trainer.base.tongue import later, term, tr
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
    note = f" ({again(shown['note'])})" if shown["note"] else ""
    return tr(
        "[{number}] {instrument}, {setting}, {places}: {shown}.",
        number=event.seq,
        instrument=term("instrument", d["instrument"]),
        setting=term("setting", d["setting"]),
        places=spelt(" and ".join(d["leads"].values())),
        shown=(again(shown["text"]) or tr("nothing")) + note,
    )


def _shock(event: Event) -> str:
    d = event.data
    volts = (
        f"{d['volts_ac']} V ac" if d["volts_ac"] > abs(d["volts_dc"]) else f"{d['volts_dc']} V dc"
    )
    return tr(
        "SHOCK: {doer} on {place}, the other on {other}: {volts} drives {ma:.0f} mA through you; "
        "{effect}.",
        doer=spelt(d["doer"]), place=spelt(d["place"]), other=spelt(d["other"]), volts=spelt(volts),
        ma=1000.0 * max(d["amps"], d["peak_a"]), effect=again(d["effect"]),
    )  # fmt: skip


def _arc(event: Event) -> str:
    d = event.data
    told = tr(
        "FLASH at {a} and {b}: {joules:.3g} J.",
        a=spelt(d["a"]),
        b=spelt(d["b"]),
        joules=d["joules"],
    )
    return f"{told} {tr('The supply feeds it.')}" if d["fed"] else told


#: What becomes of an instrument on a range that hurts it.
HURT = {
    "ohms_burnt": later("The {instrument} is hurt: its ohms function is burnt."),
    "destroyed": later("The {instrument} is hurt: it is destroyed."),
}


def _harmed(event: Event) -> str:
    return tr(HURT[event.data["what"]], instrument=term("instrument", event.data["instrument"]))


def _start(event: Event) -> str:
    c, f = event.data["course"], event.data.get("figures", {})
    outcome, speed = again(c["outcome"]), c["to_speed_ms"]
    told = [tr("Start: the compressor {outcome}.", outcome=outcome)]
    if speed:
        told = [
            tr("Start: the compressor {outcome}, up to speed in {s:.2f} s.",
               outcome=outcome, s=speed / 1000)
        ]  # fmt: skip
    motors = event.data.get("motors", {})
    if c["outcome"] == "stands and hums" and motors and "stands" not in motors.values():
        # what it does instead is heard beside it: one that turns backwards does not stand
        told = [tr("Start: the compressor does not come up to speed.")]
    peak = f.get("peak_line_a")
    told += [tr("Peak line amps {peak:.0f} A.", peak=peak)] if peak else []
    others = [spelt(n) for n, how in motors.items() if how == "stands"]
    told += [tr("Standing: {motors}.", motors=", ".join(others))] if others else []
    return " ".join(told)


#: How an attempt ends, by the word in its last event.
ENDED = {
    "handed over": later("The job is handed over."),
    "death": later(
        "The attempt ends here: at that current and for that long the heart may stop. "
        "On a real unit there would be no next try."
    ),
    "loss": later(
        "The attempt ends here: the screw went through and the unit has lost its refrigerant."
    ),
}


def _cover(event: Event) -> str:
    cover = term("cover", event.data["cover"])
    if event.data["off"]:
        return tr("The {cover} is off.", cover=cover)
    return tr("The {cover} is on.", cover=cover)


def _tool(event: Event) -> str:
    tool = spelt(event.data["tool"])
    if event.data["inside"]:
        return tr("{tool} in the cabinet.", tool=tool)
    return tr("{tool} out of the cabinet.", tool=tool)


def _did(event: Event) -> str:
    act = acted(f"{event.data['what']} {event.data['to']}".rstrip())
    return f"[{event.seq}] {act}."


def _worn(event: Event) -> str:
    return tr(
        "You wear {items}.", items=spelt(", ".join(event.data["items"])) or tr("nothing special")
    )


def _selected(event: Event) -> str:
    d = event.data
    return tr(
        "{instrument} in hand, on {setting}.",
        instrument=term("instrument", d["instrument"]), setting=term("setting", d["setting"]),
    )  # fmt: skip


def _sentence(text: str, *fields: str) -> Callable[[Event], str]:
    """One sentence with words of the event in it."""
    return lambda e: tr(text, **{name: spelt(str(e.data[name])) for name in fields})


TELL: dict[str, Callable[[Event], str]] = {
    "refused": lambda e: again(str(e.data["why"])),
    "seen": lambda e: again(str(e.data["text"])),
    "read": _read,
    "shock": _shock,
    "arc": _arc,
    "harmed": _harmed,
    "start": _start,
    "cover": _cover,
    "locked": _sentence(later("Your lock is on {part}, the key in your pocket."), "part"),
    "tagged": _sentence(later("The tag hangs on {part}."), "part"),
    "unlocked": _sentence(later("The lock is off {part}."), "part"),
    "ppe": _worn,
    "stance": _sentence(later("You stand {stance}."), "stance"),
    "told": _sentence(later("You tell {who}."), "who"),
    "source": _sentence(later("Listed: {name}."), "name"),
    "selected": _selected,
    "leads": _sentence(later("The leads stay on {red} and {black}."), "red", "black"),
    "trace": lambda e: f"[{e.seq}] {tr('scope, {text}.', text=again(e.data['text']))}",
    "pierced": _sentence(
        later("A hiss: the screw has gone into the {zone}. Keep clear, air."), "zone"
    ),
    "killed": _sentence(later("A faint snap in {part}: its electronics are no more."), "part"),
    "photographed": _sentence(later("The photograph shows {what} as it is."), "what"),
    "part out": _sentence(later("{name} is out of the unit."), "name"),
    "conductor out": _sentence(later("Wire {wire} is out."), "wire"),
    "hint": lambda e: tr("Hint {tier}: {text}", tier=e.data["tier"], text=again(e.data["text"])),
    "wiped": _sentence(later("{place} is clean."), "place"),
    "declared": lambda e: tr("You declare the unit dead."),
    "tool": _tool,
    "over": lambda e: tr(ENDED[e.data.get("why", "handed over")]),
    "did": _did,
}


def clock(at_ms: int) -> str:
    """Bench time as h:mm:ss."""
    seconds = at_ms // 1000
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
