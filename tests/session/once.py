"""Many attempts played quickly: each start judged at its own volts only.

Whether a start comes out the same with other volts is asked in test_starts; two more recordings of
every start would be most of the time. What is left out changes no outcome.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from unittest import mock

from trainer.session import judging


class Once:
    """Stands for the judge of a start; what other volts give is what the start's own gave."""

    def __init__(self) -> None:
        self.judge, self.found = judging.reported, None

    def __call__(self, unit: Any, acts: Any, until_s: float, line: float = 1.0) -> Any:
        if line == 1.0:
            self.found = self.judge(unit, acts, until_s)
        return self.found


@contextmanager
def judged_once() -> Iterator[None]:
    """The start that is wanted is left out as well: it is only drawn beside one's own."""
    handed = mock.patch("trainer.session.opening.reference", return_value={})
    with handed, mock.patch.object(judging, "reported", Once()):
        yield
