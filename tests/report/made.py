"""Marks and attempts made by hand for the report's tests. Everything in them is invented."""

import math
from fractions import Fraction

from trainer.assess.marks import (
    Critical,
    DomainScore,
    Evidence,
    Finding,
    Mark,
    Note,
    Subject,
)
from trainer.report.next_exercise import Offer
from trainer.session.events import Event
from trainer.session.log import Attempt

#: What a person may write where a program reads; all of it must come out as text.
NASTY = '<script>alert("x")</script> "]]> </style> & {{ 7 * 7 }} \\0000 <!--'

OFFERS = (
    Offer("alpha", "Alpha", 1), Offer("make-it-dead", "Make it dead", 2),
    Offer("empty-three-capacitors", "Empty three capacitors", 2),
    Offer("wired", "Wired", 3), Offer("first-start", "First start", 4),
)  # fmt: skip


def finding(rule="P34 before RESTORE", code="P34", domain="sequence", outcome="not met",
            events=(3,), at_ms=(61_000,), severity="critical", **more):  # fmt: skip
    share = Fraction(1) if outcome == "met" else Fraction(0)
    given = {"sentence": f"{rule} was {outcome}.", "practice": "Prove it.", "source": "a standard",
             "points": Fraction(5), **more}  # fmt: skip
    where = Evidence(tuple(events), tuple(at_ms))
    return Finding(rule, code, domain, outcome, share, evidence=where, severity=severity, **given)


def critical(code="CF2", events=(3,), **more):
    given = {
        "title": "absence of volts not proved",
        "sentence": "Hands went in untested.",
        "consequence": "",
        "practice": "Test first.",
        "source": "a standard",
        **more,
    }
    where = Evidence(tuple(events), tuple(1000 * e for e in events))
    return Critical(code, evidence=where, **given)


def mark(findings=(), criticals=(), notes=(), learner="A. Learner", verdict=None, safe=None,
         ended="handed over", scenario="wired", level=3, seed=7, mode="practice", wiring=None,
         total=Fraction(7999, 100)):  # fmt: skip
    names = dict.fromkeys(f.domain for f in findings)
    domains = tuple(
        DomainScore(n, Fraction(1, 2), Fraction(50), Fraction(80),
                    tuple(f for f in findings if f.domain == n))
        for n in names
    )  # fmt: skip
    open_ = tuple(f for f in findings if f.outcome != "met")
    failed = bool(open_ or criticals) if verdict is None else verdict == "fail"
    subject = Subject(
        scenario, scenario.title(), level, seed, mode, learner, "0123456789abcdef" * 4,
        "d" * 64, "Wiring", "e" * 64, "1", True,
    )  # fmt: skip
    return Mark(
        subject, "fail" if failed else "pass", not criticals if safe is None else safe, total,
        Fraction(80), domains, tuple(criticals), open_, tuple(notes),
        ("the total is under the cut",) if failed else (), ended, wiring=wiring or {},
    )  # fmt: skip


def packed(values):
    top = max(abs(v) for v in values) or 1.0
    return {"scale": top / 30000, "points": [round(30000 * v / top) for v in values]}


def start_data(outcome="stalled", speed=0.0, peak=131.0):
    t = [0.6 * n / 299 for n in range(300)]
    wave = [peak * math.sin(2 * math.pi * 60 * x) for x in t]
    lines = {
        "t_s": packed(t), "line_1": packed(wave), "v_sc": packed([3 * w for w in wave]),
        "start_capacitor_v": packed([2 * w for w in wave]),
        "speed_rad_s": packed([speed * min(1.0, x / 0.2) for x in t]),
    }  # fmt: skip
    figures = {"outcome": outcome, "peak_line_a": peak, "clamp_inrush_a": 77.0,
               "time_to_90pct_s": 0.2 if speed else None, "disengage_s": 0.25 if speed else None,
               "sag_pct": {"leg_to_leg": 2.6}, "trips": []}  # fmt: skip
    course = {"outcome": "runs", "peak_a": peak, "to_speed_ms": None}
    far = {k: lines[k] for k in ("t_s", "v_sc")}
    return {"course": course, "figures": figures, "near": lines, "far": far}


SHOCK = {"place": "contactor.L1", "other": "chassis", "doer": "a hand", "volts_ac": 123.0,
         "volts_dc": 0.0, "body_ohms": 1562, "for_s": 1.0, "amps": 0.0787, "peak_a": 0.0,
         "joules": 0.0, "effect": "the heart may fibrillate"}  # fmt: skip


def attempt(*rows, reference=True, learner="A. Learner"):
    """``rows`` are (kind, data); times run on by ten seconds."""
    found = {"reference": start_data("clean", 370.0, 132.0)} if reference else {}
    events = [Event(1, 0, "begun", {"found": found})]
    for n, (kind, data) in enumerate(rows, 2):
        events.append(Event(n, 10_000 * n, kind, data))
    return Attempt({"learner": learner, "scenario": "wired", "seed": 7}, tuple(events))


def started():
    """An attempt with a reading, a stalled start and an end."""
    return attempt(
        ("asked", {"act": "measure", "red": "a", "black": "b", "why": ""}),
        ("read", {"instrument": "meter", "setting": "V ac", "leads": {"red": "L1", "black": "L2"},
                  "shown": {"text": "240 V", "note": ""}}),
        ("done", {}),
        ("asked", {"act": "close", "part": "disconnect"}), ("done", {}),
        ("asked", {"act": "thermostat", "to": "call", "part": ""}),
        ("start", start_data()), ("done", {}),
    )  # fmt: skip


def killed():
    """An attempt that ended with a touch."""
    return attempt(
        ("asked", {"act": "touch", "place": "contactor.L1", "other": "chassis"}),
        ("shock", SHOCK), ("over", {"why": "death"}), ("done", {}),
    )  # fmt: skip


def done_well(sentence="The unit was proved dead first."):
    return Note("done well", sentence, Evidence((2,), (20_000,)))
