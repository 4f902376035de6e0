"""One learner from the command line: list, show, older ids, all of his data, erasure.

Knows options, sentences and the zip that is written; decides nothing.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import PARTIAL, ConflictError, UsageError
from trainer.cli.class_people import Accommodation, Names, StoreOption, at_desk
from trainer.cli.class_text import Shown, person_data
from trainer.cli.envelope import Outcome
from trainer.cli.files import writing
from trainer.cli.learner_keys import key, keys

if TYPE_CHECKING:
    from trainer.classroom.erasing import Erased

ABOUT = "One learner: who he is, his older ids, his keys, all of his data, his erasure."
Learner = Annotated[str, typer.Argument(metavar="ID", help="A learner id, or an older one.")]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Show it; change nothing.")]
#: A zip needs one and it tells nothing.
_DATE = (1980, 1, 1, 0, 0, 0)
_ANOTHER = "another name with -o"
_BEYOND = (
    "Backups and copies of the store made before, exports, pages and receipts already written, "
    "and the log of a PostgreSQL server are out of reach: deal with them as your programme says."
)


def list_(with_names: Names = False, store: StoreOption = "") -> Outcome:
    """List everybody of the programme by id.

    Example: condenser-bench learner list
    """
    from trainer.classroom.people import everyone

    with at_desk(store).store.reading() as connection:
        people = everyone(connection)
    width = max((len(person.learner_id) for person in people), default=0)
    lines = [
        f"{p.learner_id:<{width}}  {p.name}{'' if p.active or p.erased else '  (left)'}".rstrip()
        for p in people
    ]
    data = [person_data(person, Shown(names=with_names)) for person in people]
    return Outcome({"learners": data}, "\n".join(lines) or "There is no learner yet.")


def show(
    learner: Learner,
    with_names: Names = False,
    with_accommodation: Accommodation = False,
    store: StoreOption = "",
) -> Outcome:
    """Show one learner: classes, older ids, how many attempts.

    Example: condenser-bench learner show A17
    """
    from trainer.classroom.people import known
    from trainer.classroom.roster import factor

    with at_desk(store).store.reading() as connection:
        found = known(connection, learner)
    person = found.person
    lines = [f"{person.learner_id}  {person.name}".rstrip()]
    lines += [f"e-mail      {person.email}"] if person.email else []
    lines += [f"older ids   {', '.join(found.aliases)}"] if found.aliases else []
    lines += [
        f"class       {e.course} {e.section}".rstrip() + ("" if e.active else " (left)")
        for e in found.enrolled
    ]
    lines.append(f"attempts    {found.attempts}")
    if with_accommodation:
        lines.append(f"time        x {factor(person.accommodation_milli)}")
    data = person_data(person, Shown(with_names, with_accommodation)) | {
        "aliases": list(found.aliases), "attempts": found.attempts,
        "classes": [e._asdict() for e in found.enrolled],
    }  # fmt: skip
    return Outcome(data, "\n".join(lines))


def alias(
    new: Annotated[str, typer.Argument(help="The id from now on.")],
    old: Annotated[str, typer.Argument(help="The id that shall mean the same learner.")],
    dry_run: DryRun = False,
    store: StoreOption = "",
) -> Outcome:
    """Make an older id mean a learner; two rows of one person become one.

    Refused with 6 when both ids have attempts: two people's work is never mixed.

    Example: condenser-bench learner alias A17 B99
    """
    from trainer.classroom.aliases import alias as aliased

    told = aliased(at_desk(store), new, old, dry_run)
    said = {
        "same": f"{old} means {told.learner_id} already.",
        "added": f"{old} means {told.learner_id}.",
        "renamed": f"The learner is {new} from now on, and {old} means the same one.",
        "merged": f"{new} and {old} were two rows and are one learner, {told.learner_id}.",
    }[told.kind]
    data = {"kind": told.kind, "learner_id": told.learner_id, "dry_run": dry_run}
    return Outcome(data, f"It would be: {said}" if dry_run and told.kind != "same" else said)


def export(
    learner: Learner,
    out: Annotated[str, typer.Option("-o", "--out", metavar="ZIP", help="The file to write.")] = "",
    everything: Annotated[
        bool,
        typer.Option(
            "--everything", help="Marks not released and the instructor's notes too; not for him."
        ),
    ] = False,
    store: StoreOption = "",
) -> Outcome:
    """Write all that the store has of a learner: rows as JSON, and the files he handed in.

    The file is readable by you alone and never replaces another one.

    Example: condenser-bench learner export A17 -o A17.zip
    """
    from trainer.classroom.handing_over import handed_over

    if not out:
        raise UsageError("export needs a file to write", hint="-o FILE.zip")
    if Path(out).exists():
        raise ConflictError("there is a file of that name already", out, _ANOTHER)
    given = handed_over(at_desk(store), learner, everything)
    _write(out, given.files)
    files = sum(name.startswith("files/") for name, _ in given.files)
    warnings = [f"{d}: damaged in the store, and not in it" for d in given.damaged]
    if given.withheld:
        what = f"marks of {given.withheld} attempts are not wholly released"
        warnings.append(f"{what}: only what is shown of them is in it")
    data = {"file": out, "learner_id": given.person.learner_id, "rows": given.rows,
            "files": files, "withheld": given.withheld,
            "damaged": list(given.damaged)}  # fmt: skip
    told = f"Wrote {out}: rows.json and {files} files."
    return Outcome(data, told, warnings, PARTIAL if given.damaged else 0)


def _write(path: str, files: Iterable[tuple[str, bytes]]) -> None:
    """A private zip that was not there before."""
    from trainer.exchange.keys import private

    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w") as packed:
        for name, content in files:
            member = zipfile.ZipInfo(name, _DATE)
            member.external_attr = 0o600 << 16
            packed.writestr(member, content, zipfile.ZIP_DEFLATED)
    with writing(path) as target:
        try:
            private(target, whole.getvalue())
        except FileExistsError:
            raise ConflictError("there is a file of that name already", path, _ANOTHER) from None


def erase(
    learner: Learner,
    confirm: Annotated[str, typer.Option(metavar="ID", help="The same id once more.")] = "",
    dry_run: DryRun = False,
    store: StoreOption = "",
) -> Outcome:
    """Erase a learner: names, e-mail, ids and handed-in files go; marks stay, of nobody.

    Write his data out first (learner export): nothing brings it back. Digests, signatures and
    figures of the class stay. Out of reach are backups and copies of the store made before,
    exports, pages and receipts already written, and the log of a PostgreSQL server.

    Example: condenser-bench learner erase A17 --confirm A17
    """
    from trainer.classroom.erasing import erase as erased

    if not dry_run and confirm != learner:
        what = "erasing cannot be undone and needs the id once more"
        hint = (
            f"first condenser-bench learner export {learner} -o FILE.zip, then --confirm {learner}"
        )
        raise UsageError(what, "--confirm", hint)
    told = erased(at_desk(store), learner, confirm, dry_run)
    return _told(told, learner, dry_run)


def _told(told: Erased, learner: str, dry_run: bool) -> Outcome:
    data = {**told._asdict(), "left": dict(told.left), "dry_run": dry_run}
    counts = f"{told.attempts} attempts, {told.files} files, {told.aliases} older ids"
    warnings = [
        f"{n} rows of {table} that are never changed hold a word of his, as somebody typed it"
        for table, n in told.left
    ]
    if dry_run:
        first = f"write his data out first: condenser-bench learner export {learner} -o FILE.zip"
        return Outcome(data, f"It would erase: {counts}. {_BEYOND}", [first, *warnings])
    text = f"Erased: {counts}. In class figures the learner is {told.token}. {_BEYOND}"
    if not told.clean:
        warnings.append(
            "another program holds the store, so removed bytes may still stand in its file; close "
            f"it and run: condenser-bench learner erase {told.token} --confirm {told.token}"
        )
    return Outcome(data, text, warnings, 0 if told.clean else PARTIAL)


VERBS: dict[str, Callable[..., Any]] = {
    "list": list_, "show": show, "alias": alias, "keys": keys, "key": key, "export": export,
    "erase": erase,
}  # fmt: skip
