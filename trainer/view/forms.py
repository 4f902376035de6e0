"""Forms: any act by name, its fields filled by choice or typing. What cannot be done by pointing
can be done here, and all of it by keyboard.

Knows acts as records; must know no bench physics and no shape.
"""

from __future__ import annotations

from functools import cache
from typing import Any, get_args, get_origin

from trainer.view.language import spelt, term, tr
from trainer.view.state import App, Job

#: Words that shops write on tags; what people near a unit are called. Common practice, no source.
TAGS = ("do not close, working on the unit", "do not close")
PEOPLE = ("people in the house", "everybody near the unit", "people in the workshop")


def offered(app: App, what: str) -> list[str]:
    """A short list to pick from for a line; what is really on the bench, never what is right."""
    job = app.job
    if job is None:
        return []
    unit = job.bench.unit
    if what == "tags":
        return list(TAGS)
    if what == "callers":
        return [n for n, p in unit.parts.items() if p.where == "indoor"] or ["indoor"]
    if what == "numbers":
        return [_free_number(job)]
    if what == "types":
        return [p.type for p in (job.bench.tray or {}).values()]
    if what == "labels" and job.picks == ():
        return []
    return LISTS[what](job) if what in LISTS else []


def _free_number(job: Job) -> str:
    """The next wire number that nobody bears."""
    taken = set(job.bench.unit.conductors)
    return next(str(n) for n in range(31, 1000) if str(n) not in taken)


def _readings(job: Job) -> list[str]:
    return [str(r) for r in job.told.get("readings", ())]


def _sources(job: Job) -> list[str]:
    """Names of sources on any unit that ships: what a mechanic knows to look for."""
    return list(_all_sources())


@cache
def _all_sources() -> tuple[str, ...]:
    from trainer.unit.layout import layout_names, load_layout

    names = {feed.name for name in layout_names() for feed in load_layout(name).feeds}
    return tuple(sorted(names))


def _covers(job: Job) -> list[str]:
    from trainer.view.board.seen import layout_of

    return list(layout_of(job.bench).covers)


def _wires(job: Job) -> list[str]:
    return list(job.bench.unit.conductors)


def _parts(job: Job) -> list[str]:
    return list(job.bench.unit.parts)


def _places(job: Job) -> list[str]:
    from trainer.unit.catalogue import type_of

    return [
        *(
            f"{part}.{terminal}" + (f":{p.id}" if p.id else "")
            for part, placed in job.bench.unit.parts.items()
            for terminal, spec in type_of(placed.type).terminals.items()
            for p in spec.places
        ),
        "chassis",
    ]


def _tray(job: Job) -> list[str]:
    return list(job.bench.tray or {})


def _faults(job: Job) -> list[str]:
    from trainer.unit.faults import FAULTS

    return ["none", *sorted(FAULTS)]


#: So many offers are seen at a glance.
SHORT = 12
#: Acts that cite readings -> the field that holds their numbers.
CITES = {"record": "reading", "name fault": "evidence"}


def cites(act: str) -> str:
    """The field of an act that readings are picked for, or ""."""
    return CITES.get(act, "")


LISTS: dict[str, Any] = {
    "readings": _readings, "sources": _sources, "covers": _covers, "wires": _wires,
    "parts": _parts, "places": _places, "tray": _tray, "faults": _faults,
    "people": lambda job: list(PEOPLE),
}  # fmt: skip
#: Field of an act -> list it is picked from.
FIELDS = {
    "cover": "covers", "wire": "wires", "place": "places", "red": "places", "black": "places",
    "a": "places", "b": "places", "one": "places", "clip": "places", "two": "places",
    "other": "places", "name": "sources", "who": "people", "type": "types", "fault": "faults",
    "wires": "wires",
}  # fmt: skip


def list_for(app: App, act: str, name: str) -> list[str]:
    """What a field of a form can be picked from, possibly nothing."""
    job = app.job
    if job is None:
        return []
    if act == "record" and name == "what":
        return _readings(job)
    if act == "mount" and name == "part":
        return _tray(job)
    if act == "take wire":
        return [_free_number(job)] if name == "wire" else []
    if act in ("photograph", "look", "dispose") and name in ("what", "at"):
        return [*(["unit"] if act == "look" else []), *_parts(job)]
    if name == "part":
        return _parts(job)
    if act == "tool":
        return []
    if name in FIELDS:
        return offered(app, FIELDS[name]) if FIELDS[name] == "types" else LISTS[FIELDS[name]](job)
    return []


def words_for(what: str) -> str:
    """How an offer is called; a condition by its number and its name."""
    from trainer.unit.faults import FAULTS

    if what == "none":
        return tr("none: nothing is wrong")
    return f"{what} {term('condition', FAULTS[what].name)}" if what in FAULTS else spelt(what)


def matching(offers: list[str], typed: str) -> list[str]:
    """Offers that go with what was typed so far; a short list stays whole once one is picked."""
    if not typed or (typed in offers and len(offers) <= SHORT):
        return offers
    return [o for o in offers if typed.casefold() in words_for(o).casefold()]


def fields_of(act: str) -> list[tuple[str, list[str], Any, bool]]:
    """(name, choices, default, needed) of an act's fields."""
    from trainer.session.acts import ACTS

    found = []
    for name, info in ACTS[act].model_fields.items():
        if name == "act":
            continue
        note = info.annotation
        choices = [str(c) for c in get_args(note) if isinstance(c, str)]
        if get_origin(note) is list:
            choices = []
        if note is bool:
            choices = ["no", "yes"]
        default = None if info.is_required() else info.get_default(call_default_factory=True)
        found.append((name, choices, default, info.is_required()))
    return found


def form_act(app: App) -> tuple[dict[str, Any], str]:
    """The act that the open form asks for, or why it is not one yet."""
    from pydantic import ValidationError

    from trainer.session.acts import ACTS

    job = app.job
    assert job is not None
    asked: dict[str, Any] = {"act": job.form, **_cited(job)}
    for name, _, default, needed in fields_of(job.form):
        if name in asked:
            continue
        given = app.texts.get(f"form.{job.form}.{name}", job.form_values.get(name))
        if given is None or given == "":
            if needed:
                return {}, tr(
                    "{act}: {field} is still empty",
                    act=term("act", job.form),
                    field=term("field", name),
                )
            continue
        asked[name] = _value(job.form, name, given, default)
    if len(asked.get("meanings", ())) not in (0, len(asked.get("evidence", ()))):
        return {}, tr("{act}: say of every reading cited what it means", act=term("act", job.form))
    try:
        ACTS[job.form].model_validate(asked)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        return {}, f"{job.form}: {' '.join(str(x) for x in first['loc'])}: {first['msg'].lower()}"
    return asked, ""


def _cited(job: Job) -> dict[str, Any]:
    """Readings as they were picked; what each means, where any was said to mean something."""
    field = cites(job.form)
    if field == "reading":
        return {"reading": job.form_values.get("reading", 0)}
    if field != "evidence":
        return {}
    numbers = list(job.form_values.get("evidence", []))
    means = job.form_values.get("means", {})
    said = [means[n] for n in numbers if n in means]
    return {"evidence": numbers, "meanings": said}


def _value(act: str, name: str, given: Any, default: Any) -> Any:
    """Typed text as the field wants it."""
    from trainer.session.acts import ACTS

    note = ACTS[act].model_fields[name].annotation
    if get_origin(note) is list:
        return [p.strip() for p in str(given).split(",") if p.strip()]
    if note is bool:
        return given in ("yes", True)
    numbers = (float, int)
    if note in numbers or any(k in numbers for k in get_args(note)):
        try:
            return int(given) if note is int else float(given)
        except ValueError:
            return given
    return given
