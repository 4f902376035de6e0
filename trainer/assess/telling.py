"""Rules of order in sentences: what was done when, and what it lacked.

Knows judged rules and the words of the procedure; must know no weight.
"""

from __future__ import annotations

from trainer.assess.judged import Judged as Result
from trainer.assess.judged import evidence
from trainer.assess.procedure import procedure
from trainer.assess.sequence import Judged, Moment
from trainer.assess.story import Story
from trainer.base.tongue import capital


def result_of(judged: Judged, story: Story) -> Result:
    """The outcome of a rule with its sentence and evidence."""
    from fractions import Fraction

    assert judged.outcome is not None
    share = Fraction(1 if judged.outcome == "met" else 0)
    rows = _rows(judged)
    return Result(judged.outcome, share, _sentence(judged, story), evidence(rows))


def _rows(judged: Judged) -> list[Moment]:
    if judged.outcome == "not met":
        assert judged.broken is not None
        ended = [judged.reset] if judged.reset else []
        return [*ended, judged.broken]  # type: ignore[list-item]
    first = list(judged.firsts[:1])
    return [*first, *judged.thens[:1]]


def _sentence(judged: Judged, story: Story) -> str:
    first, then = _title(judged.rule.first), _title(judged.rule.then)
    if judged.outcome == "met":
        return f"{capital(first)}, before {then}."
    if judged.outcome == "not shown":
        if judged.firsts:
            return f"{capital(first)}, but it did not come to: {then}."
        return f"Not shown: {first}."
    at = f"{capital(then)}{_act(judged.broken, story)}"
    if judged.rule.then == "WORK":
        at = _hands(judged.broken, story)
    if judged.reset is not None:
        return f"{at}: {first}, but that no longer counted, for {judged.reset.why}."
    if judged.firsts:
        return f"{at} before this was done: {first}."
    return f"{at} without this: {first}."


def _title(code: str) -> str:
    table = procedure()
    return table.anchors.get(code) or table.words(code).title


def _hands(moment: Moment | None, story: Story) -> str:
    """The work began by saying so, or by a hand that went in."""
    turn = story.turn_by_seq.get(moment.seq) if moment else None
    if turn is not None and turn.act == "declare dead":
        return "It was declared dead"
    return f"Hands went in{_act(moment, story)}"


def _act(moment: Moment | None, story: Story) -> str:
    """In brackets, the act that the moment came from."""
    if moment is None:
        return ""
    turn = story.turn_by_seq.get(moment.seq)
    if turn is None:
        return ""
    given = " ".join(str(v) for k, v in turn.asked.items() if k in ("wire", "end", "place", "part"))
    return f" ({turn.act} {given})".replace(" )", ")")
