"""A roster's plan and lists of people as text and as data.

Names stay out of ``--json`` unless asked for, and an accommodation out of both: a plan may be on a
screen that the class sees. Knows records of the roster; decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from trainer.classroom.entries import ACCOMMODATION, EMAIL, EXTERNAL, FAMILY, GIVEN

if TYPE_CHECKING:
    from trainer.classroom.courses import Member
    from trainer.classroom.entries import Refusal
    from trainer.classroom.people import Person
    from trainer.classroom.roster import Change, Kind, Plan, Step

_PERSONAL = (GIVEN, FAMILY, EMAIL, EXTERNAL)
_COUNTED: tuple[tuple[Kind, str], ...] = (
    ("add", "to add"), ("change", "to change"), ("deactivate", "leaving"), ("same", "as they are"),
)  # fmt: skip
_WORDS = {"add": "add", "change": "change", "deactivate": "leaves", "same": "as it is"}


@dataclass(frozen=True)
class Shown:
    """What may be shown: names in data, factors in both."""

    names: bool = False
    accommodation: bool = False


def plan_text(plan: Plan, shown: Shown) -> str:
    """The plan line by line; rows that change nothing are counted only."""
    told = [step for step in plan.steps if step.kind != "same"]
    width = max((len(step.learner_id) for step in told), default=0)
    lines = [*(f"preview   {line}" for line in plan.preview), _heading(plan)]
    lines += [_step_line(step, width, shown) for step in told]
    lines += [f"refused   {refusal}" for refusal in plan.refusals]
    return "\n".join([*lines, _ending(plan)])


def _heading(plan: Plan) -> str:
    counts = [f"{len(plan.of(kind))} {word}" for kind, word in _COUNTED]
    return f"Class {plan.course.name}: {', '.join(counts)}, {len(plan.refusals)} refused."


def _ending(plan: Plan) -> str:
    if plan.applied:
        rest = "; the refused rows were left out" if plan.refusals else ""
        return f"Applied{rest}."
    if plan.refusals:
        return "Nothing was changed: mend the refused rows, or apply with --skip-refused."
    if not any(step.kind != "same" for step in plan.steps):
        return "There is nothing to change."
    return (
        f"Nothing was changed yet. Next: condenser-bench class apply {plan.course.name} ROSTER.csv"
    )


def _step_line(step: Step, width: int, shown: Shown) -> str:
    head = f"{_WORDS[step.kind]:<8}  {step.learner_id:<{width}}"
    if step.kind == "deactivate":
        return f"{head}  {step.person.name if step.person else ''}".rstrip()
    if step.person is None:
        section = f"section {step.entry.section}" if step.entry.section else ""
        factors = [c for c in step.changes if c.column == ACCOMMODATION]
        parts = [step.entry.names, section, *(_change_text(c, shown, True) for c in factors)]
    else:
        parts = [_change_text(change, shown) for change in step.changes]
    return f"{head}  {', '.join(part for part in parts if part)}".rstrip()


def _change_text(change: Change, shown: Shown, new: bool = False) -> str:
    if change.column == ACCOMMODATION and not shown.accommodation:
        return f"{change.column} {'is set' if new else 'changes'}"
    return f"{change.column} {change.old or '(none)'} -> {change.new or '(none)'}"


def plan_data(plan: Plan, shown: Shown) -> dict[str, Any]:
    """The plan for programs."""
    return {
        "class": plan.course.name,
        "applied": plan.applied,
        "steps": [_step_data(step, shown) for step in plan.steps],
        "preview": list(plan.preview) if shown.names else [],
        "refused": [_refusal_data(refusal) for refusal in plan.refusals],
    }


def _step_data(step: Step, shown: Shown) -> dict[str, Any]:
    return {
        "kind": step.kind, "learner_id": step.learner_id, "place": step.entry.place,
        "section": step.entry.section,
        "changes": [_change_data(change, shown) for change in step.changes],
    }  # fmt: skip


def _change_data(change: Change, shown: Shown) -> dict[str, Any]:
    hidden = change.column in _PERSONAL and not shown.names
    hidden |= change.column == ACCOMMODATION and not shown.accommodation
    if hidden:
        return {"column": change.column, "old": None, "new": None}
    return {"column": change.column, "old": change.old, "new": change.new}


def _refusal_data(refusal: Refusal) -> dict[str, str]:
    return {"where": refusal.where, "what": refusal.what, "hint": refusal.hint}


def members_text(members: Sequence[Member]) -> str:
    """One line a learner, by section."""
    ids = max((len(m.learner_id) for m in members), default=0)
    sections = max((len(m.section) for m in members), default=0)
    return "\n".join(
        f"{m.section:<{sections}}  {m.learner_id:<{ids}}  {m.person.name}"
        f"{'' if m.active else '  (left)'}".strip()
        for m in members
    )


def members_data(members: Iterable[Member], shown: Shown) -> list[dict[str, Any]]:
    return [
        person_data(m.person, shown) | {"section": m.section, "active": m.active} for m in members
    ]


def person_data(person: Person, shown: Shown) -> dict[str, Any]:
    """A person for programs; names and factor only where they may be shown."""
    data: dict[str, Any] = {"learner_id": person.learner_id, "active": person.active,
                            "erased": person.erased}  # fmt: skip
    if shown.names:
        data |= {column: getattr(person, column) for column in _PERSONAL}
    if shown.accommodation:
        data["accommodation"] = person.accommodation_milli / 1000.0
    return data
