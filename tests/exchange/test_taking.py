"""A learner and an assignment: begin, leave, go on, hand in, receive; attempts are consumed."""

import pytest

from tests.exchange.invented import CODE, HOUR, ID, MADE, Clock, assignment, learner
from trainer.base.errors import NotFoundError, NotVerifiedError, PolicyError, TrainerError
from trainer.exchange.handin import read_handin
from trainer.exchange.receipt import Receipt, write_receipt
from trainer.exchange.taking import get_up, hand_in, keep_receipt, send, sit_down, take
from trainer.session.acts import act_from
from trainer.session.sealing import GRADED


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return assignment(tmp_path_factory.mktemp("made"))


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def bench(tmp_path, clock):
    return learner(tmp_path, clock=clock)


def worked(bench, taken, seconds=5):
    sat = sit_down(bench, taken)
    sat.running.do(act_from({"act": "wait", "seconds": seconds}))
    sat.running.log.close()
    get_up(bench, taken.ledger, sat.no, sat.sitting, 4000)
    return sat


def test_opening_consumes_an_attempt_and_looking_does_not(bench, made):
    taken = take(bench, made[0], "L-07", CODE)
    assert taken.left == 2
    sat = worked(bench, taken)
    assert (sat.no, taken.left) == (1, 1)
    assert sat.header["mode"] == GRADED
    assert sat.header["lock"] == taken.file.terms.lock


def test_the_same_attempt_is_gone_on_with(bench, made, clock):
    taken = take(bench, made[0], "L-07", CODE)
    first = worked(bench, taken)
    clock.now += HOUR
    again = worked(bench, taken)
    assert (again.no, taken.left) == (first.no, 1)
    assert len(again.running.events) > len(first.running.events)
    spans = taken.ledger.sittings(1)
    assert [s.elapsed_ms for s in spans] == [4000, 4000]
    assert spans[1].start_ms - spans[0].start_ms == HOUR


def test_a_hand_in_reads_back_and_ends_the_attempt(bench, made, clock):
    taken = take(bench, made[0], "L-07", CODE)
    sat = worked(bench, taken)
    clock.now += HOUR
    path = hand_in(bench, taken.ledger, 1, ID)
    got = read_handin(path.read_bytes(), "x")
    assert got.attempt == sat.path.read_bytes()
    assert (got.claim.learner_id, got.claim.no, got.claim.assignment_id) == ("L-07", 1, ID)
    assert got.claim.ended_ms - got.claim.started_ms == HOUR
    assert got.elapsed_ms == 4000
    assert got.claim.events == len(sat.running.events)
    assert sit_down(bench, taken).no == 2


def test_handing_in_twice_gives_the_same_file(bench, made, clock):
    taken = take(bench, made[0], "L-07", CODE)
    worked(bench, taken)
    first = hand_in(bench, taken.ledger, 1, ID).read_bytes()
    clock.now += HOUR
    assert hand_in(bench, taken.ledger, 1, ID).read_bytes() == first


def test_after_the_last_attempt_there_is_none(bench, made):
    taken = take(bench, made[0], "L-07", CODE)
    for no in (1, 2):
        worked(bench, taken)
        hand_in(bench, taken.ledger, no, ID)
    with pytest.raises(PolicyError, match="no attempt is left"):
        sit_down(bench, taken)


@pytest.mark.parametrize(
    ("now", "said"), [(MADE - 1, "not open yet"), (MADE + 73 * HOUR, "closed")]
)
def test_out_of_its_hours_nothing_begins(bench, made, clock, now, said):
    clock.now = now
    taken = take(bench, made[0], "L-07", CODE)
    with pytest.raises(PolicyError, match=said):
        sit_down(bench, taken)
    assert taken.left == 2


def test_an_attempt_under_way_may_be_ended_after_closing(bench, made, clock):
    taken = take(bench, made[0], "L-07", CODE)
    worked(bench, taken)
    clock.now = MADE + 100 * HOUR
    assert worked(bench, taken).no == 1


def test_killed_between_consuming_and_beginning_the_attempt_is_still_there(bench, made):
    taken = take(bench, made[0], "L-07", CODE)
    sat = worked(bench, taken)
    opened = taken.ledger.openings()
    sat.path.unlink()
    again = worked(bench, taken)
    assert again.no == 1
    assert taken.ledger.openings() == opened
    assert again.header["opening"] == opened[0].opening_id


def test_two_learners_at_one_machine_have_their_own_books(bench, made):
    one, two = (take(bench, made[0], who, CODE) for who in ("L-07", "L-08"))
    worked(bench, one)
    assert (one.left, two.left) == (1, 2)


def test_a_torn_line_of_the_book_loses_nothing_else(bench, made):
    taken = take(bench, made[0], "L-07", CODE)
    worked(bench, taken)
    with open(taken.ledger.book, "a") as file:
        file.write('{"kind": "opened", "lear')
    assert taken.left == 1


def test_sent_under_a_name_without_the_learner(bench, made, tmp_path):
    taken = take(bench, made[0], "L-07", CODE)
    worked(bench, taken)
    stick = tmp_path / "stick"
    stick.mkdir()
    copy = send(hand_in(bench, taken.ledger, 1, ID), stick)
    assert "L-07" not in copy.name
    assert copy.read_bytes() == taken.ledger.handin_path(1).read_bytes()
    with pytest.raises(NotFoundError, match="no such folder"):
        send(copy, tmp_path / "nowhere")


def test_an_attempt_with_a_changed_line_is_not_sealed(bench, made):
    taken = take(bench, made[0], "L-07", CODE)
    sat = worked(bench, taken)
    lines = sat.path.read_bytes().splitlines(keepends=True)
    sat.path.write_bytes(b"".join([*lines[:-1], lines[-1].replace(b'"seq"', b'"sEq"')]))
    with pytest.raises(TrainerError):
        hand_in(bench, taken.ledger, 1, ID)


def receipt_of(got, **other):
    given = {
        "receipt": 1, "assignment_id": ID, "learner_id": "L-07", "no": 1, "digest": got.digest,
        "received_ms": MADE + HOUR, "late_ms": 0, "counted": True, "checks": ("replayed",),
    }  # fmt: skip
    return Receipt(**{**given, **other})


def test_the_receipt_is_checked_and_kept(bench, made, tmp_path):
    taken = take(bench, made[0], "L-07", CODE)
    worked(bench, taken)
    got = read_handin(hand_in(bench, taken.ledger, 1, ID).read_bytes(), "x")
    path = tmp_path / "one.receipt"
    path.write_bytes(write_receipt(receipt_of(got), made[1]))
    assert keep_receipt(bench, path) == receipt_of(got)
    assert taken.ledger.receipt_path(1).read_bytes() == path.read_bytes()
    path.write_bytes(write_receipt(receipt_of(got), bench.key()))
    with pytest.raises(NotVerifiedError, match="another key"):
        keep_receipt(bench, path)


def test_the_key_is_private_and_made_once(bench):
    first = bench.key().private_bytes_raw()
    path = bench.root / "keys" / "learner.key"
    assert path.stat().st_mode & 0o777 == 0o600
    assert bench.key().private_bytes_raw() == first
