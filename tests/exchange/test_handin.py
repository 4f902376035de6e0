"""Hand-ins that were changed: every one is refused, and what went wrong first is named."""

import os
import random
import re

import pytest

from tests.exchange.invented import CODE, ID, assignment, learner
from trainer.base.errors import NotVerifiedError
from trainer.exchange.handin import read_handin
from trainer.exchange.signing import SEAL_BYTES, sealed
from trainer.exchange.taking import hand_in, sit_down, take
from trainer.session.acts import act_from

TRIES = 10_000 if os.environ.get("CONDENSER_BENCH_CI") else 400


@pytest.fixture(scope="module")
def content(tmp_path_factory):
    folder = tmp_path_factory.mktemp("handin")
    path, _ = assignment(folder, ("L-07",), attempts=1)
    bench = learner(folder)
    taken = take(bench, path, "L-07", CODE)
    sat = sit_down(bench, taken)
    for act in (
        {"act": "look", "at": "disconnect"}, {"act": "wait", "seconds": 5},
        {"act": "look", "at": "contactor"},
    ):  # fmt: skip
        sat.running.do(act_from(act))
    sat.running.log.close()
    return hand_in(bench, taken.ledger, 1, ID).read_bytes()


def flipped(content, rng):
    changed = bytearray(content)
    changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
    return bytes(changed)


def cut(content, rng):
    return content[: rng.randrange(len(content))]


def doubled(content, rng):
    lines = content.splitlines(keepends=True)
    n = rng.randrange(len(lines))
    return b"".join([*lines[:n], lines[n], *lines[n:]])


def exchanged(content, rng):
    lines = content.splitlines(keepends=True)
    a, b = rng.sample(range(len(lines)), 2)
    lines[a], lines[b] = lines[b], lines[a]
    return b"".join(lines)


def left_out(content, rng):
    lines = content.splitlines(keepends=True)
    del lines[rng.randrange(len(lines))]
    return b"".join(lines)


@pytest.mark.parametrize("change", [flipped, cut, doubled, exchanged, left_out])
def test_every_change_is_caught(content, change):
    rng = random.Random(change.__name__)
    for _ in range(TRIES // 5):
        changed = change(content, rng)
        with pytest.raises(NotVerifiedError):
            read_handin(changed, "x.handin")


@pytest.mark.parametrize("event", [1, 2, 3])
def test_the_first_bad_event_is_named(content, event):
    lines = content.splitlines(keepends=True)
    lines[event + 1] = lines[event + 1].replace(b'"at_ms"', b'"At_ms"')
    with pytest.raises(NotVerifiedError, match=f"event {event} was changed") as refusal:
        read_handin(b"".join(lines), "x.handin")
    assert refusal.value.where == f"x.handin:{event + 2}"
    assert refusal.value.exit_code == 1


def test_a_last_event_taken_away_is_missed(content):
    lines = content.splitlines(keepends=True)
    events = len(lines) - 3
    with pytest.raises(NotVerifiedError, match=f"event {events} is missing"):
        read_handin(b"".join([*lines[:-2], lines[-1]]), "x.handin")


def test_it_reads_whole(content):
    got = read_handin(content, "x.handin")
    assert got.claim.no == 1
    assert content.count(b"\n") == got.claim.events + 3


def test_a_second_spelling_of_the_seal_is_no_seal(content):
    seal = content[-SEAL_BYTES:]
    for other in (seal.upper(), seal.replace(b":", b": "), seal + b"\n", b" " + seal):
        with pytest.raises(NotVerifiedError):
            read_handin(content[:-SEAL_BYTES] + other, "x.handin")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'"no":1', b'"no":100'), (b'"no":1', b'"no":"1"'), (b'"no":1', b'"no":2'),
        (b'"learner_id":"L-07"', b'"learner_id":"../../x"'),
        (b'"learner_id":"L-07"', b'"learner_id":"L-08"'),
        (b'"handin":1', b'"handin":1,"more":2'),
    ],
)  # fmt: skip
def test_nonsense_under_a_good_seal_is_refused(content, old, new, tmp_path):
    """Somebody's own program may sign what it likes."""
    from tests.exchange.invented import chance_of
    from trainer.exchange.keys import own_key

    first, rest = content[:-SEAL_BYTES].split(b"\n", 1)
    assert re.search(re.escape(old), first)
    body = first.replace(old, new, 1) + b"\n" + rest
    key = own_key(tmp_path, "learner", chance_of("own program"))
    with pytest.raises(NotVerifiedError):
        read_handin(sealed("handin", body, key), "x.handin")
