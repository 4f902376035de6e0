"""Slips of a learner who practises: what a rule of the job calls wrong, told as it happens.

One line first; why, what it does and where it is written wait until they are asked for. Judged from
events by the assessor's own rules, each told when it is broken first. Knows rules and stories; must
know no shape.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Any

from trainer.base.errors import TrainerError
from trainer.session.events import Event
from trainer.view.harm import HARM
from trainer.view.language import again, tr

Data = dict[str, Any]
#: Acts after which a unit is not as it was found.
HANDLED = ("land", "lift", "cut", "fit", "mount", "take down")
#: Below this a start capacitor was in no circuit: it has some hundred otherwise. Common practice,
#: no source [V].
IDLE_V = 20.0
#: Most further slips of the same act that are named.
ALSO = 3


def slip_of(header: Mapping[str, Any], events: Sequence[Event], since: int) -> Data | None:
    """What went wrong among the events from index ``since`` on; None when nothing did, or when it
    hurt: then the bench stands still.

    ``shown``: the step that it is about was done right before in this attempt.
    """
    later = events[since:]
    if not later or any(e.kind in HARM for e in later):
        return None
    found = list(_starts(events, later[0].seq))
    with suppress(TrainerError):  # a bench without a job has no rules
        found += _against_rules(header, events, {e.seq for e in later})
    if not found:
        return None
    also = list(dict.fromkeys(again(str(s["what"])) for s in found[1:]))
    lines = list(found[0]["lines"])
    if len(also) > ALSO:
        named = "; ".join(also[:ALSO])
        lines.append(tr("Also: {what}; and {n} more.", what=named, n=len(also) - ALSO))
    elif also:
        lines.append(tr("Also: {what}.", what="; ".join(also)))
    return {**found[0], "lines": lines}


def _starts(events: Sequence[Event], first: int) -> Iterator[Data]:
    """A start that came out otherwise than wanted, of a unit that is not any more as it was found:
    to watch a fault is no slip.
    """
    from trainer.report.starts import start_of

    if not any(e.kind == "asked" and e.data.get("act") in HANDLED for e in events):
        return
    shown_in = {e.seq: e.data for e in events if e.kind == "start"}
    starts = [start_of(e.seq, e.at_ms, e.data) for e in events if e.kind == "start"]
    for start in (s for s in starts if s.seq >= first and not s.good):
        title = tr("This start went wrong: {said}.", said=again(start.said))
        lines = [tr("Highest supply current: {a:.0f} A.", a=start.peak_a)] if start.peak_a else []
        lines += _idle(shown_in[start.seq])
        lines.append(tr("The Trace sheet shows its lines and, in grey, the start as wanted."))
        shown = any(s.good and s.seq < start.seq for s in starts)
        yield {"title": title, "what": start.said, "lines": lines, "shown": shown}


def _idle(start: Mapping[str, Any]) -> list[str]:
    """That the start capacitor had no volts, read off its line."""
    line = (start.get("near") or {}).get("start_capacitor_v")
    if not line:
        return []
    peak = max(map(abs, line["points"]), default=0) * line["scale"]
    return [] if peak >= IDLE_V else [
        tr("The start capacitor took no part: no more than {v:.0f} V came to it.", v=peak)
    ]  # fmt: skip


def _against_rules(
    header: Mapping[str, Any], events: Sequence[Event], new: set[int]
) -> Iterator[Data]:
    """Critical errors, then rules of order by their weight."""
    from trainer.assess.critical import criticals
    from trainer.assess.finding_rubric import rubric_for
    from trainer.assess.loading import job_for
    from trainer.assess.procedure import procedure
    from trainer.assess.sequence import judge
    from trainer.assess.story import told
    from trainer.assess.telling import result_of

    name = str(header["scenario"])
    job = job_for(name, int(header["seed"]))
    rubric, story = rubric_for(job.scenario, name), told(events, job.site)
    for c in criticals(story, job, frozenset(rubric.critical)):
        if c.evidence.events and min(c.evidence.events) in new:
            title = tr("A critical error: {what}.", what=again(c.title))
            lines = [again(c.sentence), again(c.consequence), _practice(c.practice, c.source)]
            yield {
                "title": title,
                "what": c.title,
                "lines": [x for x in lines if x],
                "shown": False,
            }
    judged = [j for j in judge(rubric.rules, story.trail, story.given) if j.broken is not None]
    for j in sorted(judged, key=lambda j: -j.rule.weight):
        assert j.broken is not None
        if j.broken.seq in new:
            words = procedure().words(j.rule.first)
            shown = any(m.seq < j.broken.seq for m in j.firsts)
            lines = [again(result_of(j, story).sentence), _practice(words.practice, words.source)]
            title = tr("Before this: {what}.", what=again(words.title))
            yield {"title": title, "what": words.title, "lines": lines, "shown": shown}


def _practice(what: str, source: str) -> str:
    return tr("Practice: {what}", what=again(what)) + f" ({again(source)})"
