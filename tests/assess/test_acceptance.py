"""Acceptance of marks, each test named after what it shows.

Comparing wirings and the statistics of classes have tests of their own (tests/nets and others).
"""

from __future__ import annotations

import json
from fractions import Fraction

from tests.assess.made import Script, dead_tests, empties, known, scripted, work
from tests.assess.test_chain import written
from tests.assess.test_sequence import RULES as EXAMPLE
from tests.assess.test_sequence import A, B, trail
from trainer.assess.finding_rubric import load_rubric, rubrics_dir
from trainer.assess.sequence import judge, score
from trainer.assess.showing import floored
from trainer.cli.main import main
from trainer.scenario.variants import draw


def marked(capsys, path) -> tuple[int, dict]:
    code = main(["mark", str(path), "--json"])
    return code, json.loads(capsys.readouterr().out)["data"]


def test_a_valid_order_other_than_the_model_is_full_and_wire_before_test_is_critical():
    assert score(judge(EXAMPLE, trail(A))) == 1
    assert float(score(judge(EXAMPLE, trail(B)))) == 19 / 26
    # the same on a unit: a hand in before the dead test is critical, whatever follows it
    early = scripted(P15=lambda s: (work(s), known(s))).marked().mark
    assert {"CF2", "CF4"} <= {c.code for c in early.critical} and early.verdict == "fail"


def test_the_same_mark_in_the_program_and_on_the_command_line(capsys, tmp_path):
    script = scripted(without=("P20",))
    inside = script.marked("fault").mark
    code, data = marked(capsys, written(tmp_path / "a", script))
    assert code == 0
    assert (data["verdict"], data["total"]) == (inside.verdict, float(inside.total))
    assert [c["code"] for c in data["critical"]] == [c.code for c in inside.critical]
    main(["mark", str(tmp_path / "a")])
    text = capsys.readouterr().out
    assert "FAIL" in text and "NOT SAFE YET" in text and data["total_shown"] in text


def test_re_energising_after_the_dead_test_and_then_touching_is_critical():
    def back(s: Script) -> None:
        work(s)
        s.unlock()
        s.close("disconnect")
        s.touch()

    mark = scripted(WORK=back).marked().mark
    assert {"CF1", "CF2"} <= {c.code for c in mark.critical}
    said = next(f for f in mark.findings if f.rule == "P16 before WORK").sentence
    assert "no longer counted" in said and "closed again" in said


def test_doing_nothing_and_handing_in_is_nought_and_fail(capsys, tmp_path):
    for name, script in (("over", Script().hand_over()), ("open", Script())):
        code, data = marked(capsys, written(tmp_path / name, script))
        assert code == 0 and data["verdict"] == "fail"
        assert data["total"] < (1 if name == "open" else 3)
    assert Script().marked().mark.total == 0
    handed = Script().hand_over().marked().mark
    assert {f.code for d in handed.domains for f in d.findings if f.outcome == "met"} <= {"P54"}


def test_a_total_just_below_the_cut_fails_and_never_displays_as_it():
    """The cut is set a hair above what the attempt has."""
    script = scripted()
    standard = load_rubric(rubrics_dir() / "fault.yaml")
    free = {n: d.model_copy(update={"floor": Fraction(0)}) for n, d in standard.domains.items()}
    total = script.marked(standard).mark.total
    cut = total + Fraction(1, 10**14)
    over = script.marked(standard.model_copy(update={"cut": total, "domains": free})).mark
    under = script.marked(standard.model_copy(update={"cut": cut, "domains": free})).mark
    assert (over.verdict, under.verdict) == ("pass", "fail")
    shown, cut_shown = under.as_data()["total_shown"], floored(cut, cut)
    assert shown != cut_shown and Fraction(shown) < Fraction(cut_shown)


def test_a_missing_ground_and_two_conductors_under_one_screw_are_each_told():
    def wrong(s: Script) -> None:
        s.lift("3", "b")
        s.label("2", "b").lift("2", "b").land("2", "b", "contactor.L1")

    found = scripted(WORK=wrong).marked()
    ended = {c.code for c in found.mark.critical}
    assert "CF7" in ended
    told = " ".join(c.sentence for c in found.mark.critical if c.code == "CF7")
    assert "without a ground" in told and "joins the two legs" in told
    crowded = [f for f in found.mark.findings if f.code == "W10"]
    assert crowded and "contactor.L1" in crowded[0].sentence


def test_the_same_seed_gives_the_same_job_and_other_seeds_others():
    from trainer.assess.loading import scenario_of

    scenario = scenario_of("hum-and-no-turn")
    one = [draw(scenario, "hum-and-no-turn", seed) for seed in range(20)]
    assert one == [draw(scenario, "hum-and-no-turn", seed) for seed in range(20)]
    assert len({json.dumps(d, sort_keys=True) for d in one}) > 15


def test_an_open_attempt_does_not_say_what_is_planted(tmp_path):
    """The fault's name stands nowhere in the file of an attempt in which nobody named it."""
    script = scripted(upto="P54")
    (fault,) = script.marked().job.faults
    path = written(tmp_path / "a", script)
    assert fault not in path.name
    assert f'"{fault}"' not in path.read_text()


def test_a_missed_proof_is_charged_once_at_each_place_it_protects_and_not_ever_after():
    """Ten more touches after one missing re-proof cost no more than one."""

    def often(s: Script) -> None:
        for _ in range(10):
            work(s)

    once = scripted(without=("P20",)).marked().mark
    again = scripted(without=("P20",), WORK=often).marked().mark

    def points(mark):
        return next(d for d in mark.domains if d.name == "sequence").score

    assert points(once) == points(again)
    assert [c.code for c in once.critical] == [c.code for c in again.critical] == ["CF2"]


def test_proved_again_after_power_came_back_is_enough():
    def proved(s: Script) -> None:
        work(s)
        for piece in (known, dead_tests, empties):
            piece(s)

    assert not scripted(WORK=proved).marked().mark.critical
