"""Only a changed part writes itself down again; the circuit is the one built as a whole."""

import pytest

from trainer.circuit.shape import KINDS
from trainer.starts.varying import varied
from trainer.study.build import build
from trainer.study.load import load_study
from trainer.study.rewriting import rewritten


@pytest.mark.parametrize(
    ("name", "what", "value"),
    [
        ("potential-relay", "start_uf", 162.0),
        ("potential-relay", "line_v", 208.0),
        ("potential-relay", "relay_v", 150.0),
        ("wye-208", "line_v", 190.0),
        ("generator", "line_v", 220.0),
        ("inverter", "line_v", 220.0),
        ("psc", "standing", 1.0),
    ],
)
def test_a_part_written_again(name, what, value):
    study = load_study(name)
    elements, _ = build(study)
    changed = varied(study, what, value)
    ours, theirs = rewritten(elements, study, changed), build(changed)[0]
    assert all(getattr(ours, kind) == getattr(theirs, kind) for kind in KINDS)
    assert ours.nodes == theirs.nodes == elements.nodes
    assert all(getattr(elements, kind) == getattr(build(study)[0], kind) for kind in KINDS)


def test_more_than_numbers_is_built_as_a_whole():
    study = load_study("potential-relay")
    bare = study.parts["sc"].model_copy(update={"bleed": None})
    changed = study.model_copy(update={"parts": {**study.parts, "sc": bare}})
    ours = rewritten(build(study)[0], study, changed)
    assert "sc~bleed" not in [r.name for r in ours.resistors]
    assert ours.resistors == build(changed)[0].resistors
