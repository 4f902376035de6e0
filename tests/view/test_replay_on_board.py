"""The board during the replay of a start shows that instant, as the Trace sheet does."""

from dataclasses import replace
from itertools import pairwise

import pytest

from tests.view.hands import Hands
from trainer.view.board.board import camera
from trainer.view.board.replaying import as_then, kind_of, replay
from trainer.view.frames import frame
from trainer.view.mishaps import CALL, OFF
from trainer.view.moment import CHANGES_S, Moment, moment
from trainer.view.pen import Pen
from trainer.view.screens.bench import board_seen
from trainer.view.shapes import Layer, Line, Rect, Ring, every
from trainer.view.sheets.trace import data_shown, span_shown

VIEW = Rect(0.0, 0.0, 850.0, 540.0)


@pytest.fixture(scope="module")
def started():
    """A unit as built, energised and stopped; the Trace sheet is up."""
    hands = Hands()
    hands.begin("larkspur-row")
    for act in (CALL, {"act": "wait", "seconds": 1.0}, OFF):
        hands.send(("act", dict(act)))
    hands.send(("sheet", "trace"))
    return hands.app


@pytest.fixture(scope="module")
def relayed(started):
    """The same board, a potential relay in the place of its ground lug."""
    seen = board_seen(started)
    swapped = [
        replace(p, closed=False, type="potential-relay-C" if p.name == "lug" else p.type)
        for p in seen.parts
    ]
    return replace(seen, parts=tuple(swapped))


def shown(seen, now, still=False):
    pen = Pen((1280.0, 800.0))
    replay(pen, seen, "", camera(seen, VIEW, {}, -1.0), now, 0.25, still)
    return pen


def words(pen):
    return {n.name: n.label for n in pen.nodes}


def test_what_moves_is_shown_at_its_part(relayed):
    running = Moment(True, True, 1.0, 28.8, 0.9, 110.0)
    told = words(shown(relayed, running))
    kinds = {f"replay.{p.name}": kind_of(p.type) for p in relayed.parts}
    by_kind = {kinds[n]: w for n, w in told.items() if n in kinds}
    assert by_kind["contactor"].endswith("contactor closed")
    assert by_kind["compressor"].endswith("29 turns/s")
    assert by_kind["split_phase_service"].endswith("lamp 90 %")
    assert "0.250 s" in told["replay"]


def test_a_relay_opens_at_its_part(relayed):
    for opened, said in ((False, "relay closed"), (True, "relay open")):
        now = Moment(True, opened, 0.0, 0.0, 1.0, 120.0)
        assert words(shown(relayed, now))["replay.lug"].endswith(said)
    without = Moment(True, None, 0.0, 0.0, 1.0, 120.0)  # no start capacitor: nothing of a relay
    assert "replay.lug" not in words(shown(relayed, without))


@pytest.mark.parametrize(
    ("kind", "before", "after"),
    [("ptc-25", {"pill_hot": False}, {"pill_hot": True}),
     ("soft-starter-p20", {"relay_open": False}, {"relay_open": True})],
)  # fmt: skip
def test_a_thermistor_and_a_starter_have_a_picture_of_their_own(relayed, kind, before, after):
    parts = tuple(replace(p, type=kind if p.name == "lug" else p.type) for p in relayed.parts)
    seen = replace(relayed, parts=parts)
    now = Moment(True, None, 0.0, 0.0, 1.0, 120.0)
    first, then = (shown(seen, replace(now, **fields)) for fields in (before, after))
    assert words(first)["replay.lug"] != words(then)["replay.lug"]
    assert first.shapes != then.shapes
    assert "replay.lug" not in words(shown(seen, now))  # where nothing was recorded of it


def test_the_shaft_turns_with_its_angle_and_is_an_arrow_where_motion_is_reduced(relayed):
    def lines(angle, still):
        pen = shown(relayed, Moment(True, None, angle, 20.0, 1.0, 120.0), still)
        return [s.points for s in every(pen.shapes) if isinstance(s, Line)]

    assert lines(0.0, False) != lines(1.0, False)
    assert lines(0.0, True) == lines(1.0, True)
    told = words(shown(relayed, Moment(True, None, 0.0, 20.0, 1.0, 120.0), True))
    assert any(w.endswith("1200 rpm") for w in told.values())


def test_contactors_are_drawn_as_they_were_and_nothing_else_changes(relayed):
    then = as_then(relayed, Moment(True, None, 0.0, 0.0, 1.0, 120.0))
    for before, after in zip(relayed.parts, then.parts, strict=True):
        if kind_of(before.type) == "contactor":
            assert after.closed and not before.closed
        else:
            assert after == before
    assert then.ends is relayed.ends
    assert as_then(relayed, Moment(True, None, 2.0, 9.0, 0.5, 90.0)) is then, (
        "kept, to be painted once"
    )


def replaying(app):
    return [n for n in frame(app).nodes if n.name.startswith("replay")]


def test_it_shows_while_the_scrubber_stands_within_the_start_and_only_on_its_sheet(started):
    assert started.job.at_s == 1.0 and not replaying(started)
    within = started.with_job(at_s=0.3)
    assert replaying(within)
    assert not replaying(within.with_job(sheet="job"))
    plates = [
        [s.key[1] for s in every(frame(app).shapes) if isinstance(s, Layer) and s.key[0] == "plate"]
        for app in (started, within)
    ]
    assert plates[0] != plates[1]


def test_board_and_sheet_tell_the_same(started):
    app = started.with_job(at_s=0.4)
    t = 0.4 * span_shown(app.job)
    now = moment(data_shown(app.job), t, app.job.slowed)
    nodes = {n.name: n.label for n in frame(app).nodes}
    assert nodes["replay.comp"].endswith(f"{now.turns_per_s:.0f} turns/s")
    assert f"{100.0 * now.light:.0f} %" in nodes["trace.moment"]
    assert f"{100.0 * now.light:.0f} %" in nodes["replay.service"]


@pytest.mark.parametrize("slowed", [1, 20, 200])
def test_the_lamp_changes_no_oftener_than_may_be(started, slowed):
    """Light of the drawn lamp over one second of the replay as it is watched."""
    app = started.with_job(slowed=slowed)
    frames = 60
    lights = []
    for k in range(frames + 1):
        at = (0.01 + k / frames / slowed) / span_shown(app.job)
        found = frame(app.with_job(at_s=min(at, 0.999))).shapes
        lights.append(
            max(s.radius for s in every(found) if isinstance(s, Ring) and s.fill == "#F2CE5B")
        )
    changes = sum(a != b for a, b in pairwise(lights))
    assert changes <= CHANGES_S
