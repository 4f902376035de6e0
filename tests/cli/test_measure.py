"""The measure command: readings as a display shows them, and input that is wrong."""

import json
import math

import pytest
from pytest import approx

from trainer.circuit.meter import Reading
from trainer.cli.main import main
from trainer.cli.measure import shown


def run(capsys, *words):
    code = main(["measure", *words])
    return code, capsys.readouterr()


def test_ohms_before_anything_is_energised(capsys):
    code, out = run(capsys, "psc", "--function", "ohms", "--between", "comp.C", "comp.S")
    assert code == 0
    # 2.2 ohm of start winding, 4 mohm overload, 0.2 ohm of leads
    assert out.out.startswith("ohms, comp.C to comp.S, every supply off: 2.4 ")
    assert "Caution:" in out.out


def test_json(capsys):
    words = ["psc", "--function", "volts", "--between", "comp.S", "comp.C", "--at", "2.9", "--json"]
    _, out = run(capsys, *words)
    data = json.loads(out.out)["data"]
    # 319 V on paper: scenarios/studies/expected.yaml
    assert data["value"] == approx(319.3, abs=5.0)
    assert (data["unit"], data["at_s"], data["over_range"]) == ("V", 2.9, False)


def test_over_range_is_null_in_json(capsys):
    words = ["psc", "--function", "ohms", "--between", "contactor.L1", "contactor.T1", "--json"]
    _, out = run(capsys, *words)
    data = json.loads(out.out)["data"]
    assert (data["value"], data["over_range"]) == (None, True)


@pytest.mark.parametrize(
    "reading, text",
    [
        (Reading(math.inf, "ohm"), "OL ohm"),
        (Reading(None, "ohm"), "--"),
        (Reading(1e-7, "V"), "0 V"),
        (Reading(13.94, "A"), "13.9 A"),
        (Reading(35e-6, "F"), "35 µF"),
    ],
)
def test_as_on_a_display(reading, text):
    assert shown(reading) == text


@pytest.mark.parametrize(
    "words, code, message",
    [
        (["psc", "--function", "henries", "--between", "comp.C", "comp.R"], 2, "no function of"),
        (["psc", "--function", "volts", "--between", "comp.C", "comp.Q"], 3, "no point called"),
        (["psc", "--function", "amps", "--between", "comp.C", "comp.R"], 3, "no conductor runs"),
        (["psc", "--function", "volts", "--between", "comp.C"], 2, "between"),
        (
            ["psc", "--function", "volts", "--between", "comp.C", "comp.R", "--at", "-1"],
            2,
            "--at -1",
        ),
        (["pcs", "--function", "volts", "--between", "comp.C", "comp.R"], 4, "no study called"),
    ],
)
def test_what_cannot_be_done(capsys, words, code, message):
    found, out = run(capsys, *words)
    assert found == code
    assert message in out.err
