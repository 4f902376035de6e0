"""Critical errors CF1 to CF13: each a predicate over what was so at one act, told once a code.

Where the circuit answered (a shock, a flash, a start), its own numbers are the consequence.
Knows the story, the job and the wiring; must know no weight. A rubric chooses which codes count.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from trainer.assess.consequence import of_hurt, of_start
from trainer.assess.job import Job
from trainer.assess.judged import Seen, evidence
from trainer.assess.live import PPE, unprotected
from trainer.assess.marks import UNHARMED, Critical
from trainer.assess.procedure import procedure
from trainer.assess.recorded import invented
from trainer.assess.scene import Scene, Turn
from trainer.assess.sequence import Moment
from trainer.assess.site import kind_of
from trainer.assess.story import Start, Story
from trainer.assess.wiring import dangers_of

#: A locked rotor is held no longer than this, times the person's factor. Common practice. [ms]
HELD_MS = 5_000
#: Starts that fail one after the other with nothing looked at between.
RETRIES = 2
#: Acts that look for a cause: after one, another start is no blind retry.
LOOKS = frozenset(("measure", "look", "inspect", "lift", "land", "fit", "clamp", "scope"))
SAFETIES = frozenset(("pressure_switch", "delay_timer"))


@dataclass
class Errors:
    """What was found of one code."""

    sentences: list[str] = field(default_factory=list)
    consequences: list[str] = field(default_factory=list)
    rows: list[Seen] = field(default_factory=list)


def criticals(story: Story, job: Job, wanted: frozenset[str]) -> list[Critical]:
    """Every critical error of the codes a rubric counts, by code."""
    found: dict[str, Errors] = {}
    for finder in FINDERS:
        for code, sentence, consequence, row in finder(story, job):
            if code in wanted:
                errors = found.setdefault(code, Errors())
                errors.sentences.append(sentence)
                errors.rows.append(row)
                errors.consequences += [consequence] if consequence else []
    return [_made(code, found[code]) for code in sorted(found, key=lambda c: int(c[2:]))]


def _made(code: str, errors: Errors) -> Critical:
    words = procedure().critical[code]
    at_first = [
        s for s, r in zip(errors.sentences, errors.rows, strict=True) if r.seq == errors.rows[0].seq
    ]
    first = " ".join(dict.fromkeys(at_first))
    rows = list({row.seq: row for row in errors.rows}.values())
    more = len(rows) - 1
    again = f"The same held at {more} later acts." if more > 1 else ""
    again = "The same held at 1 later act." if more == 1 else again
    consequence = " ".join(dict.fromkeys(errors.consequences))
    return Critical(
        code, words.title, f"{first} {again}".rstrip(), consequence or UNHARMED,
        words.practice, words.source, evidence(rows),
    )  # fmt: skip


Found = tuple[str, str, str, Seen]


def _touched(story: Story, job: Job) -> Iterator[Found]:
    """CF1, CF2, CF3, CF4, CF12: a hand on metal before it was safe."""
    for unsafe in story.unsafe:
        turn = unsafe.turn
        hurt = _hurts(turn)
        for code, what in unsafe.missing.items():
            yield code, _sentence(code, turn, what), hurt, turn


def _hurts(turn: Turn) -> str:
    kinds = ("shock", "arc")
    return " ".join(of_hurt(e.data, e.kind) for e in turn.events if e.kind in kinds)


def _sentence(code: str, turn: Turn, what: tuple[str, ...]) -> str:
    asked = turn.asked
    both = f"{asked['a']} and {asked['b']}" if "a" in asked else ""
    where = str(asked.get("place") or asked.get("part") or both)
    where = where or f"wire {asked.get('wire', '')}"
    hand = f"Hands went to {where} ({turn.act})"
    more = [f"and {len(what) - 3} more"] if len(what) > 3 else []
    listed = "; ".join([*what[:3], *more])
    return {
        "CF1": f"{hand} with {listed} closed.",
        "CF12": f"{hand} while a source nobody had listed was still on: {listed}.",
        "CF3": f"{hand} without one's own lock and tag on {listed}.",
        "CF2": f"{hand} before absence of volts was proved: {listed}.",
        "CF4": f"{hand} before these capacitors were shown empty on dc: {listed}.",
    }[code]


def _energised(story: Story, job: Job) -> Iterator[Found]:
    """CF5 and CF7: how the unit stood when power came back."""
    for turn in story.restores:
        scene = turn.after
        for what in _unguarded(scene, job):
            yield "CF5", f"Power came back with {what}.", _after(story, turn), turn
        for danger in dangers_of(scene, job):
            yield "CF7", f"Power came back on wiring that {danger}.", _after(story, turn), turn


def _unguarded(scene: Scene, job: Job) -> list[str]:
    off = [c for c in sorted(scene.covers_off) if c in job.site.covers]
    barrier = [c for c in off if job.site.over_terminals(c, scene.parts)]
    open_panels = [c for c in off if job.site.guards(c) and c not in barrier]
    told = [f"the {c} off" for c in barrier]
    if not scene.ppe >= PPE:  # a panel may stay off for a declared live test with equipment on
        told += [f"the {c} off" for c in open_panels]
    return told + [f"{tool} left in the cabinet" for tool in sorted(scene.tools)]


def _after(story: Story, turn: Turn) -> str:
    """What the next start, or this very act, did."""
    hurt = _hurts(turn)
    start = next((s for s in story.starts if s.event.seq > turn.seq), None)
    return hurt or (of_start(start) if start else _tripped(story, turn))


def _tripped(story: Story, turn: Turn) -> str:
    """What gave way after power came back, when nothing started."""
    for later in story.turns[turn.number - 1 :]:
        for event in later.of("electrics"):
            names = [name for _, kind, name in event.data["happenings"] if kind == "tripped"]
            if names:
                part = names[0].partition("~")[0]
                return f"Then {part} tripped ({later.act})."
    return ""


def _locks(story: Story, job: Job) -> Iterator[Found]:
    """CF6: somebody else's lock."""
    for turn in story.acts("unlock"):
        owner, _ = turn.before.locks.get(str(turn.asked["part"]), ("", ""))
        if owner and owner != turn.before.who:
            yield "CF6", f"{owner}'s lock was cut off {turn.asked['part']}.", "", turn


def _rotor(story: Story, job: Job) -> Iterator[Found]:
    """CF8: a locked rotor held, or tried again and again."""
    allowed = HELD_MS * story.first.accommodation
    for began, ended, seq in story.hums:
        if ended - began > allowed:
            here = Moment("", seq, ended)
            start = _start_near(story, began, ended)
            said = f"A motor that did not turn was held on for {(ended - began) / 1000.0:.0f} s."
            yield "CF8", said, of_start(start) if start else "", here
    blind = 0
    last: Start | None = None
    for start in story.starts:
        failed = start.outcome in ("stalled", "tripped", "trips", "stands and hums")
        looked = last is not None and _looked(story, last, start)
        blind = (0 if looked else blind) + 1 if failed else 0
        last = start
        if blind > RETRIES + 1:
            said = f"Started {blind} times without looking for the cause in between."
            yield "CF8", said, of_start(start), Moment("", start.event.seq, start.event.at_ms)


def _start_near(story: Story, began: int, ended: int) -> Start | None:
    near = [s for s in story.starts if began - 1000 <= s.event.at_ms <= ended + 1000]
    return near[-1] if near else None


def _looked(story: Story, one: Start, other: Start) -> bool:
    between = story.turns[one.turn.number : other.turn.number - 1]
    return any(t.act in LOOKS and not t.refused for t in between)


def _defeated(story: Story, job: Job) -> Iterator[Found]:
    """CF9: both sides of a safety joined at the hand-over."""
    from trainer.assess.wiring import joined

    over = story.acts("hand over")
    if not over:
        return
    turn, scene = over[-1], story.last
    for name, part in scene.parts.items():
        if kind_of(part["type"]) in SAFETIES:
            for a, b in ((f"{name}.1", f"{name}.2"), (f"{name}.IN", f"{name}.OUT")):
                if joined(scene, a, b):
                    yield "CF9", f"{name} was handed over with a jumper across it.", "", turn


def _pierced(story: Story, job: Job) -> Iterator[Found]:
    for turn, event in story.hurts:
        if event.kind == "pierced":
            said = f"A screw was driven into the {event.data['zone']}."
            yield "CF10", said, of_hurt(event.data, event.kind), turn


def _invented(story: Story, job: Job) -> Iterator[Found]:
    for row in invented(story):
        said = f"The record says {row.what} = {row.value}, which no instrument and no plate showed."
        yield "CF11", said, _shown(row.reading), row


def _shown(reading: object) -> str:
    text = getattr(reading, "text", "")
    return f"The reading it cites showed {text}." if text else ""


FINDERS: tuple[Callable[[Story, Job], Iterator[Found]], ...] = (
    _touched, _energised, _locks, _rotor, _defeated, _pierced, _invented, unprotected,
)  # fmt: skip
