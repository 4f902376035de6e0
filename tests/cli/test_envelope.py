"""The JSON object of every command."""

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from trainer.cli.envelope import Outcome, plain, succeeded, text_of


@dataclass
class Reading:
    volts: float
    trace: np.ndarray


def test_plain_values():
    reading = Reading(np.float64(1.5), np.array([1.0, np.nan, np.inf]))
    assert plain({"a": reading, 3: (np.int64(2), np.bool_(True), Path("x"))}) == {
        "a": {"volts": 1.5, "trace": [1.0, None, None]},
        "3": [2, True, "x"],
    }


def test_what_has_no_place_is_refused():
    with pytest.raises(TypeError, match="object has no place"):
        plain([object()])


def test_the_text_is_plain_ascii_json():
    text = text_of(succeeded(Outcome({"µ": float("-inf")})))
    assert text.isascii()
    assert json.loads(text)["data"] == {"µ": None}
