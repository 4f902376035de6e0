"""Totals, cuts, floors and verdicts in exact fractions, and digits that never reach a cut.

Weights 50, 30, 15, 5 and shares 0.90, 19/26, 0.80, 1 are this project's own worked example.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.assess.made import Script, scripted
from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.assess.judged import Judged
from trainer.assess.marks import DomainScore
from trainer.assess.rubric import DomainWeight, Rubric
from trainer.assess.score import Item, reasons_of, scored, total_of
from trainer.assess.showing import floored

STANDARD = load_rubric(rubrics_dir() / "standard.yaml")


def rubric_of(**weights: int) -> Rubric:
    domains = {name: DomainWeight(weight=w) for name, w in weights.items()}
    return STANDARD.model_copy(update={"domains": domains})


def item(share: Fraction, weight: int = 1) -> Item:
    outcome = "met" if share == 1 else "not met"
    return Item("rule", "", Fraction(weight), Judged(outcome, share, "said"))  # type: ignore[arg-type]


def test_the_worked_total():
    rubric = rubric_of(correctness=50, sequence=30, commissioning=15, records=5)
    shares = {
        "correctness": Fraction(9, 10), "sequence": Fraction(19, 26),
        "commissioning": Fraction(4, 5), "records": Fraction(1),
    }  # fmt: skip
    domains = scored(rubric, {n: [item(s)] for n, s in shares.items()}, frozenset())  # type: ignore[misc]
    total = total_of(domains, Fraction(0))
    assert float(total) == pytest.approx(83.923076923, abs=1e-9)
    assert total == 45 + Fraction(30 * 19, 26) + 12 + 5


def test_domains_without_a_use_are_dropped_and_the_rest_rescaled():
    rubric = rubric_of(sequence=25, correctness=30, records=10)
    domains = scored(rubric, {}, frozenset({"correctness"}))
    assert [d.name for d in domains] == ["sequence", "records"]
    assert [d.weight for d in domains] == [Fraction(500, 7), Fraction(200, 7)]
    assert sum(d.weight for d in domains) == 100


def test_a_used_domain_in_which_nothing_was_shown_counts_as_nothing():
    domains = scored(
        rubric_of(sequence=60, records=40), {"records": [item(Fraction(1))]}, frozenset()
    )
    assert total_of(domains, Fraction(0)) == 40


@given(st.fractions(0, 100, max_denominator=10**15), st.fractions(0, 100, max_denominator=1000))
def test_shown_digits_are_never_above_the_value(value, cut):
    shown = Fraction(floored(value, cut))
    assert shown <= value and value - shown < Fraction(1, 10)
    if value < cut:
        assert shown < cut


@given(st.decimals(0, 100, places=6), st.decimals(0, 100, places=3))
def test_what_reaches_the_cut_reads_as_reaching_it(value, cut):
    shown = Fraction(floored(Fraction(value), Fraction(cut)))
    assert (shown >= Fraction(cut)) == (value >= cut)
    assert Fraction(floored(Fraction(cut), Fraction(cut))) == cut


@given(st.integers(1, 40), st.sampled_from([80, 85, 70, Fraction(797, 10)]))
def test_just_below_the_cut_never_reads_as_the_cut(places, cut):
    value = Fraction(cut) - Fraction(1, 10**places)
    shown = floored(value, Fraction(cut))
    assert shown != floored(Fraction(cut), Fraction(cut))
    assert Fraction(shown) < Fraction(cut)


def verdict(total: Fraction, floor: int = 0, share: Fraction = Fraction(1)) -> list[str]:
    domain = DomainScore("sequence", share, Fraction(100), Fraction(floor), ())
    return reasons_of(total, Fraction(80), [domain], [], "handed over")


def test_a_millionth_of_a_millionth_below_the_cut_fails():
    assert verdict(Fraction(80)) == []
    assert verdict(Fraction(80) - Fraction(1, 10**12)) == ["the total is under the cut"]
    assert verdict(Fraction(79996, 1000)) and floored(Fraction(79996, 1000), Fraction(80)) == "79.9"


def test_a_domain_just_below_its_floor_fails_whatever_the_total():
    low = Fraction(4, 5) - Fraction(1, 10**12)
    assert verdict(Fraction(99), 80, Fraction(4, 5)) == []
    assert verdict(Fraction(99), 80, low) == ["Safe sequence is under its floor"]


def test_a_scenarios_own_pass_line_overrides_the_cut():
    from dataclasses import replace

    from trainer.assess.marking import mark_attempt

    script = scripted()
    whole = script.marked()
    job = whole.job
    for line, passed in ((1, "pass"), (100, "fail")):
        scenario = job.scenario.model_copy(update={"pass_line": line})
        free = STANDARD.model_copy(
            update={
                "domains": {n: DomainWeight(weight=d.weight) for n, d in STANDARD.domains.items()}
            }
        )
        mark = mark_attempt(script.attempt, replace(job, scenario=scenario), free).mark
        assert (mark.cut, mark.verdict) == (line, passed)


def hinted(*tiers: int) -> Script:
    s = scripted(upto="P54")
    for tier in tiers:
        s.act("hint", lambda t=tier: s.emit("hint", tier=t, text="x"), tier=tier)
    return s.hand_over()


def test_hints_cost_what_the_rubric_says_and_are_counted():
    plain, three = hinted().marked().mark, hinted(1, 2, 3).marked().mark
    assert plain.total - three.total == three.hint_points == 7  # 1 + 2 + 4 in the standard
    assert len([n for n in three.notes if n.kind == "hint"]) == 3
    assert hinted(*[3] * 60).marked().mark.total == 0  # never below


def test_time_is_recorded_and_weighs_nothing():
    slow = scripted(
        P06=lambda s: s.act("set zone", lambda: s.emit("did", what="", to=""), ms=10**7)
    )
    quick = scripted()
    assert slow.marked().mark.total == quick.marked().mark.total
    (note,) = [n for n in slow.marked().mark.notes if n.kind == "time"]
    assert "min" in note.sentence


def took(share: float, accommodation: float = 1.0) -> Script:
    """The careful job, handed over after so much of the scenario's time."""
    s = scripted(upto="P54")
    s.events[0].data["found"]["accommodation"] = accommodation
    allowed_ms = round(1000 * s.marked().scenario.time)
    s.did("wait", ms=round(share * allowed_ms) - s.at_ms - 5000)
    return s.hand_over()


# By the rule itself: nothing up to the allowed time, the weight at twice it, a line between.
@pytest.mark.parametrize(
    ("share", "accommodation", "points"),
    [(0.9, 1.0, 0), (1.0, 1.0, 0), (1.25, 1.0, 2), (1.5, 1.0, 4), (2.0, 1.0, 8), (3.0, 1.0, 8),
     (1.5, 1.5, 0), (2.25, 1.5, 4)],
)  # fmt: skip
def test_time_over_costs_in_proportion(share, accommodation, points):
    timed = STANDARD.model_copy(update={"time": Fraction(8)})
    script = took(share, accommodation)
    free, mark = script.marked().mark, script.marked(timed).mark
    assert free.time_points == 0
    assert mark.time_points == free.total - mark.total == points
    assert mark.as_data()["time_points"] == points
    (note,) = [n for n in mark.notes if n.kind == "time"]
    assert (f"cost {points}.00 points" in note.sentence) == (points > 0)
    assert bool(note.evidence.events) == (points > 0)
    assert "not charged" not in note.sentence


def test_an_assignment_may_allow_other_time():
    """Twice the scenario's minutes: what cost half the weight costs nothing."""
    timed = STANDARD.model_copy(update={"time": Fraction(8)})
    script = took(1.5)
    script.events[0].data["found"]["time_s"] = 2.0 * script.marked().scenario.time
    assert script.marked(timed).mark.time_points == 0


def test_time_can_cost_a_pass():
    whole = scripted().marked().mark.total
    timed = STANDARD.model_copy(update={"time": Fraction(90)})
    mark = took(2.0).marked(timed).mark
    assert mark.total == max(0, whole - 90) and "the total is under the cut" in mark.reasons
    assert took(9.0).marked(timed.model_copy(update={"time": Fraction(100)})).mark.total == 0


def test_a_mark_says_what_it_was_made_with():
    subject = scripted().marked().mark.subject
    assert subject.rubric_digest == STANDARD.digest and subject.scorer
    assert len(subject.scenario_digest) == 64 and subject.provisional
