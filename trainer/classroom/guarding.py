"""Work in processes of its own, each of which can be ended whatever it is stuck in.

A bound on wall time has to hold where compiled code does not come back: the process is killed
from outside, and the next piece gets a new one. Should whoever waits be killed himself, a watchdog
inside ends the worker a little later. Knows processes; must know nothing of what is worked.
"""

from __future__ import annotations

import faulthandler
import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from multiprocessing.connection import Connection
from queue import SimpleQueue
from threading import Event
from typing import Any

from trainer.base.errors import TrainerError

#: Imported before a worker is forked.
PRELOADED = ["trainer.classroom.checking"]
#: How much later than from outside a worker is ended from inside. [s]
GRACE_S = 20.0
#: Longest beginning of a worker: compiling may be part of it. [s]
BEGIN_S = 900.0


class EndedError(Exception):
    """A worker was ended because its time was up."""


class DiedError(Exception):
    """A worker ended by itself: out of memory, or killed by another hand."""


def nothing() -> None:
    """For workers that need no preparation."""


class Guarded(Executor):
    """As an executor; a result is what the work gave or raised, EndedError or DiedError.

    ``prepare`` runs in a new worker before any time is counted.
    """

    def __init__(self, workers: int, limit_s: float, prepare: Callable[[], None] = nothing) -> None:
        self._limit_s, self._prepare = limit_s, prepare
        self._threads = ThreadPoolExecutor(workers)
        self._idle: SimpleQueue[_Worker | None] = SimpleQueue()
        for _ in range(workers):
            self._idle.put(None)
        self._all: set[_Worker] = set()
        self._closed = Event()

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        return self._threads.submit(self._done, fn, args, kwargs)

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Nobody is asked to finish: what is under way was given up by whoever began it."""
        self._closed.set()
        for worker in list(self._all):
            worker.end()
        self._threads.shutdown(wait=wait, cancel_futures=True)
        for worker in list(self._all):
            worker.end()

    def _done(self, fn: Callable[..., Any], args: Any, kwargs: Any) -> Any:
        worker = self._idle.get()
        try:
            if worker is None or not worker.process.is_alive():
                worker = self._begun()
            good, value = worker.ask((fn, args, kwargs), self._limit_s)
        except (EndedError, DiedError):
            if worker is not None:
                worker.end()
                self._all.discard(worker)
            worker = None
            raise
        finally:
            self._idle.put(worker)
        if good:
            return value
        raise value

    def _begun(self) -> _Worker:
        if self._closed.is_set():
            raise DiedError
        worker = _Worker(self._limit_s, self._prepare)
        self._all.add(worker)
        if self._closed.is_set():
            worker.end()
        worker.ready()
        return worker


class _Worker:
    """One process and the pipe to it. It inherits nothing: no database, no thread.

    Where there is a fork, what work needs is imported once and shared by later workers.
    """

    def __init__(self, limit_s: float, prepare: Callable[[], None]) -> None:
        context = _context()
        self._pipe, its = context.Pipe()
        self.process = context.Process(target=_serve, args=(its, limit_s, prepare), daemon=True)
        self.process.start()
        its.close()

    def ready(self) -> None:
        """Raises TrainerError when it cannot begin at all."""
        try:
            if self._pipe.poll(BEGIN_S):
                self._pipe.recv()
                return
        except (EOFError, OSError):
            pass
        self.end()
        hint = "look at the free memory, or import with fewer --workers"
        raise TrainerError("a worker process could not be started", "", hint)

    def ask(self, work: object, limit_s: float) -> Any:
        """(whether it was done, what it gave or raised)."""
        try:
            self._pipe.send(work)
            if not self._pipe.poll(limit_s):
                raise EndedError
            return self._pipe.recv()
        except (EOFError, OSError):
            raise DiedError from None

    def end(self) -> None:
        self.process.kill()
        self.process.join()


def _context() -> Any:
    ways = multiprocessing.get_all_start_methods()
    context = multiprocessing.get_context("forkserver" if "forkserver" in ways else "spawn")
    context.set_forkserver_preload(PRELOADED)
    return context


def _serve(pipe: Connection, limit_s: float, prepare: Callable[[], None]) -> None:
    """The worker: one piece of work after the other until whoever asked is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one that asks ends it
    prepare()
    pipe.send(None)
    with open(os.devnull, "w") as nowhere:
        while True:
            try:
                fn, args, kwargs = pipe.recv()
            except (EOFError, OSError):
                return
            # a thread that needs no interpreter: it also ends compiled code that holds it
            faulthandler.dump_traceback_later(limit_s + GRACE_S, exit=True, file=nowhere)
            told = _told(fn, args, kwargs)
            faulthandler.cancel_dump_traceback_later()
            pipe.send(told)


def _told(fn: Callable[..., Any], args: Any, kwargs: Any) -> tuple[bool, Any]:
    try:
        return True, fn(*args, **kwargs)
    except Exception as error:
        return False, error
