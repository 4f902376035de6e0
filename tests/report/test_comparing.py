"""Two attempts side by side: what differs, what is the same, and two jobs refused."""

import json

import pytest

from tests.report.made import NASTY, attempt, critical, finding, mark, started
from trainer.base.errors import TrainerError
from trainer.report.comparing import as_data, compared, lines_of


def both(a, b, events=(None, None)):
    one, other = (e or started() for e in events)
    return compared((a, one), (b, other), ("a.att", "b.att"))


def rows(found, title):
    return {r.name: (r.a, r.b) for r in dict(found.parts)[title]}


def test_two_jobs_are_refused():
    with pytest.raises(TrainerError) as refused:
        both(mark([finding()]), mark([finding()], scenario="alpha"))
    assert refused.value.exit_code == 3


def test_only_findings_that_differ():
    same = finding("wiring", "P29", "correctness")
    found = both(mark([finding(), same]), mark([finding(outcome="met"), same]))
    names = rows(found, "Findings that differ")
    assert list(names) == ["The ground path proved"]
    assert names["The ground path proved"][0].startswith("Not met")


def test_criticals_scores_starts_readings_times():
    found = both(
        mark([finding()], [critical(events=(3, 5))]), mark([finding()]),
        (started(), attempt(("done", {}))),
    )  # fmt: skip
    assert list(rows(found, "Critical errors").values()) == [("2 times", "none")]
    assert rows(found, "Domains")["Safe sequence"] == ("50.0 %", "50.0 %")
    assert rows(found, "Starts")["Start 1"][1] == "none"
    assert "131 A" in rows(found, "Starts")["Start 1"][0]
    assert rows(found, "Readings") == {"V ac, L1 and L2": ("240 V", "none")}
    assert rows(found, "Times")["First start"] == ("0:01:20", "none")


def test_text_and_json_say_the_same():
    found = both(mark([finding()]), mark([finding()], learner=NASTY))
    data = json.loads(json.dumps(as_data(found)))
    text = "\n".join(lines_of(found))
    assert data["attempts"] == ["a.att", "b.att"]
    for title, parts in found.parts:
        assert title.upper() in text
        assert len(data["parts"][title.lower().replace(" ", "_")]) == len(parts)
    assert "(both)" in text and "      A  " in text
