"""From the assignment's file through a learner's bench to the desk and back to his debrief."""

from __future__ import annotations

import secrets

import pytest

from tests.classroom.class_of_three import HOUR, assigned
from tests.classroom.keys import INSTRUCTOR
from tests.session.once import judged_once
from trainer.assess.marking import mark_file
from trainer.base.errors import TrainerError
from trainer.classroom.assigning import assignment_of
from trainer.classroom.handing_out import handed_out
from trainer.classroom.importing import Wish, import_files
from trainer.classroom.releasing import release
from trainer.exchange.marks import keep_marks, write_marks
from trainer.exchange.taking import Learner, get_up, hand_in, keep_receipt, sit_down, take
from trainer.session.acts import act_from
from trainer.session.sealing import SealedError

ACTS = (
    {"act": "look", "at": "disconnect"}, {"act": "open", "part": "disconnect"},
    {"act": "hand over", "words": "done"},
)  # fmt: skip


def test_an_attempt_goes_out_comes_in_and_its_mark_goes_back(desk, tmp_path):
    name = assigned(desk, tmp_path, seeds="one")
    with judged_once():
        content, _ = handed_out(desk, name, INSTRUCTOR, tmp_path / "kept")
    file = tmp_path / "week.assignment"
    file.write_bytes(content)
    with desk.store.reading() as connection:
        row = assignment_of(connection, name)

    clock = iter(range(desk.now_ms + HOUR, desk.now_ms + 2 * HOUR, 1000))
    learner = Learner(tmp_path / "learner", lambda: next(clock), secrets.token_bytes)
    taken = take(learner, file, "L-08", row.start_code)
    sat = sit_down(learner, taken)
    for act in ACTS:
        sat.running.do(act_from(act))
    get_up(learner, taken.ledger, sat.no, sat.sitting, 1000)
    handed = hand_in(learner, taken.ledger, sat.no, row.id)

    at_desk = type(desk)(desk.store, desk.who, desk.now_ms + 3 * HOUR, desk.chance)
    [told] = import_files(at_desk, [handed], INSTRUCTOR, Wish("all")).rows
    assert (told.status, told.flags) == ("imported", ()), told.reason
    receipt = tmp_path / "one.receipt"
    receipt.write_bytes(told.receipt)
    assert keep_receipt(learner, receipt).digest == told.digest

    attempt = taken.ledger.attempt_path(1)
    with pytest.raises(SealedError):
        mark_file(attempt)
    [out] = release(at_desk, row.id, INSTRUCTOR)
    marks = tmp_path / "one.marks"
    claim = (row.id, out.learner_id, out.no)
    marks.write_bytes(write_marks(claim, out.shown.signature, out.shown.view, INSTRUCTOR))
    kept = keep_marks(learner, marks)
    assert kept.opened == attempt
    mark = mark_file(attempt).mark
    assert (mark.verdict, mark.total) == (out.shown.verdict, out.shown.total)
    marks.write_bytes(marks.read_bytes().replace(b'"verdict":"fail"', b'"verdict":"pass"'))
    with pytest.raises(TrainerError):
        keep_marks(learner, marks)
