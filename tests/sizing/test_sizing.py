"""The answer as plain data."""

from trainer.cli.envelope import plain
from trainer.sizing.ruled import Ruled
from trainer.sizing.sizing import CAUTIONS, FIELDS, Aid, Sizing

ANSWER = Sizing(
    title="invented",
    figures={"disconnect": Ruled(19.2, "A", "rule", "source")},
    kit=None,
    aid=Aid("none", "why", "source"),
)


def test_every_key_is_described_and_every_description_has_its_key():
    assert set(ANSWER.as_data()) == set(FIELDS)


def test_plain_data_of_an_answer():
    data = plain(ANSWER.as_data())
    assert data["figures"]["disconnect"]["value"] == 19.2
    assert data["aid"]["kind"] == "none"
    assert data["kit"] is None
    assert data["cautions"] == list(CAUTIONS)
