"""Rubric files: every fault told at once with where it is, remarks, inheritance, exit codes.

Weights and names in these files are invented.
"""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from textwrap import dedent

import pytest

from trainer.assess.finding_rubric import load_rubric, rubric_names, rubrics_dir
from trainer.assess.lint import remarks
from trainer.base.errors import Faults, NotFoundError, TrainerError
from trainer.cli.main import main

GOOD = """\
    rubric: 1
    title: Small
    cut: 80
    domains: {sequence: {weight: 60, floor: 80}, records: {weight: 40}}
    critical: [CF1]
    sequence:
      - {first: P04, then: P09, weight: 2}
      - {first: P09, then: WORK, weight: 3}
    checks: {records: {P01: 1}}
"""


def written(folder: Path, text: str = GOOD, name: str = "small") -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(dedent(text))
    return path


def told(path: Path) -> str:
    with pytest.raises(TrainerError) as raised:
        load_rubric(path)
    error = raised.value
    if isinstance(error, Faults):
        return "\n".join(str(fault) for fault in error.faults)
    return str(error)


@pytest.mark.parametrize("name", rubric_names())
def test_what_ships_is_in_order(name, capsys):
    rubric = load_rubric(rubrics_dir() / f"{name}.yaml")
    assert sum(d.weight for d in rubric.domains.values()) == 100
    assert main(["check", str(rubrics_dir() / f"{name}.yaml")]) == 0
    assert "legal orders" in capsys.readouterr().out


def test_the_usual_weights():
    """The defaults: sequence 25, correctness 30, workmanship 15, and ten for each of the rest."""
    standard = load_rubric(rubrics_dir() / "standard.yaml")
    weights = {name: int(d.weight) for name, d in standard.domains.items()}
    assert weights == {
        "sequence": 25, "correctness": 30, "workmanship": 15, "commissioning": 10,
        "diagnosis": 10, "records": 10,
    }  # fmt: skip
    assert standard.domains["sequence"].floor == 80  # a compensatory total would buy back safety
    assert standard.time == 0 and standard.provisional


def test_weights_are_exact(tmp_path):
    path = written(tmp_path, GOOD.replace("weight: 60", "weight: 59.9").replace("40", "40.1"))
    assert load_rubric(path).domains["sequence"].weight == Fraction(599, 10)


BAD = """\
    rubric: 1
    title: Bad
    cut: 180
    domains: {sequence: {weight: 60}, records: {weight: 41}, diagnosis: {weight: 0}}
    critical: [CF1, CF99]
    sequence:
      - {first: P04, then: P09, weight: 2}
      - {first: P09, then: P04, weight: 2}
      - {first: P404, then: WORK}
      - {first: P12, then: WORK, weight: -1}
      - {first: P12, then: WORK}
    checks: {records: {P01: 1, P99: 1}, commissioning: {P42: 1}}
    workmanship: {W06: 1, W99: 1}
    diagnosis: {named: 1, guessed: 1}
    correctness: {wirings: 2}
    colour: blue
"""
FAULTS = {
    "a cut above a hundred": ("cut", "more than a hundred"),
    "weights that sum wrongly": ("domains", "sum to 101"),
    "an unknown critical error": ("critical", "CF99"),
    "a ring": ("sequence", "wait for one another"),
    "an unknown step": ("sequence", "P404"),
    "a weight below nothing": ("weight", "out of range"),
    "a rule that stands twice": ("sequence", "stands twice"),
    "an unknown check": ("checks", "P99"),
    "checks that cannot count": ("commissioning", "can never count"),
    "an unknown point of workmanship": ("workmanship", "W99"),
    "workmanship that cannot count": ("workmanship", "can never count"),
    "an unknown item of diagnosis": ("diagnosis", "guessed"),
    "diagnosis that cannot count": ("diagnosis", "can never count"),
    "an unknown item of correctness": ("correctness", "wirings"),
    "correctness that cannot count": ("correctness", "can never count"),
    "an unknown key": ("colour", "colour"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_every_fault_is_told_at_once(tmp_path, fault):
    lines = told(written(tmp_path, BAD)).splitlines()
    assert any(all(word in line for word in FAULTS[fault]) for line in lines), lines


def test_the_near_word_is_offered(tmp_path):
    assert "one of" in told(written(tmp_path, GOOD.replace("first: P04", "first: P044")))


@pytest.mark.parametrize("weight", ["-1", "abc", "1001", "true", "[]", "1/0", ".nan", ".inf"])
def test_a_weight_that_is_none(tmp_path, weight):
    text = GOOD.replace("weight: 3}", f"weight: {weight}}}")
    assert "weight" in told(written(tmp_path, text))


def test_time_costs_points_of_the_total(tmp_path):
    """At most all hundred of them."""
    assert load_rubric(written(tmp_path, f"{GOOD}    time: 2.5\n", "timed")).time == Fraction(5, 2)
    said = told(written(tmp_path, f"{GOOD}    time: 101\n", "long"))
    assert "time" in said and "more than a hundred" in said


def test_a_missing_key_is_told_where_it_is_missing(tmp_path):
    assert "title" in told(written(tmp_path, GOOD.replace("    title: Small\n", "")))


# -- one upon another -------------------------------------------------------------------------


def test_one_rubric_stands_upon_another(tmp_path):
    written(tmp_path, name="under")
    over = """\
        rubric: 1
        extends: under
        title: Over
        cut: 70
        checks: {records: {P01: null, P02: 3}}
    """
    rubric = load_rubric(written(tmp_path, over, "over"))
    assert (rubric.title, rubric.cut) == ("Over", 70)
    assert rubric.checks == {"records": {"P02": 3}}
    assert len(rubric.sequence) == 2


@pytest.mark.parametrize("base", ["nowhere", "over", "../small", "a/b", "''", "3.5"])
def test_what_it_stands_on_must_be_there_and_end(tmp_path, base):
    """Missing, itself, and what is no bare name."""
    written(tmp_path, f"rubric: 1\nextends: {base}\ntitle: Over\n", "over")
    with pytest.raises(TrainerError):
        load_rubric(tmp_path / "over.yaml")


def test_a_fault_of_what_it_stands_on_is_told(tmp_path):
    written(tmp_path, GOOD.replace("weight: 40", "weight: 41"), "under")
    over = "rubric: 1\nextends: under\ntitle: Over\n"
    assert "sum to 101" in told(written(tmp_path, over, "over"))


def test_a_file_changed_between_two_readings_is_read_again(tmp_path):
    path = written(tmp_path)
    one = load_rubric(path).digest
    path.write_text(dedent(GOOD.replace("cut: 80", "cut: 85.5")))
    assert load_rubric(path).digest != one


def test_the_digest_names_the_content_not_the_order_of_keys(tmp_path):
    one = load_rubric(written(tmp_path))
    rows = dedent(GOOD).splitlines(keepends=True)
    other = written(tmp_path, "".join([rows[0], rows[2], rows[1], *rows[3:]]), "other")
    assert load_rubric(other).digest == one.digest


# -- remarks ----------------------------------------------------------------------------------


def test_remarks_tell_the_freedom_left_and_what_is_implied(tmp_path):
    text = GOOD.replace(
        "    checks:", "      - {first: P04, then: WORK, weight: 2}\n    checks:"
    ).replace("weight: 3}", "weight: 2}")
    found = remarks(load_rubric(written(tmp_path, text)))
    assert "3 rules on 3 steps leave 1 legal orders" in found
    assert "P04 before WORK follows from other rules" in found
    assert "a missed P04 is charged 2 times" in found


def test_a_rule_of_another_weight_is_not_called_redundant(tmp_path):
    text = GOOD.replace("    checks:", "      - {first: P04, then: WORK, weight: 9}\n    checks:")
    assert not any("follows" in row for row in remarks(load_rubric(written(tmp_path, text))))


# -- the commands -----------------------------------------------------------------------------


def test_check_tells_every_fault_and_gives_3(tmp_path, capsys):
    path = written(tmp_path, BAD)
    assert main(["check", str(path), "--json"]) == 3
    out = json.loads(capsys.readouterr().out)
    assert not out["ok"]
    assert sum(word in json.dumps(out) for word in ("CF99", "P404", "W99", "sum to 101")) == 4


def test_a_rubric_that_is_not_there(tmp_path):
    with pytest.raises(NotFoundError):
        load_rubric(tmp_path / "none.yaml")
    assert main(["check", str(tmp_path / "none.yaml")]) == 3  # told among the files


def test_mark_with_a_faulty_rubric_marks_nothing(tmp_path, capsys):
    from tests.assess.made import scripted
    from tests.assess.test_chain import written as kept

    attempt = kept(tmp_path / "a", scripted(upto="P09"))
    bad = written(tmp_path, BAD)
    assert main(["mark", str(attempt), "--rubric", str(bad), "--json"]) == 3
    out = json.loads(capsys.readouterr().out)
    assert not out.get("data") and "CF99" in json.dumps(out["errors"])
    assert main(["mark", str(attempt), "--rubric", "no-such", "--json"]) == 4
    capsys.readouterr()
    assert main(["mark", str(attempt), "--rubric", "wiring", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["data"]["rubric"] == "Wiring"
