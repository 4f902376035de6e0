"""Lists, shows, begins and draws scenarios. Knows files and sentences; decides nothing itself."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import TrainerError, UsageError, quoted
from trainer.cli.assigned import practised
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from trainer.scenario.variants import Variant

HOW = "list; show NAME; new NAME; preview NAME -o PNG"


def command(
    action: Annotated[str, typer.Argument(help=HOW)] = "list",
    name: Annotated[str, typer.Argument(help="A scenario that ships, or a file.")] = "",
    seed: Annotated[int, typer.Option(help="Which variant.")] = 0,
    key: Annotated[
        bool, typer.Option("--key", help="With show: the instructor's answer sheet.")
    ] = False,
    layout: Annotated[
        str, typer.Option(metavar="NAME", help="With new: one that ships, or a file beside it.")
    ] = "",
    out: Annotated[str, typer.Option("-o", "--out", metavar="FILE", help="File to write.")] = "",
) -> Outcome:
    """List scenarios, show one or its answer sheet, begin a new one, draw one."""
    if action != "new" and action not in ACTIONS:
        raise UsageError(f"{quoted(action)} is nothing to do with scenarios", hint=HOW)
    if action != "list" and not name:
        raise UsageError(f"{action} needs the name of a scenario", hint=HOW)
    if action == "new":
        return _new(name, layout, out)
    return ACTIONS[action](name, seed, key, out)


def _list(name: str, seed: int, key: bool, out: str) -> Outcome:
    from trainer.scenario.load import find_scenario, load_scenario, scenario_names

    rows, warnings = [], []
    for known in scenario_names():
        try:
            told = load_scenario(known)
        except TrainerError as error:
            warnings.append(f"{find_scenario(known)}: {error}")
            continue
        rows.append({"name": known, "level": told.level, "title": told.title,
                     "layout": told.layout, "time_s": told.time})  # fmt: skip
    width = max((len(str(row["name"])) for row in rows), default=0)
    lines = [f"level {r['level']}  {r['name']:<{width}}  {r['title']}" for r in rows]
    return Outcome({"scenarios": rows}, "\n".join(lines), warnings)


def _variant(name: str, seed: int) -> Variant:
    from trainer.scenario.load import find_scenario, load_scenario
    from trainer.scenario.variants import variant

    practised(seed)
    return variant(load_scenario(name), find_scenario(name).stem, seed)


def _show(name: str, seed: int, key: bool, out: str) -> Outcome:
    from trainer.scenario.key import answer_sheet, job_sheet
    from trainer.scenario.load import find_scenario, model_file

    built = _variant(name, seed)
    moves = model_file(built.scenario, find_scenario(name))
    text = answer_sheet(built, moves) if key else job_sheet(built)
    data: dict[str, Any] = {"name": built.name, "seed": seed, "sheet": text}
    if key:
        data |= {
            "draws": dict(built.draws), "faults": list(built.faults),
            "charges": dict(built.charges), "conditions": dict(built.conditions),
        }  # fmt: skip
    if out:
        _write(out, text)
        return Outcome({**data, "file": out}, f"Wrote {out}.")
    return Outcome(data, text)


def _new(name: str, layout: str, out: str) -> Outcome:
    """A new file never overwrites one."""
    from trainer.scenario.template import file_name, new_scenario
    from trainer.unit.own_layout import layout_called

    path = out or file_name(name)
    if Path(path).exists():
        raise TrainerError("there is a file of that name already", path, "another name with -o")
    if layout:
        layout_called(layout, Path(path).parent)
    _write(path, new_scenario(name, layout))
    return Outcome({"file": path}, f"Wrote {path}. Look it over with condenser-bench check {path}")


def _write(path: str, text: str) -> None:
    from trainer.cli.files import writing

    with writing(path) as target:
        target.write_text(text, encoding="utf-8")


def _preview(name: str, seed: int, key: bool, out: str) -> Outcome:
    from trainer.cli.files import writing
    from trainer.cli.preview import draw_preview

    if not out:
        raise UsageError("preview needs a picture to write", hint="-o PICTURE.png")
    built = [_variant(name, n) for n in range(seed, seed + 4)]
    with writing(out) as target:
        draw_preview(built, target)
    return Outcome({"file": out, "seeds": [b.seed for b in built]}, f"Wrote {out}.")


ACTIONS: dict[str, Callable[[str, int, bool, str], Outcome]] = {
    "list": _list, "show": _show, "preview": _preview,
}  # fmt: skip
