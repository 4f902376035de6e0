"""Lines to acts and events to sentences."""

from pathlib import Path

import pytest

from tests.session.jobs import do, on, plain
from trainer.base.errors import TrainerError
from trainer.base.places import scenarios_dir
from trainer.session.acts import ACTS, act_from, load_moves
from trainer.session.events import Event
from trainer.session.text import parse, spelled, tell
from trainer.session.times import times


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("open disconnect", {"act": "open", "part": "disconnect"}),
        ("thermostat to off", {"to": "off", "part": "indoor"}),
        ("measure contactor.L1 to chassis", {"red": "contactor.L1", "black": "chassis"}),
        ("measure disconnect.L1 disconnect.L2 known source", {"why": "known source"}),
        ("select meter V ac", {"instrument": "meter", "setting": "V ac"}),
        ("put on safety glasses, insulating gloves",
         {"items": ["safety glasses", "insulating gloves"]}),
        ("discharge can.C and can.H for 10 s", {"a": "can.C", "b": "can.H", "seconds": 10.0}),
        ("lift wire 7 end a", {"wire": "7", "end": "a", "by": "terminal"}),
        ("torque 4 a 2.5", {"nm": 2.5}),
        ("tag disconnect do not close", {"part": "disconnect", "text": "do not close"}),
        ("take off control-panel", {"cover": "control-panel"}),
        ("wait 20", {"seconds": 20.0}),
    ],
)  # fmt: skip
def test_lines(line, fields):
    act = parse(line).model_dump()
    assert {k: act[k] for k in fields} == fields


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("", "help"), ("mesure a b", "measure"), ("lift 7", "WIRE END"), ("wait long", "SECONDS"),
        ("tug 7 x", "WIRE END"), ('tell "the', "quotation"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_says_what_to_type(line, hint):
    with pytest.raises(TrainerError) as error:
        parse(line)
    assert hint in str(error.value)


def test_every_act_has_a_time_and_a_line_of_help():
    assert set(times().acts) == set(ACTS)
    assert len(ACTS) >= 50


def test_a_refusal_says_why_in_one_sentence():
    bench = on(plain())
    assert tell(do(bench, "touch", place="contactor.T1")) == [
        "You cannot get at contactor.T1: the control-panel is on."
    ]
    assert tell(do(bench, "lock", part="disconnect")) == [
        "The hasp of disconnect takes a lock only with the handle off."
    ]
    assert tell(do(bench, "land", wire="7", end="a", place="can.H")) == [
        "You cannot get at can.H: the control-panel is on."
    ]


def test_a_locked_handle_does_not_move():
    bench = on(plain())
    do(bench, "open", part="disconnect")
    do(bench, "lock", part="disconnect")
    assert "does not move" in tell(do(bench, "close", part="disconnect"))[0]


MOVES = sorted(
    [
        *(scenarios_dir() / "moves").glob("*.yaml"),
        *Path(__file__).parent.glob("moves/*/wrong*.yaml"),
    ]
)


@pytest.mark.parametrize("file", MOVES, ids=lambda f: f"{f.parent.name}-{f.stem}")
def test_every_move_of_every_job_can_be_typed(file):
    for act in load_moves(file).acts:
        assert parse(spelled(act)) == act


def test_a_logged_act_is_the_act_again():
    act = parse("take wire 21 '12 AWG' RD 2 ft")
    assert act.length == pytest.approx(0.6096)
    assert act_from(act.model_dump(mode="json")) == act


@pytest.mark.parametrize("length", ["-1 m", "0 m", "1000 km", "nan m", "2"])
def test_a_length_that_no_reel_has_is_told(length):
    with pytest.raises(TrainerError, match="length"):
        parse(f"take wire 21 '14 AWG' BK {length}")


def test_a_thermostat_asks_for_what_it_can_ask():
    bench = on(plain())
    said = tell(do(bench, "thermostat", to="call"))
    assert any(line.startswith("indoor asks for Y") for line in said)
    assert not any("fuse" in line for line in said)


def test_a_compressor_that_turns_backwards_is_not_told_to_stand():
    """Its start event is invented; what the motors do is beside the outcome."""
    data = {"course": {"outcome": "stands and hums", "to_speed_ms": None}, "figures": {}}
    backwards = Event(1, 0, "start", {**data, "motors": {"comp": "turns backwards"}})
    stands = Event(1, 0, "start", {**data, "motors": {"comp": "stands"}})
    assert "does not come up to speed" in tell([backwards])[0]
    assert "stands and hums" in tell([stands])[0]
