"""Rubric files: what is wrong is told all at once; scores are exact and never shown as the cut."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from tests.assess.made import Script, scripted
from trainer.assess.finding_rubric import load_rubric, rubric_names, rubrics_dir
from trainer.assess.lint import remarks
from trainer.assess.marks import DomainScore
from trainer.assess.score import reasons_of, scored, total_of
from trainer.assess.showing import floored
from trainer.base.errors import Faults, NotFoundError, TrainerError
from trainer.cli.main import main


def load(tmp_path, text: str):
    path = tmp_path / "mine.yaml"
    path.write_text(text)
    return load_rubric(path)


GOOD = """
rubric: 1
title: Mine
cut: 70
domains: {sequence: {weight: 60, floor: 50}, records: {weight: 40}}
critical: [CF1]
sequence: [{first: P09, then: WORK, weight: 2}]
checks: {records: {P01: 1}}
"""


def test_a_small_rubric(tmp_path):
    assert load(tmp_path, GOOD).cut == 70


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("first: P09", "first: P99", "there is no step 'P99'"),
        ("first: P09", "first: P50", "P50 is judged once at the end"),
        ("weight: 60", "weight: 50", "the weights sum to 90"),
        ("critical: [CF1]", "critical: [CF99]", "there is no critical error 'CF99'"),
        ("P01: 1", "P77: 1", "there is no check 'P77'"),
        ("cut: 70", "cut: 170", "more than a hundred"),
        ("weight: 2", "weight: -2", "out of range"),
        ("weight: 2", "weight: two", "is no weight"),
        ("title: Mine", "title: Mine\nnonsense: 1", "is not a key known here"),
        ("records: {weight: 40}", "records: {weight: 0}, workmanship: {weight: 40}",
         "can never count"),
        ("weight: 2}]", "weight: 2}, {first: P09, then: WORK}]", "stands twice"),
        ("weight: 2}]", "weight: 2}, {first: WORK, then: P09}]", "wait for one another"),
    ],
)  # fmt: skip
def test_a_fault(tmp_path, old, new, told):
    with pytest.raises(Faults) as caught:
        load(tmp_path, GOOD.replace(old, new, 1))
    assert told in str(caught.value)
    assert "mine.yaml:" in str(caught.value)


def test_every_fault_at_once(tmp_path):
    text = GOOD.replace("P09", "P99").replace("CF1", "CF99").replace("weight: 60", "weight: 50")
    with pytest.raises(Faults) as caught:
        load(tmp_path, text)
    assert len(caught.value.faults) >= 3


def test_standing_upon_another(tmp_path):
    mine = load(tmp_path, "rubric: 1\nextends: standard\ntitle: Mine\ncut: 66\n")
    standard = load_rubric(rubrics_dir() / "standard.yaml")
    assert mine.cut == 66 and mine.rules == standard.rules
    assert mine.digest != standard.digest


@pytest.mark.parametrize("base", ["no-such", "../standard", "mine"])
def test_standing_upon_nothing_or_itself(tmp_path, base):
    with pytest.raises(TrainerError):
        load(tmp_path, f"rubric: 1\nextends: {base}\ntitle: Mine\n")


def test_a_missing_rubric(tmp_path, capsys):
    with pytest.raises(NotFoundError, match="there is no rubric"):
        load_rubric(tmp_path / "none.yaml")
    assert main(["check", str(tmp_path / "none.yaml")]) in (3, 4)
    capsys.readouterr()


@pytest.mark.parametrize("name", rubric_names())
def test_what_ships(name, capsys):
    rubric = load_rubric(rubrics_dir() / f"{name}.yaml")
    assert rubric.provisional
    assert sum(d.weight for d in rubric.domains.values()) == 100
    told = remarks(rubric)
    assert "legal orders" in told[0]
    assert not any("is charged" in t for t in told)
    assert main(["check", name]) == 0
    capsys.readouterr()


def test_the_defaults_are_those_that_were_agreed():
    """Weights of domains: the project's own agreed defaults."""
    rubric = load_rubric(rubrics_dir() / "standard.yaml")
    weights = {name: int(spec.weight) for name, spec in rubric.domains.items()}
    assert weights == {"sequence": 25, "correctness": 30, "workmanship": 15, "commissioning": 10,
                       "diagnosis": 10, "records": 10}  # fmt: skip
    assert rubric.time == 0
    assert len(rubric.critical) == 13


def test_a_remark_of_a_step_charged_twice(tmp_path):
    twice = load(tmp_path, GOOD.replace("weight: 2}]", "weight: 2}, {first: P09, then: START}]"))
    assert "a missed P09 is charged 2 times" in remarks(twice)


def test_the_schema_takes_what_ships(capsys):
    import json

    import jsonschema

    assert main(["schema", "rubric", "--json"]) == 0
    schema = json.loads(capsys.readouterr().out)["data"]
    text = (rubrics_dir() / "standard.yaml").read_text()
    jsonschema.validate(yaml.safe_load(text), schema)


# -- exact scores ------------------------------------------------------------------------------


def test_a_score_just_under_the_cut_fails_and_never_shows_as_the_cut():
    for under in (Fraction("79.996"), 80 - Fraction(1, 10**9), 80 - Fraction(1, 10**30)):
        assert floored(under, Fraction(80)) != "80.0"
        assert "the total is under the cut" in reasons_of(under, Fraction(80), [], [], "")
    assert floored(Fraction(80), Fraction(80)) == "80.0"
    assert reasons_of(Fraction(80), Fraction(80), [], [], "") == []


@given(st.fractions(min_value=0, max_value=100), st.decimals(min_value=0, max_value=100, places=2))
def test_what_is_shown_is_never_more_than_it_is(value, cut):
    text = floored(value, Fraction(cut))
    if not text.startswith("just under"):
        assert Fraction(Decimal(text)) <= value
        if value < Fraction(cut):
            assert Fraction(Decimal(text)) < Fraction(cut)


def test_domains_a_job_does_not_use_are_dropped_and_the_rest_rescaled():
    rubric = load_rubric(rubrics_dir() / "standard.yaml")
    domains = scored(rubric, {}, frozenset({"diagnosis", "correctness"}))
    assert sum(d.weight for d in domains) == 100
    assert {d.name: d.weight for d in domains}["sequence"] == Fraction(2500, 60)


def test_a_floor_fails_a_good_total():
    low = DomainScore("sequence", Fraction(1, 2), Fraction(25), Fraction(80), ())
    high = DomainScore("records", Fraction(1), Fraction(75), Fraction(0), ())
    total = total_of([low, high], Fraction(0))
    assert total == Fraction(175, 2)
    assert reasons_of(total, Fraction(80), [low, high], [], "") == [
        "Safe sequence is under its floor"
    ]


def test_a_scenarios_own_pass_line_overrides_the_cut():
    from dataclasses import replace

    from trainer.assess.marking import mark_attempt

    marked = scripted().marked()
    line = marked.scenario.model_copy(update={"pass_line": 12.5})
    again = mark_attempt(marked.attempt, replace(marked.job, scenario=line), marked.rubric)
    assert again.mark.cut == Fraction(25, 2) and marked.mark.cut == 80


def test_hints_are_counted_and_cost_what_the_rubric_says():
    def ask(s: Script, tier: int) -> Script:
        return s.act("hint", lambda: s.emit("hint", tier=tier, text="x"), tier=tier)

    plain, asked = scripted().marked().mark, ask(ask(scripted(), 1), 3).marked().mark
    assert plain.total - asked.total == 5  # look 1 and do 4
    assert asked.as_data()["hints_used"] == 2
    assert ask(Script(), 3).marked().mark.total == 0


def test_near_misses_are_recorded_and_not_charged():
    script = scripted()
    script.refused("unlock", part="breaker", by="key")
    assert not any(n.kind == "near miss" for n in script.marked().mark.notes)  # no lock was there
    script = scripted()
    script.act(
        "look", lambda: script.emit("locked", part="breaker", owner="a roofer"), at="breaker"
    )
    script.refused("unlock", part="breaker", by="key")
    assert any(n.kind == "near miss" for n in script.marked().mark.notes)
    assert script.marked().mark.total == scripted().marked().mark.total


def test_time_is_recorded_and_not_charged():
    slow = scripted(P01=lambda s: s.did("read", what="job sheet", ms=600_000))
    assert slow.marked().mark.total == scripted().marked().mark.total
    assert any(n.kind == "time" for n in slow.marked().mark.notes)
