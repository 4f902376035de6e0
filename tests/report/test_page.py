"""The debrief as data: its order, what broke first, three findings, digits, the plain ending."""

import json

import pytest

from tests.report.made import (
    OFFERS,
    attempt,
    critical,
    done_well,
    finding,
    killed,
    mark,
    started,
)
from trainer.assess.procedure import procedure
from trainer.cli.envelope import plain
from trainer.report.assets import cautions, whys
from trainer.report.page import QUESTION, TOLD, as_data, debrief
from trainer.report.text import RULE, lines_of


def made(m, events=None):
    return debrief(m, events or started(), None, OFFERS)


def text_of(m, events=None, every=True):
    return "\n".join(lines_of(made(m, events), every))


def test_what_broke_first_is_order_before_all_else():
    late = finding("P39 before RESTORE", "P39", events=(9,), at_ms=(90_000,), severity="major")
    early = finding("wiring", "P29", "correctness", events=(4,), at_ms=(40_000,))
    assert made(mark([early, late])).first.code == "P39"


def test_a_critical_error_that_came_earlier_broke_first():
    late = finding(events=(9,), at_ms=(90_000,))
    assert made(mark([late], [critical(events=(3,))])).first.code == "CF2"
    assert made(mark([late], [critical(events=(12,))])).first.code == "P34"


def test_three_findings_at_most_and_none_twice():
    rows = [finding(f"rule {n}", f"X{n}", events=(n + 3,), at_ms=(1000,)) for n in range(6)]
    page = made(mark(rows))
    told = [page.first, *page.findings]
    assert len(told) == TOLD
    every = [t.code for t in (*told, *page.more)]
    assert sorted(every) == sorted(f.code for f in rows)


def test_nothing_broke():
    page = made(mark([finding(outcome="met")], notes=[done_well()]))
    assert page.first is None and page.findings == () and page.verdict == "Pass"
    assert "Nothing broke" in text_of(mark([finding(outcome="met")]))


def test_safety_is_never_hidden_by_a_number():
    assert made(mark([finding()], [critical()])).verdict == "Not safe yet"
    assert made(mark([finding()], safe=True)).verdict == "Safe, not passed yet"


def test_digits_never_reach_the_cut_from_below():
    # 79.99 rounded down with one digit (house rule of assess/showing)
    assert made(mark([finding()])).total == "79.9"


def test_the_question_stands_before_any_score():
    text = text_of(mark([finding()], [critical()], [done_well()]))
    places = [text.index(w) for w in (
        QUESTION, "CRITICAL ERRORS", "WHAT WAS SAFE", "THE FIRST THING", "WHAT THE CIRCUIT DID",
        "VERDICT AND MARKS", "NEXT EXERCISE", RULE, "EVERY ITEM", "TIMELINE", "CAUTIONS",
    )]  # fmt: skip
    assert places == sorted(places)
    assert "79.9" not in text[: places[0]]
    assert RULE not in text_of(mark([finding()]), every=False)


def test_evidence_is_event_and_bench_time():
    assert "event 3 at 0:01:01" in made(mark([finding()])).first.where


def test_a_finding_without_numbers_says_what_it_leads_to():
    told = made(mark([finding()])).first
    assert told.does == whys().codes["P34"]
    own = made(mark([finding(consequence="It drew 85 A.")])).first
    assert own.does == "It drew 85 A."


def test_every_step_of_the_trade_has_its_why():
    known = procedure()
    missing = {*known.steps, *known.critical} - set(whys().codes)
    assert not missing


def test_the_numbers_are_those_of_this_start_and_of_the_one_wanted():
    rows = {name: (own, wanted) for name, own, wanted in made(mark([finding()])).numbers}
    assert rows["Highest supply current"] == ("131 A", "132 A")
    assert rows["Time to 90 % speed"] == ("not reached", "0.20 s")


def test_no_start_is_said_plainly():
    page = made(mark([finding()]), attempt(("done", {})))
    assert page.start is None and page.numbers == ()
    assert "never energised" in text_of(mark([finding()]), attempt(("done", {})))


def test_a_death_in_sober_numbers():
    broken = finding("P09 before WORK", "P09", events=(2,), practice="Open every disconnect.")
    page = made(mark([broken], ended="death", safe=False), killed())
    facts = dict(page.ending.facts)
    assert facts["Volts between them"] == "123 V ac"
    assert facts["Current through the body"] == "79 mA"
    assert facts["For"] == "1 s"
    # 50 mA for 1 s: curve c1 of IEC TS 60479-1, from memory, as in assets/body.yaml
    assert "50 mA" in page.ending.means[1] and "1.6 times" in page.ending.means[1]
    assert page.ending.prevents == "Open every disconnect."
    assert "WHAT WOULD HAVE" in text_of(mark([broken], ended="death"), killed()).upper()


def test_a_lost_unit_names_the_act():
    events = attempt(
        ("asked", {"act": "mount", "part": "relay", "screw_mm": 40}),
        ("pierced", {"zone": "tube"}), ("over", {"why": "loss"}), ("done", {}),
    )  # fmt: skip
    page = made(mark([finding(events=(2,))], ended="loss"), events)
    facts = dict(page.ending.facts)
    assert facts["What happened"] == "A screw went into the tube."
    assert facts["The act"] == "Mount relay 40."


def test_electronics_that_died_before_are_not_the_loss():
    events = attempt(
        ("asked", {"act": "insulation", "red": "a"}), ("killed", {"part": "timer"}), ("done", {}),
        ("asked", {"act": "mount", "part": "relay", "screw_mm": 40}),
        ("pierced", {"zone": "tube"}), ("over", {"why": "loss"}), ("done", {}),
    )  # fmt: skip
    page = made(mark([finding(events=(5,))], ended="loss"), events)
    assert dict(page.ending.facts)["What happened"] == "A screw went into the tube."


@pytest.mark.parametrize("ended", ["handed over", "left open"])
def test_other_ends_have_no_such_page(ended):
    assert made(mark([finding()], ended=ended), killed()).ending is None


def test_the_timeline_has_every_kind_in_order():
    rows = made(mark([finding()], [critical(events=(5,))])).timeline
    assert [r.event for r in rows] == sorted(r.event for r in rows)
    assert {r.lane for r in rows} >= {"test", "start", "hazard", "power"}


def test_json_is_plain_and_whole():
    page = made(mark([finding()], [critical()], ended="death"), killed())
    data = json.loads(json.dumps(plain(as_data(page)), allow_nan=False))
    assert data["verdict"] == "Not safe yet" and data["ending"]["event"] == 3
    assert len(data["cautions"]) == len(cautions().cautions)


def test_cautions_stand_in_the_text():
    text = text_of(mark([finding()]), every=False)
    for one in cautions().cautions:
        assert one.title in text
