"""The way from a model's complaint to the place in the data."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, TypeAdapter, ValidationError

from trainer.base.fields import Ohms, Record, Volts
from trainer.base.schema import opened, walk


class Fuse(Record):
    kind: Literal["fuse"]
    ohms: Ohms


class Coil(Record):
    kind: Literal["coil", "solenoid"]
    coil: Volts


Part = Annotated[Fuse | Coil, Field(discriminator="kind")]


def _which(value: dict) -> str:
    return "melts" if "ohms" in value else "pulls"


class Box(Record):
    one: Part | None = None
    many: dict[str, list[Part]] = {}
    pair: tuple[Volts, Ohms] | None = None
    free: Annotated[
        Annotated[Fuse, Tag("melts")] | Annotated[Coil, Tag("pulls")], Discriminator(_which)
    ] | None = None  # fmt: skip
    either: int | list[int] = 0


def places(data):
    """The path of every complaint about a box."""
    try:
        Box.model_validate(data)
    except ValidationError as error:
        return [walk(Box, detail["loc"], data).path for detail in error.errors()]
    return []


def test_tags_of_unions_are_left_out():
    assert places({"one": {"kind": "coil", "coil": 5}}) == [("one", "coil")]
    assert places({"many": {"a": [{"kind": "fuse", "ohms": 5}]}}) == [("many", "a", 0, "ohms")]
    assert places({"free": {"kind": "fuse", "ohms": 5}}) == [("free", "ohms")]


def test_a_missing_key_is_at_its_own_place():
    assert places({"one": {"kind": "solenoid"}}) == [("one", "coil")]


def test_items_of_tuples_know_their_types():
    place = walk(Box, ("pair", 1), {"pair": ["1 V", "x"]})
    assert (place.path, place.example) == (("pair", 1), "1.5 ohm")


def test_members_of_an_ordinary_union_are_left_out():
    assert set(places({"either": ["x"]})) == {("either",), ("either", 0)}


def test_keys_and_tags_that_may_stand_here():
    assert walk(Box, (), {}).keys == ["one", "many", "pair", "free", "either"]
    assert walk(Box, ("one",), {"one": {}}).tags == ["fuse", "coil", "solenoid"]
    assert walk(Box, ("one",), {"one": {}}).keys == []


def test_an_example_comes_from_the_type():
    data = {"one": {"kind": "coil"}}
    assert walk(Box, ("one", "coil", "coil"), data).example == "240 V"
    assert walk(Box, ("one", "coil", "kind"), data).example == "coil or solenoid"


def test_a_location_nobody_knows_ends_where_the_data_ends():
    assert walk(Box, ("nothing", 3, "there"), {}).path == ()
    assert opened(walk(Box, ("many", "a", 7), {"many": {"a": []}})).path == ("many", "a", 7)


def test_the_models_here_are_sound():
    assert TypeAdapter(Part).validate_python({"kind": "fuse", "ohms": "1 ohm"}).ohms == 1.0
