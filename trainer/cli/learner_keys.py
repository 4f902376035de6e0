"""A learner's signing keys at the instructor's desk: shown as they are read aloud, and trusted.

Knows options and sentences; decides nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import UsageError, quoted
from trainer.cli.class_people import StoreOption, at_desk
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.classroom.trusting import Kept

HOW = "accept"
_WORDS = {
    "first": "the first one seen, trusted",
    "accepted": "accepted",
    "another": "another one: attempts signed with it are flagged",
}


def keys(
    learner: Annotated[str, typer.Argument(metavar="ID", help="A learner id, or an older one.")],
    store: StoreOption = "",
) -> Outcome:
    """List the keys a learner's hand-ins were signed with, as he reads them from his machine.

    He sees his own with condenser-bench handin key.

    Example: condenser-bench learner keys A17
    """
    from trainer.classroom.people import find
    from trainer.classroom.trusting import keys_of

    with at_desk(store).store.reading() as connection:
        person = find(connection, learner)
        found = keys_of(connection, person.id)
    lines = [line for key in found for line in _lines(key)]
    data = {"learner_id": person.learner_id, "keys": [_plain(key) for key in found]}
    return Outcome(data, "\n".join(lines) or "Nothing was handed in yet, so no key is known.")


def key(
    action: Annotated[str, typer.Argument(help=HOW)],
    learner: Annotated[str, typer.Argument(metavar="ID", help="A learner id, or an older one.")],
    aloud: Annotated[
        str, typer.Argument(metavar="KEY", help="At least the first two groups, as he reads them.")
    ],
    reason: Annotated[str, typer.Option(help="How it was seen to be his; kept.")] = "",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show it; change nothing.")] = False,
    store: StoreOption = "",
) -> Outcome:
    """Trust another key of a learner: a new machine, or the program installed anew.

    Have him read it out from his machine (condenser-bench handin key) and compare. Attempts it
    signed are no longer flagged for it; a time that was not taken from them for that flag stays as
    it was. Exit codes: 2 too little of a key, 4 no such learner or key, 5 without a
    reason.

    \b
    Example:
      condenser-bench learner key accept A17 "1f0c 77ab" --reason "new laptop, he read it to me"
    """
    from trainer.classroom.trusting import accept

    if action != "accept":
        raise UsageError(f"{quoted(action)} is nothing to do with a key", hint=HOW)
    told = accept(at_desk(store), learner, aloud, reason, dry_run)
    data = {
        "learner_id": told.person.learner_id, "key": _plain(told.key), "attempts": list(told.told),
        "already": told.done, "dry_run": dry_run,
    }  # fmt: skip
    if told.done:
        return Outcome(data, f"{told.key.aloud} is trusted already.")
    cleared = f"{len(told.told)} attempt{'' if len(told.told) == 1 else 's'}"
    if dry_run:
        text = f"It would trust {told.key.aloud}; {cleared} would no longer be flagged for it."
        return Outcome(data, text)
    text = f"{told.key.aloud} is trusted; {cleared} no longer flagged for it."
    return Outcome(data, text)


def _plain(key: Kept) -> dict[str, Any]:
    return {k: v for k, v in key._asdict().items() if k != "id"}


def _lines(key: Kept) -> list[str]:
    from trainer.classroom.stamps import iso

    attempts = f"{key.attempts} attempt{'' if key.attempts == 1 else 's'}"
    lines = [f"{key.aloud}  since {iso(key.since_ms)[:10]}  {attempts}  {_WORDS[key.how]}"]
    if key.how == "accepted":
        lines.append(f"    {iso(key.accepted_ms)[:10]} by {key.accepted_by}: {key.reason}")
    return lines
