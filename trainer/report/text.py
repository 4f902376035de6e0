"""The debrief as plain text: the same order, three findings, the rest after a ruled line.

Knows the page's data; decides nothing.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from trainer.report.page import QUESTION, Debrief, Told

WIDTH = 88
RULE = "-" * WIDTH


def lines_of(d: Debrief, every: bool = True) -> list[str]:
    """The page; ``every`` adds what stands after the ruled line."""
    lines = [f"Debrief: {d.title}", *_facts(d.facts), *wrapped(d.cautions.short), ""]
    if d.ending:
        e = d.ending
        lines += [e.title.upper(), *wrapped(e.sentence), *_facts(e.facts)]
        lines += [line for means in e.means for line in wrapped(means)]
        lines += ["What would have prevented it:", *wrapped(f"{e.prevents} ({e.source})", "  "), ""]
    lines += [QUESTION, "(Answer this before you read on.)"]
    if d.critical:
        lines += ["", "CRITICAL ERRORS: not safe yet, whatever else was right"]
        lines += _tolds(d.critical)
    lines += ["", "WHAT WAS SAFE AND WELL DONE"]
    lines += _bullets(d.well or ("Nothing in this attempt showed it yet.",))
    lines += ["", "THE FIRST THING THAT BROKE"]
    lines += _tolds([d.first]) if d.first else ["  Nothing broke in this attempt."]
    lines += ["", "WHAT THE CIRCUIT DID", *_circuit(d)]
    if d.findings:
        lines += ["", "TO TAKE ALONG", *_tolds(d.findings)]
    lines += ["", "VERDICT AND MARKS", *_marks(d)]
    then = d.next.sentence if d.next else "None is on offer."
    lines += ["", "NEXT EXERCISE", *wrapped(then, "  ")]
    if every:
        lines += ["", RULE, *_rest(d)]
    lines += ["", "CAUTIONS"]
    lines += _bullets(f"{c.title}. {c.say}" for c in d.cautions.cautions)
    return [*lines, "", *wrapped(d.footer)]


def wrapped(words: str, indent: str = "", first: str | None = None) -> list[str]:
    """Lines of the page's width."""
    lead = indent if first is None else first
    return textwrap.wrap(
        words, WIDTH, initial_indent=lead, subsequent_indent=indent, break_long_words=False
    )


def _facts(rows: Sequence[tuple[str, str]]) -> list[str]:
    width = max((len(name) for name, _ in rows), default=0)
    return [f"  {name:<{width}}  {value}" for name, value in rows]


def _bullets(lines: Iterable[str]) -> list[str]:
    return [row for line in lines for row in wrapped(line, "    ", "  - ")]


def _tolds(found: Iterable[Told]) -> list[str]:
    lines: list[str] = []
    for n, one in enumerate(found):
        lines += [""] if n else []
        code = f" [{one.code}]" if one.code else ""
        where = f" ({one.where})" if one.where else ""
        lines += wrapped(f"{one.title}{code}", "  ")
        for name, words in (
            ("What happened", one.happened + where), ("What it does", one.does),
            ("The practice", one.practice), ("Written in", one.source),
        ):  # fmt: skip
            lines += wrapped(words, " " * 19, f"    {name:<13}  ")
    return lines


def _circuit(d: Debrief) -> list[str]:
    if d.start is None:
        return ["  The compressor was never energised in this attempt."]
    lines = [f"  The start of event {d.start.seq}: {d.start.said}."]
    width = max(len(name) for name, _, _ in d.numbers)
    own = max(len("this start"), *(len(value) for _, value, _ in d.numbers))
    heads = ("", "this start", "as wanted" if d.reference else "")
    for name, value, wanted in (heads, *d.numbers):
        lines.append(f"  {name:<{width}}  {value:<{own}}  {wanted}".rstrip())
    return lines


def _marks(d: Debrief) -> list[str]:
    provisional = " (provisional)" if d.mark.subject.provisional else ""
    lines = [f"  {d.verdict}. {d.total} of 100, cut {d.cut}{provisional}"]
    lines += _bullets(f"{reason[:1].upper()}{reason[1:]}." for reason in d.mark.reasons)
    for s in d.scores:
        score = f"{s.shown:>9}  floor {s.floor:>5}  weight {s.weight:>5}"
        lines.append(f"  {s.title:<24} {score}  {s.status}")
    return lines + _bullets(f"{kind}: {line}" for kind, line in d.notes)


def _rest(d: Debrief) -> list[str]:
    lines: list[str] = []
    if d.more:
        lines += ["THE OTHER FINDINGS", *_tolds(d.more), ""]
    lines += ["EVERY ITEM WITH ITS EVIDENCE"]
    for s in d.scores:
        lines += ["", f"  {s.title}"]
        for item, points in zip(s.items, s.points, strict=True):
            where = f" ({item.where})" if item.where else ""
            said = f"{item.status}, {points} points: {item.happened}{where}"
            lines += wrapped(said, "      ", "    ")
    lines += ["", *_wiring(d)]
    lines += ["TIMELINE"]
    for r in d.timeline:
        lines += wrapped(r.words, " " * 28, f"  {r.at}  {r.event:>5}  {r.lane:<9}  ")
    if d.points:
        lines += ["", "TO TALK ABOUT", *_bullets(f"{p.say} ({p.source})" for p in d.points)]
    return lines


def _wiring(d: Debrief) -> list[str]:
    w = d.mark.wiring
    if not w:
        return []
    lines = ["THE WIRING AS BUILT", *wrapped(f"Level {w['level']} of 5: {w['level_text']}.", "  ")]
    lines += _bullets(w.get("sentences", ()))
    for j in d.wires:
        if j.status != "same":
            lines.append(f"  wire {j.wire} ({j.colour}), {j.status}: {j.built}; wanted: {j.wanted}")
    return [*lines, ""]
