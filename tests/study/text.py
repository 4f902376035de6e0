"""A small study in order, and how to break one line of it."""

from __future__ import annotations

from pathlib import Path

from trainer.base.errors import Faults
from trainer.study.load import load_study

#: Numbered as a file is: the first line is 1.
GOOD = """\
study: 1
title: Two parts and a wire
parts:
  service: {kind: split_phase_service}
  breaker: {kind: breaker, rating: 30 A}
  ds: {kind: disconnect}
  comp: {kind: compressor, machine: anchor}
  can: {kind: run_capacitor, capacitance: 35 uF}
wires:
  - {from: service.L1, to: breaker.1i, gauge: 10 AWG, length: 50 ft}
  - {from: breaker.1o, to: ds.L1}
  - {from: ds.T1, to: comp.C}
  - {from: comp.R, to: can.1}
  - {from: can.2, to: comp.S}
  - {from: service.L2, to: comp.R}
acts:
  - {at: 100 ms, close: ds}
until: 2 s
"""


def written(folder: Path, *changes: tuple[str, str]) -> Path:
    """The study with each text replaced by another, as a file."""
    text = GOOD
    for old, new in changes:
        assert old in text, f"the study has no {old!r}"
        text = text.replace(old, new, 1)
    path = folder / "broken.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(path: Path) -> list[str]:
    """The faults of a study as a person sees them, without the folder."""
    try:
        load_study(path)
    except Faults as error:
        return [str(f).replace(str(path), path.name) for f in error.faults]
    return []
