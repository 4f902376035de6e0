"""How conductors run on the drawn board, for every layout that ships, as found and half wired."""

from functools import cache
from typing import Any, NamedTuple

import pytest

from trainer.session.acts import act_from
from trainer.session.attempt import start
from trainer.session.opening import opening
from trainer.unit.layout import layout_names
from trainer.view.board.harness import _exit, _pairs, free_ends, router_of
from trainer.view.board.plate import called
from trainer.view.board.routing import routes
from trainer.view.board.seen import plan_of, seen
from trainer.view.board.targets import drawn
from trainer.view.shapes import Rect

#: Conductors beside one another in a channel are at least so far apart [logical px].
APART = 4.0
CONDITIONS = ("found", "lifted")


class Board(NamedTuple):
    """What is seen, its plan, the two exits of each conductor and its run."""

    now: Any
    plan: Any
    pairs: dict
    runs: dict


@cache
def board(name, condition):
    """Of a layout; ``lifted``: every second end is off its place."""
    unit, header, found = opening(name, 0)
    running = start(unit, None, header, "learner", found)
    if condition == "lifted":
        for cover in list(running.bench.own_layout.covers if running.bench.own_layout else ()):
            running.do(act_from({"act": "take off", "cover": cover}))
        for n, tag in enumerate(list(running.bench.unit.conductors)):
            if n % 2:
                running.do(act_from({"act": "lift", "wire": tag, "end": "a"}))
    now = seen(running.bench, {})
    plan, router = plan_of(now.stands), router_of(now.stands)
    free = free_ends(now, plan)
    exits = {e.name: _exit(e, plan, router, free) for e in now.ends}
    pairs = _pairs(now, exits)
    return Board(now, plan, pairs, routes(router, pairs))


def every(f):
    f = pytest.mark.parametrize("condition", CONDITIONS)(f)
    return pytest.mark.parametrize("name", layout_names())(f)


def pieces(run):
    return list(zip(run.points, run.points[1:]))


def crosses(piece, rect):
    """Whether a level or upright piece goes through the inside of a rectangle."""
    (x1, y1), (x2, y2) = piece
    return (min(x1, x2) < rect.right - 0.5 and max(x1, x2) > rect.x + 0.5
            and min(y1, y2) < rect.bottom - 0.5 and max(y1, y2) > rect.y + 0.5)  # fmt: skip


@every
def test_every_conductor_connects_its_two_ends(name, condition):
    now, _, pairs, runs = board(name, condition)
    assert set(runs) == {e.tag for e in now.ends}
    for tag, (a, b) in pairs.items():
        assert runs[tag].points[0] == pytest.approx(a.at)
        assert runs[tag].points[-1] == pytest.approx(b.at)


@every
def test_every_piece_is_level_or_upright(name, condition):
    for run in board(name, condition).runs.values():
        for (x1, y1), (x2, y2) in pieces(run):
            assert abs(x1 - x2) < 0.01 or abs(y1 - y2) < 0.01, run


@every
def test_no_conductor_lies_over_a_part_or_a_marking(name, condition):
    _, plan, _, runs = board(name, condition)
    marks = {
        mark: Rect(x - 10.0, y - 6.0, 20.0, 12.0)
        for part in plan.parts.values() for mark, (x, y) in part.marks.items()
    }  # fmt: skip
    over = [
        (run.tag, what)
        for run in runs.values()
        for piece in pieces(run)
        for what, rect in [*((p.name, p.rect) for p in plan.parts.values()), *marks.items()]
        if crosses(piece, rect)
    ]
    assert over == []


@every
def test_conductors_side_by_side_keep_apart(name, condition):
    """But for two on one place, which come off it as one."""
    _, _, pairs, runs = board(name, condition)
    rows = [(run.tag, piece) for run in runs.values() for piece in pieces(run)]
    close = [
        (one, other, p, q)
        for k, (one, p) in enumerate(rows)
        for other, q in rows[k + 1 :]
        if one != other
        and side_by_side(p, q)
        and gap(p, q) < APART - 0.01
        and not shared(p, q, pairs[one], pairs[other])
    ]
    assert close == []


def shared(p, q, ends, others):
    """Whether both pieces begin at one place that both conductors are on."""
    return any(e.at == o.at and e.at in p and o.at in q for e in ends for o in others)


def level(piece):
    return abs(piece[0][1] - piece[1][1]) < 0.01


def side_by_side(p, q, least=12.0):
    """Both level or both upright, and beside each other for more than a corner."""
    if level(p) != level(q):
        return False
    k = 0 if level(p) else 1
    low = max(min(p[0][k], p[1][k]), min(q[0][k], q[1][k]))
    high = min(max(p[0][k], p[1][k]), max(q[0][k], q[1][k]))
    return high - low > least


def gap(p, q):
    k = 1 if level(p) else 0
    return abs(p[0][k] - q[0][k])


@every
def test_every_end_that_can_be_seen_has_a_flag_of_its_own(name, condition):
    now = board(name, condition).now
    flags = drawn(now, "").flags
    hidden = {p.name for p in now.parts if p.cover}
    assert set(flags) == {e.name for e in now.ends if e.on.partition(".")[0] not in hidden}
    rows = list(flags.items())
    over = [(a, b) for k, (a, r) in enumerate(rows) for b, q in rows[k + 1 :] if r.meets(q)]
    assert over == []


def test_landing_one_conductor_keeps_the_channels_of_the_others():
    """Channels depend on a conductor's own two places only."""
    unit, header, found = opening("larkspur-row", 0)
    running = start(unit, None, header, "learner", found)
    before = seen(running.bench, {})
    router = router_of(before.stands)
    plan = plan_of(before.stands)

    def ways(now):
        free = free_ends(now, plan)
        pairs = _pairs(now, {e.name: _exit(e, plan, router, free) for e in now.ends})
        return {tag: router.way(*ends) for tag, ends in pairs.items()}

    moved = next(e for e in before.ends if e.on)
    running.do(act_from({"act": "lift", "wire": moved.tag, "end": moved.side}))
    then, now = ways(before), ways(seen(running.bench, {}))
    assert {t: w for t, w in then.items() if t != moved.tag} == {
        t: w for t, w in now.items() if t != moved.tag
    }


def test_parts_do_not_stand_on_one_another():
    for name in layout_names():
        plan = board(name, "found").plan
        rows = list(plan.parts.values())
        over = [(a.name, b.name) for k, a in enumerate(rows) for b in rows[k + 1 :]
                if a.rect.meets(b.rect)]  # fmt: skip
        assert over == [], name
        assert all(called(p.name, p) for p in rows)
