"""Wires, acts and whole studies as records."""

import pytest

from trainer.study.model import Act, Study, Wire


def test_wire_ohms():
    # 50 ft of 10 AWG (NEC Chapter 9 Table 8: 1.24 ohm/kft) and two good joints of 0.2 mohm
    wire = Wire(begin="a.1", end="b.1", gauge="10 AWG", length="50 ft")
    assert wire.total_ohms == pytest.approx(0.062 + 0.0004, rel=1e-6)


def test_loose_joint_counts_once():
    wire = Wire(begin="a.1", end="b.1", ohms="10 mohm", workmanship="loose")
    assert wire.total_ohms == pytest.approx(0.010 + 0.0002 + 0.100)


def test_joint_ohms_add():
    wire = Wire(begin="a.1", end="b.1", ohms="10 mohm", joint="0.3 ohm")
    assert wire.total_ohms == pytest.approx(0.010 + 0.0004 + 0.3)


def test_act_knows_its_verb():
    act = Act(at="100 ms", call="t")
    assert (act.at, act.verb, act.part) == (0.1, "call", "t")


def test_least_study():
    study = Study.model_validate({"study": 1, "title": "nothing", "parts": {}})
    assert study.until == 3.0 and study.wires == [] and study.sensitive is False


def test_a_study_passes_through_unchanged():
    study = Study.model_validate({"study": 1, "title": "nothing", "parts": {}})
    assert Study.model_validate(study) is study


def test_parts_become_their_own_kind():
    parts = {"k": {"kind": "contactor"}, "b": {"kind": "breaker", "rating": "20 A"}}
    study = Study.model_validate({"study": 1, "title": "two", "parts": parts})
    assert type(study.parts["k"]).__name__ == "Contactor"
    assert study.parts["b"].rating == 20.0
