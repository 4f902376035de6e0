"""A record with some fields changed: what ``dataclasses.replace`` gives, and refuses."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

from trainer.base.changing import changed


@dataclass(frozen=True)
class Row:
    name: str
    count: int = 0


def test_it_is_what_replace_gives_and_leaves_the_first_alone():
    first = Row("a", 1)
    assert changed(first, count=2) == replace(first, count=2) == Row("a", 2)
    assert first == Row("a", 1)


def test_a_field_that_is_not_there_is_refused():
    with pytest.raises(TypeError, match="colour"):
        changed(Row("a"), colour="red")
