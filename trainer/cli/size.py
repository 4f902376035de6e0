"""Sizes a unit from its nameplate file and prints what a tradesman needs, with rule and source.

Knows how to lay the answer out; computes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from trainer.base.errors import NotFoundError
from trainer.base.places import scenarios_dir
from trainer.base.units import show
from trainer.cli.envelope import Outcome

if TYPE_CHECKING:
    from rich.console import RenderableType

    from trainer.sizing.ruled import Ruled
    from trainer.sizing.sizing import Proof, RelayKit, Sizing

#: Names of the figures in plain words, in the order of the job.
LABELS = {
    "minimum_circuit_ampacity": "Minimum circuit ampacity",
    "conductor": "Copper conductor, at least",
    "largest_breaker": "Largest breaker or fuse",
    "largest_breaker_if_it_will_not_start": "  if it trips each start",
    "disconnect": "Disconnect, at least",
    "lowest_volts": "Lowest volts to run on",
    "start_capacitor": "Start capacitor",
    "relay_pickup": "Relay pickup",
    "relay_dropout": "Relay drop-out, at most",
    "relay_continuous": "Relay coil, continuous",
    "starter_class": "Soft starter class",
    "sag_ratio": "Sag while locked",
    "pst": "Lamp flicker Pst",
    "generator_without_aid": "Generator, no aid",
    "generator_with_relay_kit": "Generator, relay kit",
    "generator_with_soft_starter": "Generator, soft starter",
}
AIDS = {"none": "No start aid", "relay_kit": "Relay kit", "soft_starter": "Soft starter"}


def command(
    nameplate: Annotated[
        str, typer.Argument(help="A nameplate file, or the bare name of a shipped one.")
    ],
    prove: Annotated[
        bool, typer.Option(help="Prove the choice by simulated starts; without, phasors decide.")
    ] = True,
) -> Outcome:
    """Size conductors, breaker and start gear from a nameplate, each figure with its rule."""
    from trainer.sizing import nameplate_file
    from trainer.sizing.choose import recommend

    sizing = recommend(nameplate_file.read(found(nameplate)), prove=prove)
    return Outcome(sizing.as_data(), rendered(sizing), list(sizing.warnings))


def found(name: str) -> Path:
    """The file named, or the shipped nameplate of that bare name."""
    path = Path(name)
    if path.exists() or path.suffix or len(path.parts) != 1:
        return path
    shipped = scenarios_dir() / "nameplates"
    candidate = shipped / f"{name}.yaml"
    if candidate.is_file():
        return candidate
    names = ", ".join(sorted(each.stem for each in shipped.glob("*.yaml")))
    raise NotFoundError(f"there is no nameplate {name!r}", hint=f"give a file, or one of {names}")


def rendered(sizing: Sizing) -> RenderableType:
    """The whole answer for a person: the aid first, then the figures, the proof, the cautions."""
    from rich.console import Group

    parts: list[RenderableType] = [_plain(sizing.title), "", *_aid_lines(sizing)]
    parts += ["", _figures(sizing.figures)]
    if sizing.proofs:
        parts += ["", _proofs(sizing.proofs)]
    parts += [_plain(f"Note: {note}") for note in sizing.notes]
    parts += ["", *[_plain(f"Caution: {caution}") for caution in sizing.cautions]]
    return Group(*parts)


def _aid_lines(sizing: Sizing) -> list[RenderableType]:
    aid = sizing.aid
    lines = [f"{AIDS[aid.kind]}: {aid.reason}. [{aid.source}]"]
    if sizing.kit is not None and (aid.kind == "relay_kit" or sizing.kit.from_maker):
        lines += _kit_lines(sizing.kit)
    if aid.kind == "soft_starter":
        lines.append(f"  class {sizing.figures['starter_class'].value}")
    return [_plain(line) for line in [*lines, *(f"  {note}" for note in aid.notes)]]


def _kit_lines(kit: RelayKit) -> list[str]:
    pickup = f"{kit.pickup_v[0]:.0f}-{kit.pickup_v[1]:.0f} V"
    line = f"  start capacitor {kit.label}, relay {kit.relay}: pickup {pickup}, "
    line += f"drop-out at most {kit.dropout_v[1]:.0f} V, coil {kit.continuous_v:.0f} V continuous"
    return [f"{line} [{kit.source}]", *(f"  but: {fault}" for fault in kit.misfits)]


def _figures(figures: Mapping[str, Ruled]) -> RenderableType:
    """A table to read on the job, and below it the rule and source of each line by its number."""
    from rich.console import Group
    from rich.padding import Padding
    from rich.table import Table

    table = Table("", "What", "Value", "Remark", title="Figures")
    rules: list[RenderableType] = []
    for number, (name, ruled) in enumerate(figures.items(), start=1):
        cells = (str(number), LABELS[name], value_text(ruled), ruled.note)
        table.add_row(*(_plain(cell) for cell in cells))
        rule = f"{number} {LABELS[name].strip()}: {ruled.rule} [{ruled.source}]"
        rules.append(Padding(_plain(rule), (0, 0, 0, 2)))
    return Group(table, _plain("Rules [and their sources]"), *rules)


def value_text(ruled: Ruled) -> str:
    """The value as a person writes it."""
    value: Any = ruled.value
    if value is None:
        return "--"
    if isinstance(value, str):
        return value
    if isinstance(value, tuple):
        low, high = (show(end, ruled.unit) for end in value)
        return f"{low} to {high}" if value[0] < value[1] else f"none ({low} > {high})"
    return show(value, ruled.unit or "1")


def _proofs(proofs: tuple[Proof, ...]) -> RenderableType:
    from rich.table import Table

    heads = ("Simulated start", "Supply", "Outcome", "To 90 %", "Peak line", "Sag")
    table = Table(*heads, title="Proof")
    for proof in proofs:
        time = "never" if proof.time_to_90pct_s is None else show(proof.time_to_90pct_s, "s", 2)
        peak = "--" if proof.peak_line_a is None else show(proof.peak_line_a, "A")
        cells = (proof.what, proof.supply, proof.outcome, time, peak, _sag(proof))
        table.add_row(*(_plain(cell) for cell in cells))
    return table


def _sag(proof: Proof) -> str:
    """The leg that sags most, or leg to leg."""
    sags: Any = proof.details.get("sag_pct", {})
    return f"{max(sags.values()):.1f} %" if sags else "--"


def _plain(text: str) -> RenderableType:
    """Text that may hold square brackets and must not be read as markup."""
    from rich.text import Text

    return Text(text)
