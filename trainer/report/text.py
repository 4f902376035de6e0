"""The debrief as plain text: the same order, three findings, the rest after a ruled line.

Knows the page's data; decides nothing.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from trainer.base.retold import again, spelt
from trainer.base.tongue import capital, tr
from trainer.report.page import QUESTION, Debrief, Told

WIDTH = 88
RULE = "-" * WIDTH


def lines_of(d: Debrief, every: bool = True) -> list[str]:
    """The page; ``every`` adds what stands after the ruled line."""
    lines = [f"{tr('Debrief')}: {again(d.title)}", *_facts(d.facts), *wrapped(d.cautions.short), ""]
    if d.ending:
        e = d.ending
        lines += [again(e.title).upper(), *wrapped(e.sentence), *_facts(e.facts)]
        lines += [line for means in e.means for line in wrapped(means)]
        lines += [
            tr("What would have prevented it:"),
            *wrapped(f"{again(e.prevents)} ({again(e.source)})", "  "),
            "",
        ]
    lines += [again(QUESTION), tr("(Answer this before you read on.)")]
    if d.critical:
        lines += ["", tr("CRITICAL ERRORS: not safe yet, whatever else was right")]
        lines += _tolds(d.critical)
    lines += ["", tr("WHAT WAS SAFE AND WELL DONE")]
    lines += _bullets(d.well or (tr("Nothing in this attempt showed it yet."),))
    lines += ["", tr("THE FIRST THING THAT BROKE")]
    lines += _tolds([d.first]) if d.first else ["  " + tr("Nothing broke in this attempt.")]
    lines += ["", tr("WHAT THE CIRCUIT DID"), *_circuit(d)]
    if d.findings:
        lines += ["", tr("TO TAKE ALONG"), *_tolds(d.findings)]
    lines += ["", tr("VERDICT AND MARKS"), *_marks(d)]
    then = d.next.sentence if d.next else tr("None is on offer.")
    lines += ["", tr("NEXT EXERCISE"), *wrapped(then, "  ")]
    if every:
        lines += ["", RULE, *_rest(d)]
    lines += ["", tr("CAUTIONS")]
    lines += _bullets(f"{again(c.title)}. {again(c.say)}" for c in d.cautions.cautions)
    return [*lines, "", *wrapped(d.footer)]


def wrapped(words: str, indent: str = "", first: str | None = None) -> list[str]:
    """Lines of the page's width."""
    lead = indent if first is None else first
    return textwrap.wrap(
        again(words), WIDTH, initial_indent=lead, subsequent_indent=indent, break_long_words=False
    )


def _facts(rows: Sequence[tuple[str, str]]) -> list[str]:
    rows = [(again(name), spelt(value)) for name, value in rows]
    width = max((len(name) for name, _ in rows), default=0)
    return [f"  {name:<{width}}  {value}" for name, value in rows]


def _bullets(lines: Iterable[str]) -> list[str]:
    return [row for line in lines for row in wrapped(line, "    ", "  - ")]


def _tolds(found: Iterable[Told]) -> list[str]:
    lines: list[str] = []
    for n, one in enumerate(found):
        lines += [""] if n else []
        code = f" [{one.code}]" if one.code else ""
        where = f" ({again(one.where)})" if one.where else ""
        lines += wrapped(f"{again(one.title)}{code}", "  ")
        for name, words in (
            (tr("What happened"), again(one.happened) + where), (tr("What it does"), one.does),
            (tr("The practice"), one.practice), (tr("Written in"), one.source),
        ):  # fmt: skip
            lines += wrapped(words, " " * 19, f"    {name:<13}  ")
    return lines


def _circuit(d: Debrief) -> list[str]:
    if d.start is None:
        return ["  " + tr("The compressor was never energised in this attempt.")]
    said = tr("The start of event {n}: {said}.", n=d.start.seq, said=again(d.start.said))
    lines = [f"  {said}"]
    heads = ("", tr("this start"), tr("as wanted") if d.reference else "")
    rows = [heads, *((again(a), spelt(b), spelt(c)) for a, b, c in d.numbers)]
    width = max(len(name) for name, _, _ in rows)
    own = max(len(value) for _, value, _ in rows)
    for name, value, wanted in rows:
        lines.append(f"  {name:<{width}}  {value:<{own}}  {wanted}".rstrip())
    return lines


def _marks(d: Debrief) -> list[str]:
    provisional = " " + tr("(provisional)") if d.mark.subject.provisional else ""
    total = tr("{total} of 100, cut {cut}", total=d.total, cut=d.cut)
    lines = [f"  {again(d.verdict)}. {total}{provisional}"]
    lines += _bullets(f"{capital(again(reason))}." for reason in d.mark.reasons)
    for s in d.scores:
        floor, weight = tr("floor"), tr("weight")
        score = f"{s.shown:>9}  {floor} {s.floor:>5}  {weight} {s.weight:>5}"
        lines.append(f"  {again(s.title):<24} {score}  {again(s.status)}")
    return lines + _bullets(f"{again(kind)}: {again(line)}" for kind, line in d.notes)


def _rest(d: Debrief) -> list[str]:
    lines: list[str] = []
    if d.more:
        lines += [tr("THE OTHER FINDINGS"), *_tolds(d.more), ""]
    lines += [tr("EVERY ITEM WITH ITS EVIDENCE")]
    for s in d.scores:
        lines += ["", f"  {again(s.title)}"]
        for item, points in zip(s.items, s.points, strict=True):
            where = f" ({again(item.where)})" if item.where else ""
            said = tr("{status}, {points} points:", status=spelt(item.status), points=again(points))
            said = f"{said} {again(item.happened)}{where}"
            lines += wrapped(said, "      ", "    ")
    lines += ["", *_wiring(d)]
    lines += [tr("TIMELINE")]
    for r in d.timeline:
        lines += wrapped(r.words, " " * 28, f"  {r.at}  {r.event:>5}  {spelt(r.lane):<9}  ")
    if d.points:
        lines += [
            "",
            tr("TO TALK ABOUT"),
            *_bullets(f"{again(p.say)} ({again(p.source)})" for p in d.points),
        ]
    return lines


def _wiring(d: Debrief) -> list[str]:
    w = d.mark.wiring
    if not w:
        return []
    told = tr("Level {n} of 5: {what}.", n=w["level"], what=again(w["level_text"]))
    lines = [tr("THE WIRING AS BUILT"), *wrapped(told, "  ")]
    lines += _bullets(w.get("sentences", ()))
    for j in d.wires:
        if j.status != "same":
            said = tr(
                "wire {wire} ({colour}), {status}: {built}; wanted: {wanted}",
                wire=spelt(j.wire), colour=j.colour, status=spelt(j.status), built=spelt(j.built),
                wanted=spelt(j.wanted),
            )  # fmt: skip
            lines.append(f"  {said}")
    return [*lines, ""]
