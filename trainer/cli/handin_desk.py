"""Hand-ins at the instructor's desk: verify, import, list, quarantine; marks on the learner's side.

Knows files and sentences; decides nothing.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import NO, PARTIAL
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.classroom.importing import Report, Row

Store = Annotated[str, typer.Option(metavar="URL|FILE", help="The class's database.")]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Check everything, write nothing.")]
WORKERS_MOST = 8


def verify(
    file: Annotated[str, typer.Argument(metavar="HANDIN", help="A hand-in file.")],
) -> Outcome:
    """Check a hand-in's seal and every event; nothing is stored. Exit code 1 names the first bad.

    Example: condenser-bench handin verify attempt-1.handin
    """
    from trainer.assess.vouching import whole
    from trainer.classroom.importing import bounded
    from trainer.exchange.handin import read_handin
    from trainer.exchange.keys import fingerprint
    from trainer.session.log import parsed

    found = read_handin(bounded(Path(file)), file)
    whole(parsed(found.attempt, Path(file)), Path(file))
    claim = found.claim
    data = {
        "digest": found.digest, "assignment_id": claim.assignment_id,
        "learner_id": claim.learner_id, "no": claim.no, "events": claim.events,
        "public_key": found.public_key, "fingerprint": fingerprint(found.public_key),
    }  # fmt: skip
    lines = [
        f"The seal holds: attempt {claim.no} of {claim.learner_id}, {claim.events} events.",
        f"Signed by {fingerprint(found.public_key)}; SHA-256 {found.digest}",
        "It shows which key signed and that nothing changed since, not that the work was honest.",
    ]
    return Outcome(data, "\n".join(lines))


def import_(
    paths: Annotated[list[str], typer.Argument(metavar="FILE|FOLDER...", help="Hand-ins.")],
    resimulate: Annotated[
        str, typer.Option(help="Acts asked again: a secret sample, all, or none.")
    ] = "sample",
    receipts: Annotated[
        str, typer.Option(metavar="FOLDER", help="Write the receipts here, for the learners.")
    ] = "",
    accept: Annotated[
        str,
        typer.Option(
            metavar="REASON", help="Take what comes out otherwise or costs too much, flagged."
        ),
    ] = "",
    workers: Annotated[int, typer.Option(help="Processes; 0 is as many as there are cores.")] = 0,
    store: Store = "",
    dry_run: DryRun = False,
) -> Outcome:
    """Verify, keep, mark and receipt hand-ins; put aside what is wrong. Twice changes nothing.

    A file whose acts would take a day on the bench, hundreds of starts or minutes of a processor to
    ask again is put aside too, and the import goes on.

    Exit code 7 when some were put aside, 1 when nothing could be taken.
    Example: condenser-bench handin import stick --receipts stick
    """
    from trainer.classroom.importing import Wish, import_files
    from trainer.cli.desk import desk_at
    from trainer.cli.instructor import instructor_key
    from trainer.cli.progressing import counted

    desk = desk_at(store)
    if receipts and not Path(receipts).is_dir():
        from trainer.base.errors import NotFoundError

        raise NotFoundError("there is no such folder", receipts, "make it, or name another")
    count = min(workers or os.cpu_count() or 1, WORKERS_MOST)
    wish = Wish(resimulate, count, dry_run, " ".join(accept.split()))
    with counted("hand-ins") as progress:
        files = [Path(p) for p in paths]
        report = import_files(desk, files, instructor_key(desk), wish, progress)
    written = [] if dry_run or not receipts else _receipts(Path(receipts), report)
    data = {"rows": [_plain(row) for row in report.rows], "receipts": [str(p) for p in written]}
    return Outcome(data, "\n".join(_lines(report, written)), [], _code(report))


def _code(report: Report) -> int:
    bad = len(report.of("aside")) + len(report.of("refused"))
    if not bad:
        return 0
    return PARTIAL if bad < len(report.rows) else NO


def _plain(row: Row) -> dict[str, Any]:
    shown = {k: v for k, v in vars(row).items() if k != "receipt"}
    return {**shown, "flags": list(row.flags)}


def _lines(report: Report, written: list[Path]) -> list[str]:
    words = {
        "imported": "imported", "again": "there already", "would": "would be imported",
        "aside": "put aside", "refused": "not taken",
    }  # fmt: skip
    lines = []
    for row in report.rows:
        who = f"{row.learner_id} attempt {row.no}  " if row.learner_id else ""
        late = f"  {row.late_ms // 60_000} min late" if row.late_ms else ""
        lines.append(f"{Path(row.file).name}  {who}{words[row.status]}{late}")
        lines += [f"    {flag}" for flag in row.flags]
        if row.reason:
            lines.append(f"    {row.reason}{'; ' + row.hint if row.hint else ''}")
    counts = [f"{len(report.of(s))} {word}" for s, word in words.items() if report.of(s)]
    lines.append(", ".join(counts) or "no hand-ins there")
    lines += [f"Wrote {len(written)} receipts."] if written else []
    return lines


def _receipts(folder: Path, report: Report) -> list[Path]:
    """By digest: no name from a file becomes part of a path."""
    from trainer.cli.files import writing
    from trainer.exchange.keys import replaced
    from trainer.exchange.receipt import SUFFIX

    written = []
    for row in report.rows:
        if row.receipt:
            path = folder / f"{row.digest[:16]}{SUFFIX}"
            with writing(path):
                replaced(path, row.receipt)
            written.append(path)
    return written


def list_(
    assignment: Annotated[str, typer.Argument(help="One assignment; else all.")] = "",
    blind: Annotated[bool, typer.Option("--blind", help="Codes instead of learners.")] = False,
    store: Store = "",
) -> Outcome:
    """List what was handed in: state, lateness, flags; marks are shown by grade list.

    Example: condenser-bench handin list week-3
    """
    from trainer.classroom.assigning import assignment_of
    from trainer.classroom.attempts import is_blind
    from trainer.classroom.listing import assignments, lines_of
    from trainer.cli.desk import desk_at

    desk = desk_at(store)
    found = []
    with desk.store.reading() as c:
        chosen = [assignment_of(c, assignment).id] if assignment else [i for i, _ in assignments(c)]
        for one in chosen:
            found += lines_of(c, one, desk.now_ms, blind or is_blind(c, one))
    data = [
        {
            "attempt": line.attempt_id or line.code, "learner_id": line.learner_id,
            "assignment": line.assignment, "no": line.no, "state": line.state,
            "late_ms": line.late_ms, "flags": list(line.flags),
        }
        for line in found
    ]  # fmt: skip
    lines = []
    for line in found:
        late = f"  {line.late_ms // 60_000} min late" if line.late_ms else ""
        who = line.learner_id or line.code
        head = f"{line.called:<9} {line.assignment:<16} {who:<12} {line.no}"
        lines.append(f"{head}  {line.state}{late}")
        lines += [f"    {flag}" for flag in line.flags]
    return Outcome(data, "\n".join(lines) or "Nothing was handed in yet: handin import FOLDER")


def quarantine(
    show: Annotated[
        str, typer.Option(metavar="DIGEST", help="Write this file's bytes: with --out.")
    ] = "",
    out: Annotated[str, typer.Option("--out", "-o", metavar="FILE", help="Where to.")] = "",
    store: Store = "",
) -> Outcome:
    """List files that were put aside, with the reason and what to do; they are never dropped.

    Example: condenser-bench handin quarantine --show 5f0c --out looked-at.handin
    """
    from trainer.base.errors import NotFoundError, UsageError
    from trainer.classroom.keeping import fetch
    from trainer.classroom.listing import put_aside
    from trainer.cli.desk import desk_at
    from trainer.cli.files import writing
    from trainer.exchange.keys import private

    desk = desk_at(store)
    with desk.store.reading() as c:
        rows = put_aside(c)
        if show:
            rows = [row for row in rows if row.digest.startswith(show.lower())]
            if len(rows) != 1:
                what = "more than one file begins so" if rows else "no file put aside begins so"
                raise NotFoundError(what, show, "a digest of handin quarantine")
            if not out:
                raise UsageError("where to write it is missing", hint="--out FILE")
            content = fetch(c, rows[0].digest)
    if show:
        if Path(out).exists():
            raise UsageError("there is a file of that name already", out, "another with --out")
        with writing(out) as target:
            private(target, content)
    lines = []
    for row in rows:
        lines += [f"{row.digest[:16]}  {row.code}: {row.reason}", f"    {row.hint}"]
    lines += [f"Wrote {out}."] if show else []
    return Outcome([vars(row) for row in rows], "\n".join(lines) or "Nothing was put aside.")


def marks(file: Annotated[str, typer.Argument(metavar="MARKS", help="A marks file.")]) -> Outcome:
    """On the learner's machine: check released marks, keep them, and open the debrief they allow.

    Example: condenser-bench handin marks week-3-L-07-1.marks
    """
    from trainer.cli.assigned import learner_here
    from trainer.exchange.marks import keep_marks

    kept = keep_marks(learner_here(), Path(file))
    view = kept.marks.view
    lines = [f"Attempt {kept.marks.no}: {view.get('verdict', '')}, {view.get('total', '')} of 100"]
    lines += [f"  {d['title']:<24} {d['shown']:>6} %" for d in view.get("domains", [])]
    lines += [f"  {c['code']} {c['title']}: {c['sentence']}" for c in view.get("critical", [])]
    lines += [f"  {f['outcome']}: {f['sentence']}" for f in view.get("findings", [])[:5]]
    if kept.opened:
        lines.append(f"The debrief: condenser-bench debrief {kept.opened}")
    opened = str(kept.opened) if kept.opened else None
    return Outcome({"no": kept.marks.no, "view": view, "attempt": opened}, "\n".join(lines))


VERBS = {
    "verify": verify, "import": import_, "list": list_, "quarantine": quarantine, "marks": marks,
}  # fmt: skip
