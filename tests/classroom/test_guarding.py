"""Workers that are ended: stuck where no signal reaches them, dead, or out of work."""

from __future__ import annotations

import multiprocessing
import os

import pytest

from trainer.base.errors import NotVerifiedError
from trainer.classroom.guarding import GRACE_S, DiedError, EndedError, Guarded, _serve, nothing


def own_id(_=None):
    return os.getpid()


def stuck(_=None):
    """One multiplication of whole numbers after the other within one call of compiled code, which
    holds the interpreter: no signal handler and no other thread gets a turn for hours."""
    return 3 ** (10**12)


def dies(_=None):
    os._exit(3)


def refuses(what):
    raise NotVerifiedError(what, "here", "another one")


def test_a_worker_that_never_comes_back_is_ended_and_the_next_piece_has_another():
    with Guarded(1, 2.0) as pool:
        first = pool.submit(own_id).result()
        assert first != os.getpid()
        assert pool.submit(own_id).result() == first
        ended, after = pool.submit(stuck), pool.submit(own_id)
        with pytest.raises(EndedError):
            ended.result()
        assert after.result() not in (first, os.getpid())
        with pytest.raises(ProcessLookupError):
            os.kill(first, 0)


def test_a_worker_that_dies_takes_only_its_own_piece_along():
    with Guarded(1, 60.0) as pool:
        with pytest.raises(DiedError):
            pool.submit(dies).result()
        with pytest.raises(NotVerifiedError) as refused:
            pool.submit(refuses, "it is not").result()
    assert (refused.value.what, refused.value.where, refused.value.hint) == (
        "it is not", "here", "another one",
    )  # fmt: skip


def test_leaving_waits_for_nobody():
    """It would wait for an hour."""
    with Guarded(1, 3600.0) as pool:
        worker = pool.submit(own_id).result()
        given_up = pool.submit(stuck)
    with pytest.raises(DiedError):
        given_up.result()
    with pytest.raises(ProcessLookupError):
        os.kill(worker, 0)


def test_a_worker_whose_asker_is_gone_ends_itself():
    """The watchdog inside, with a limit that leaves it a second."""
    context = multiprocessing.get_context("spawn")
    ours, its = context.Pipe()
    worker = context.Process(target=_serve, args=(its, 1.0 - GRACE_S, nothing), daemon=True)
    worker.start()
    ours.recv()
    ours.send((stuck, (), {}))
    worker.join()
    assert worker.exitcode == 1
