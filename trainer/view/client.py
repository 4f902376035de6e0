"""The window's end of the worker: requests go out, answers come back in order, from a thread.

Knows a process and lines; must know no screen.
"""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from queue import Empty, SimpleQueue
from typing import Any

from trainer.view.language import tr

Data = dict[str, Any]

#: Requests that write nothing: their answers matter only while there is a window.
FOR_THE_EYE = ("warm", "home", "studies", "card", "suggest")


class Client:
    """``arrived`` is called from another thread whenever an answer is ready to be taken."""

    def __init__(self, arrived: Callable[[], None]) -> None:
        self._arrived = arrived
        self._answers: SimpleQueue[Data] = SimpleQueue()
        self._asked: dict[int, Data] = {}
        self._next = 1
        self._process = subprocess.Popen(
            [sys.executable, "-m", "trainer.view.worker"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        )  # fmt: skip
        self._closing = False
        self._listener = threading.Thread(target=self._listen, daemon=True)
        self._listener.start()

    @property
    def waiting(self) -> int:
        """How many requests have no answer yet."""
        return len(self._asked)

    def ask(self, request: Mapping[str, Any]) -> None:
        number, self._next = self._next, self._next + 1
        self._asked[number] = dict(request)
        line = json.dumps({**request, "number": number}).encode("ascii") + b"\n"
        try:
            assert self._process.stdin is not None
            self._process.stdin.write(line)
            self._process.stdin.flush()
        except OSError:
            self._lost()

    def answers(self) -> list[tuple[Data, Data]]:
        """(request, answer) for everything that came since."""
        found: list[tuple[Data, Data]] = []
        while True:
            try:
                answer = self._answers.get_nowait()
            except Empty:
                return found
            found.append((self._asked.pop(answer.get("number") or 0, {}), answer))

    def close(self, patience_s: float = 5.0) -> None:
        """Ends the worker, which is waited for so long; what it wrote is on disk already.
        ``arrived`` is not called any more.
        """
        self._closing = True
        if self._process.stdin is not None:
            with suppress(OSError):  # it is gone already
                self._process.stdin.close()
        if self._asked and all(r.get("ask") in FOR_THE_EYE for r in self._asked.values()):
            self._process.kill()  # what it works on nobody will see
        try:
            self._process.wait(timeout=patience_s)
        except subprocess.TimeoutExpired:
            self._process.kill()
        # a call that meets the toolkit while that is shut down can hold up both for good
        self._listener.join(timeout=5.0)

    def _listen(self) -> None:
        assert self._process.stdout is not None
        for line in self._process.stdout:
            self._answers.put(json.loads(line))
            self._tell()
        if not self._closing:
            self._lost()

    def _lost(self) -> None:
        """The worker is gone: every open question is answered with that."""
        for number in list(self._asked):
            words = tr(
                "The solver stopped; your attempt is saved. Leave and open the program again."
            )
            self._answers.put({"number": number, "error": words})
        self._tell()

    def _tell(self) -> None:
        if not self._closing:
            self._arrived()
