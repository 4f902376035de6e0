"""The published schema: well formed, takes what ships, refuses what is broken in form."""

import json

import jsonschema
import pytest

from tests.outside import share
from tests.scenario.files import PLAIN
from trainer.base.places import scenarios_dir
from trainer.base.yamlfile import read
from trainer.cli.main import main
from trainer.cli.schema import KINDS, schema_of


@pytest.mark.parametrize("kind", KINDS)
def test_it_is_a_schema(kind):
    jsonschema.Draft202012Validator.check_schema(schema_of(kind))


@pytest.mark.parametrize(
    ("kind", "folder"), [("layout", "layouts"), ("study", "studies"), ("moves", "moves")]
)
def test_it_takes_what_ships(kind, folder):
    validator = jsonschema.Draft202012Validator(schema_of(kind))
    # acts are many and the validator slow: a share of their files in every run
    for path in share(
        sorted((scenarios_dir() / folder).glob("*.yaml")), 6 if kind == "moves" else 1
    ):
        data = read(path).data
        if kind in data:
            assert [e.message for e in validator.iter_errors(data)] == [], path.name


@pytest.mark.parametrize(
    "wrong",
    [
        {"level": 7}, {"scenario": 2}, {"pump": 1}, {"time": 30}, {"time": "soon"},
        {"variants": {"dials": {"x": {"draw": "lots"}}}}, {"start": {"state": "perhaps"}},
    ],
)  # fmt: skip
def test_it_refuses_what_is_wrong_in_form(wrong):
    validator = jsonschema.Draft202012Validator(schema_of("scenario"))
    assert list(validator.iter_errors(PLAIN)) == []
    assert list(validator.iter_errors({**PLAIN, **wrong}))


def test_the_command_prints_it(capsys):
    assert main(["schema"]) == 0
    text = capsys.readouterr().out
    assert json.loads(text)["title"] == "condenser-bench scenario"
    assert main(["schema", "layout", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["data"]["title"] == "condenser-bench layout"


def test_an_unknown_kind(capsys):
    assert main(["schema", "pump"]) == 2
    assert "scenario, layout" in capsys.readouterr().err
