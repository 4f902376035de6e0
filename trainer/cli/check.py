"""Checks files somebody wrote: everything wrong in each, with line and what to write instead.

Scenarios are also proved on their own circuit. Knows kinds of files; decides nothing itself.
"""

from __future__ import annotations

from typing import Annotated, Any

import typer

from trainer.base.errors import INVALID_INPUT
from trainer.cli.envelope import Outcome


def command(
    paths: Annotated[
        list[str], typer.Argument(metavar="PATH...", help="Files, folders or bare names.")
    ],
    form: Annotated[
        bool, typer.Option("--form", help="Form and fit only; simulate nothing.")
    ] = False,
    seeds: Annotated[
        int,
        typer.Option(metavar="N", min=1, max=50, help="Prove so many variants, model acts too."),
    ] = 1,
) -> Outcome:
    """List every fault of every file; prove that scenarios start, show and read as they say."""
    from trainer.cli.checking import check_file, files_of

    checked = [check_file(path, not form, range(seeds)) for path in files_of(paths)]
    lines: list[str] = []
    for found in checked:
        lines += [str(fault) for fault in found.faults]
        if found.ok:
            proved = f", {len(found.proofs)} proofs" if found.proofs else ""
            lines.append(f"{found.path}: {found.kind} in order{proved}")
            lines += [f"  {note}" for note in found.notes]
    bad = sum(len(found.faults) for found in checked)
    files = "1 file" if len(checked) == 1 else f"{len(checked)} files"
    lines.append(f"{files}, {bad or 'no'} fault{'' if bad == 1 else 's'}")
    data = {"files": [_plain(found) for found in checked], "faults": bad}
    return Outcome(data, "\n".join(lines), exit_code=INVALID_INPUT if bad else 0)


def _plain(found: Any) -> dict[str, Any]:
    return {
        "path": found.path,
        "kind": found.kind,
        "ok": found.ok,
        "faults": [{"where": f.where, "what": f.what, "write": f.write} for f in found.faults],
        "proofs": [{"what": p.what, "ok": p.ok, "says": p.says} for p in found.proofs],
        "notes": list(found.notes),
    }
