"""Files somebody wrote: read safely, and everything wrong said at once."""

import os
import time
from typing import Annotated, Literal

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from pydantic import Field, ValidationInfo, field_validator, model_validator

from trainer.base import yamlfile
from trainer.base.errors import Faults, FieldError, FieldFaults, Misfit, NotFoundError, TrainerError
from trainer.base.fields import Farads, Metres, Ohms, Record, Volts


class Can(Record):
    kind: Literal["capacitor"]
    size: Farads
    esr: Ohms = 0.1


class Coil(Record):
    kind: Literal["coil"]
    coil: Volts  # a key that is also the kind
    ohms: Ohms


class Wire(Record):
    start: str = Field(alias="from")
    to: str
    length: Metres = 1.0


class Bench(Record):
    bench: Literal[1]
    title: str
    parts: dict[str, Annotated[Can | Coil, Field(discriminator="kind")]]
    wires: list[Wire] = []
    starts: int = 1
    watch: dict[str, str] | None = None

    @field_validator("title")
    @classmethod
    def _short(cls, title: str, info: ValidationInfo) -> str:
        if len(title) > 20:
            raise FieldError("the title is long", hint="at most 20 letters")
        return title

    @model_validator(mode="after")
    def _joined(self) -> "Bench":
        misfits = [
            Misfit(("wires", n, "to"), f"there is no part {wire.to}", "a part of this bench")
            for n, wire in enumerate(self.wires)
            if wire.to not in self.parts
        ]
        if misfits:
            raise FieldFaults(misfits)
        return self


GOOD = """\
bench: 1
title: a bench
parts:
  a: {kind: capacitor, size: 45 uF}
  b: {kind: coil, coil: 24 V, ohms: 10 ohm}
wires:
  - {from: a, to: b, length: 5 ft}
"""


@pytest.fixture
def bench(tmp_path, monkeypatch):
    """Writes a file and returns the sentences said about it."""
    monkeypatch.chdir(tmp_path)

    def said(text, model=Bench):
        (tmp_path / "b.yaml").write_text(text, encoding="utf-8")
        with pytest.raises(Faults) as caught:
            yamlfile.load("b.yaml", model)
        assert caught.value.exit_code == 3
        return str(caught.value).splitlines()

    return said


def test_a_good_file(tmp_path):
    (tmp_path / "b.yaml").write_text(GOOD)
    record, document = yamlfile.load_with_document(tmp_path / "b.yaml", Bench)
    assert record.parts["a"].size == 45e-6
    assert record.wires[0].length == pytest.approx(1.524)
    assert document.line_of(("wires", 0, "length")) == 7


def test_everything_wrong_is_said_at_once(bench):
    said = bench(
        "bench: 2\n"
        "titel: x\n"
        "parts:\n"
        "  a: {kind: capacitor, size: 45}\n"
        "  b: {kind: capacitr, size: 45 uF}\n"
        "  c: {kind: coil, coil: -5 V, ohm: 3 ohm}\n"
        "  d: {size: 4 uF}\n"
        "  e: 5\n"
        "  f: &x {kind: capacitor, size: 45 uF}\n"
        "  g: *x\n"
        "wires:\n"
        "  - {from: a, to: b, length: 5 ohm}\n"
        "  - from: 5\n"
        "    too: b\n"
        "starts: 2.5\n"
        "starts: 3\n"
    )
    assert said == [
        "b.yaml:1  bench  '2' is not one of the words allowed; write 1",
        "b.yaml:1  title  is missing; write title: and its value",
        "b.yaml:2  titel  is not a key known here; write title",
        "b.yaml:4  parts.a.size  '45' has no unit; write 45 uF (or another unit of farads)",
        "b.yaml:5  parts.b.kind  'capacitr' is not a kind known here; write capacitor",
        "b.yaml:6  parts.c.coil  '-5 V' must be above zero; write a value such as 240 V",
        "b.yaml:6  parts.c.ohms  is missing; write ohms: 1.5 ohm",
        "b.yaml:6  parts.c.ohm  is not a key known here; write ohms",
        "b.yaml:7  parts.d.kind  is missing; write kind: one of capacitor, coil",
        "b.yaml:8  parts.e  '5' must be keys with values; write key: value, indented below",
        "b.yaml:9  parts.f  an anchor (&x) is not allowed; write the value without it",
        "b.yaml:10  parts.g  an alias (*) is not allowed; write the value itself",
        "b.yaml:12  wires[0].length  '5 ohm' measures ohms, not metres; "
        "write a value such as 50 ft",
        "b.yaml:13  wires[1].from  '5' must be text; write it in quotes",
        "b.yaml:13  wires[1].to  is missing; write to: and its value",
        "b.yaml:14  wires[1].too  is not a key known here; write to",
        "b.yaml:15  starts  '2.5' must be a whole number; write a whole number",
        "b.yaml:16  'starts' is written twice (first on line 15); write it once",
    ]


def test_a_kind_that_is_also_a_key_does_not_confuse_the_place(bench):
    said = bench(GOOD.replace("ohms: 10 ohm", "ohms: 10 V"))
    assert said == [
        "b.yaml:5  parts.b.ohms  '10 V' measures volts, not ohms; write a value such as 1.5 ohm"
    ]


def test_a_stranger_among_keys_gets_the_keys(bench):
    assert bench(GOOD + "zzz: 1\n") == [
        "b.yaml:8  zzz  is not a key known here; "
        "write one of bench, title, parts, wires, starts, watch"
    ]


def test_a_validator_may_name_several_places(bench):
    said = bench(GOOD + "  - {from: a, to: x}\n  - {from: a, to: y}\n")
    assert said == [
        "b.yaml:8  wires[1].to  there is no part x; write a part of this bench",
        "b.yaml:9  wires[2].to  there is no part y; write a part of this bench",
    ]


def test_a_validator_may_raise_a_field_error(bench):
    said = bench(GOOD.replace("a bench", "a very long title indeed"))
    assert said == ["b.yaml:2  title  the title is long; write at most 20 letters"]


def test_a_plain_value_error_is_a_sentence_too(bench):
    class Odd(Record):
        bench: int

        @field_validator("bench")
        @classmethod
        def _odd(cls, value: int) -> int:
            raise ValueError("benches are round")

    assert bench("bench: 1\n", Odd) == ["b.yaml:1  bench  benches are round"]


def test_optional_groups_and_lists(bench):
    said = bench(GOOD + "watch: {relay: [a]}\n")
    assert said == ["b.yaml:8  watch.relay  a list must be text; write it in quotes"]
    said = bench(GOOD + "watch: 7\n")
    assert said == [
        "b.yaml:8  watch  '7' must be keys with values; write key: value, indented below"
    ]
    said = bench(GOOD.replace("  - {from: a, to: b, length: 5 ft}\n", "  a: b\n"))
    assert said == [
        "b.yaml:6  wires  a group of keys must be a list; write - item, a line for each"
    ]


def test_other_bounds_are_said_too(bench):
    class Small(Record):
        count: int = Field(ge=1, le=5)
        pair: tuple[str, str]

    assert bench("count: 7\npair: [a]\n", Small) == [
        "b.yaml:1  count  '7' must be at most 5",
        "b.yaml:2  pair[1]  is missing; write an entry more in the list",
    ]


def test_hostile_text_is_not_repeated_at_length(bench):
    said = bench(GOOD.replace("45 uF", "x" * 100_000) + '"\\e[2J": 1\n')
    assert all(len(line) < 250 for line in said)
    assert all(line.isprintable() for line in said)


@pytest.mark.parametrize("count", [15_000])
def test_thousands_of_unknown_keys_cost_little(bench, count):
    started = time.process_time()
    said = bench(GOOD + "".join(f"colour{n}: grey\n" for n in range(count // 2)))
    assert said[-1] == f"... and {count // 2 - 200} more"
    assert time.process_time() - started < 10.0


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "b.yaml  the file is empty; write key: value, a line for each"),
        (b"# only a remark\n", "b.yaml  the file is empty; write key: value, a line for each"),
        (b"- a\n- b\n", "b.yaml  the file is not keys with values; write key: value"),
        (b"just words", "b.yaml  the file is not keys with values; write key: value"),
        (b"a: 1\nb: \xe9\n", "b.yaml:2  the file is not UTF-8 text; save it as UTF-8"),
        ("a: 1".encode("utf-16"), "b.yaml  the file is written as UTF-16; save it as UTF-8"),
        (b"a: 1\nb: \x00\n", "b.yaml:2  the character '\\x00' is not text; remove it"),
        (b"a: \x1b[2J\n", "b.yaml:1  the character '\\x1b' is not text; remove it"),
        (b"\x7fELF\x02\x01\x01\x00", "b.yaml:1  the character '\\x7f' is not text; remove it"),
        (bytes(range(128, 256)) * 10, "b.yaml:1  the file is not UTF-8 text; save it as UTF-8"),
        (b"a: 1\n" * 200_001, "b.yaml  the file is larger than 1000 kB; split it"),
    ],
)
def test_what_is_no_file_of_ours(tmp_path, monkeypatch, content, sentence):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "b.yaml").write_bytes(content)
    with pytest.raises(TrainerError) as caught:
        yamlfile.read("b.yaml")
    assert str(caught.value).startswith(sentence)
    assert caught.value.exit_code == 3


def test_a_byte_order_mark_is_no_fault(tmp_path):
    (tmp_path / "b.yaml").write_bytes(b"\xef\xbb\xbfa: 1\n")
    assert yamlfile.read(tmp_path / "b.yaml").data == {"a": 1}


def test_a_huge_file_is_refused_unread(tmp_path):
    with open(tmp_path / "b.yaml", "wb") as file:
        file.truncate(100_000_000)
    started = time.process_time()
    with pytest.raises(TrainerError, match="larger than 1000 kB"):
        yamlfile.read(tmp_path / "b.yaml")
    assert time.process_time() - started < 0.1


@pytest.mark.parametrize("name", ["nothing.yaml", "nothing/b.yaml", "a\x00b", "\x1b[2J.yaml"])
def test_a_missing_file_is_not_found(tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(NotFoundError) as caught:
        yamlfile.read(name)
    assert caught.value.exit_code == 4
    assert str(caught.value).isprintable()


def test_a_file_taken_for_a_folder_is_not_found(tmp_path):
    (tmp_path / "b.yaml").write_text("a: 1\n")
    with pytest.raises(NotFoundError):
        yamlfile.read(tmp_path / "b.yaml" / "c.yaml")


def test_a_folder_or_device_is_refused(tmp_path):
    with pytest.raises(TrainerError, match="this is a folder"):
        yamlfile.read(tmp_path)
    if os.name == "posix":
        os.mkfifo(tmp_path / "pipe")
        for odd in (tmp_path / "pipe", "/dev/zero"):
            with pytest.raises(TrainerError, match="this is not an ordinary file"):
                yamlfile.read(odd)


def test_a_file_that_may_not_be_read(tmp_path, monkeypatch):
    (tmp_path / "b.yaml").write_text("a: 1\n")

    def refuse(*_args, **_kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", refuse)
    with pytest.raises(TrainerError, match="cannot be read: Permission denied"):
        yamlfile.read(tmp_path / "b.yaml")


KEYS = st.sampled_from(
    [
        "bench",
        "title",
        "parts",
        "wires",
        "starts",
        "watch",
        "kind",
        "size",
        "esr",
        "coil",
        "ohms",
        "from",
        "to",
        "start",
        "length",
        "a",
        "b",
        "capacitor",
    ]
)
LEAVES = st.one_of(
    st.none(), st.booleans(), st.integers(-3, 3), st.floats(allow_nan=False), KEYS,
    st.sampled_from(["capacitor", "coil", "45 uF", "-1 V", "10 ohm", "", "yes"]),
)  # fmt: skip
DATA = st.dictionaries(
    KEYS,
    st.recursive(
        LEAVES,
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=5),
        max_leaves=15,
    ),
    min_size=1,
)


@given(DATA)
def test_any_data_is_a_bench_or_faults_with_a_place(tmp_path_factory, data):
    path = tmp_path_factory.getbasetemp() / "any.yaml"
    path.write_text(yaml.safe_dump(data), encoding="utf-8")
    try:
        yamlfile.load(path, Bench)
    except Faults as faults:
        assert faults.faults
        for fault in faults.faults:
            assert fault.where.startswith(f"{path}:")
            assert fault.what
