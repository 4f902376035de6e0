"""The safe middle of YAML: plain data with lines, everything else a fault."""

import time

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from tests.outside import share
from trainer.base import yamltree
from trainer.base.errors import Faults
from trainer.base.yamltree import DEPTH_MOST, ENTRIES_MOST, build, spelt

STUDY = """\
title: bench

parts:
  a: {kind: fuse, size: 45 A}
wires:
  - from: a.1
    to: b.1
  - from: c.1
    to: d.1
"""


PARSERS = [name for name in ("CSafeLoader", "SafeLoader") if hasattr(yaml, name)]


@pytest.fixture(params=PARSERS)
def parser(request, monkeypatch):
    """Both parsers the YAML library may bring: compiled, and plain Python."""
    monkeypatch.setattr(yamltree, "_LOADER", getattr(yaml, request.param))


def test_lines_of_nested_entries():
    document = build(STUDY, "s.yaml")
    assert document.line_of(("title",)) == 1
    assert document.line_of(("parts", "a", "size")) == 4
    assert document.line_of(("wires", 0)) == 6
    assert document.line_of(("wires", 1, "to")) == 9


def test_line_of_what_is_missing_is_that_of_what_is_around_it():
    document = build(STUDY, "s.yaml")
    assert document.line_of(("wires", 1, "gauge")) == 8
    assert document.line_of(("nothing",)) == 1
    assert document.where(("wires", 1, "gauge")) == "s.yaml:8  wires[1].gauge"


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("5", 5), ("-5", -5), ("0.5", 0.5), ("1e3", 1000.0), ("2.5e-3", 0.0025), ("true", True),
        ("FALSE", False), ("~", None), ("", None), ("null", None), ("'5'", "5"), ('"true"', "true"),
        ("45 uF", "45 uF"), ("yes", "yes"), ("no", "no"), ("on", "on"), ("1:30", "1:30"),
        ("010", "010"), ("0x1F", "0x1F"), ("1_000", "1_000"), ("2024-01-31", "2024-01-31"),
        (".inf", ".inf"), (".nan", ".nan"), ("9" * 5000, "9" * 5000),
    ],
)  # fmt: skip
def test_scalars(parser, text, value):
    data = build(f"key: {text}\n", "s.yaml").data
    assert data == {"key": value}
    assert type(data["key"]) is type(value)


def test_keys_are_the_text_that_was_written():
    assert build("1: a\nyes: b\n'x y': c\n", "s.yaml").data == {"1": "a", "yes": "b", "x y": "c"}


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("a: &x 1\n", "s.yaml:1  a  an anchor (&x) is not allowed; write the value without it"),
        ("a: 1\nb: *x\n", "s.yaml:2  b  an alias (*) is not allowed; write the value itself"),
        ("a: !!python/none x\n", "s.yaml:1  a  a tag (!!python/none) is not allowed"),
        ("a: !local x\n", "s.yaml:1  a  a tag (!local) is not allowed"),
        ("a: !nobody!x 1\n", "s.yaml:1  a tag (!) is not allowed"),
        ("a:\n  <<: {b: 1}\n", "s.yaml:2  a  a merge key (<<) is not allowed"),
        ("a: 1\nb: 2\na: 3\n", "s.yaml:3  'a' is written twice (first on line 1); write it once"),
        ("&k a: 1\n", "s.yaml:1  a key may carry no anchor or tag"),
        ("? [a, b]\n: 1\n", "s.yaml:1  a key must be a plain word"),
        ("? {a: b}\n: 1\n", "s.yaml:1  a key must be a plain word"),
        ('"": 1\n', "s.yaml:1  an entry has no key; write word: value"),
        ("a: 1\n---\nb: 2\n", "s.yaml:2  a second document begins here"),
        ("a:\n\tb: 1\n", "s.yaml:2  a tab stands where spaces are needed"),
        ("a: b: c\n", "s.yaml:1  a second colon makes two keys on one line"),
        ("a: 'b\n", "s.yaml:2  a quote or bracket is opened and never closed"),
        ("a: [b, c\nd: e\n", "s.yaml:2  "),
        ("a: 1\n b: 2\n", "s.yaml:2  "),
        ("a:\n  - b\n c: d\n", "s.yaml:3  the indentation does not line up"),
        ("%BAD 1\n--- \na: 1\n", ""),
        ("@x: 1\n", "s.yaml:1  the YAML cannot be read"),
    ],
)
def test_refused(parser, text, fault):
    assert any(line.startswith(fault) for line in said(text)), said(text)


def said(text):
    """The sentences about a text, whether or not it could be read to the end."""
    try:
        return [str(fault) for fault in build(text, "s.yaml").faults] or [""]
    except Faults as faults:
        return str(faults).splitlines()


def test_faults_are_gathered_not_met_one_by_one():
    text = "a: &x 1\nb: *x\nc: !t 2\nc: 3\n"
    assert [line.split("  ")[0] for line in said(text)] == [f"s.yaml:{n}" for n in (1, 2, 3, 4)]


def test_the_first_of_two_equal_keys_is_kept():
    assert build("a: 1\na: 2\n", "s.yaml").data == {"a": 1}


def test_depth_is_bounded(parser):
    fits = "a: " + "[" * (DEPTH_MOST - 1) + "]" * (DEPTH_MOST - 1)
    assert build(fits, "s.yaml").data
    deep = "a: " + "[" * 500_000
    assert "entries are nested more than 20 deep; write a flatter file" in said(deep)[0]
    assert "nested more than" in said("{a: " * 100_000)[0]


def test_entries_are_bounded():
    many = "- a\n" * (ENTRIES_MOST + 1)
    there = f"s.yaml:{ENTRIES_MOST}  there are more than 20000 entries; write a smaller file"
    assert said(many) == [there]


BOMBS = {
    "billion laughs": "a: &a [x,x,x,x,x,x,x,x,x]\n"
    + "".join(f"{b}: &{b} [{','.join(['*' + a] * 9)}]\n" for a, b in zip("abcdefgh", "bcdefghi")),
    "open brackets": "[" * 990_000,
    "open braces": "{" * 990_000,
    "dashes": "- " * 495_000,
    "question marks": "? " * 495_000,
    "one long word": "a" * 990_000,
    "one long key": "a" * 990_000 + ": 1",
    "one long quote": "a: '" + "b" * 990_000 + "'",
    "spaces": "a:" + " " * 990_000 + "b",
    "newlines": "a: 'x" + "\n" * 990_000 + "'",
    "comments": "#\n" * 495_000 + "a: 1",
    "same key": "a: 1\n" * 198_000,
    "many keys": "".join(f"k{n}: 1\n" for n in range(100_000)),
    "anchors": "".join(f"k{n}: &a 1\n" for n in range(80_000)),
    "folded": "a: >\n" + "  b\n" * 240_000,
    "escapes": 'a: "' + "\\u0041" * 160_000 + '"',
    "tags": "".join(f"k{n}: !t 1\n" for n in range(80_000)),
    "percent": "%YAML 1.1\n" * 90_000,
}
#: The parser in plain Python takes most of the time: a share of the files in every run.
HOSTILE = [
    (name, bomb) for name in PARSERS for bomb in share(BOMBS, 1 if name == PARSERS[0] else 4)
]


@pytest.mark.parametrize(("parser", "name"), HOSTILE, indirect=["parser"])
def test_a_hostile_file_costs_little(parser, name):
    started = time.process_time()
    try:
        build(BOMBS[name], "s.yaml")
    except Faults as faults:
        assert len(str(faults)) < 40_000
    assert time.process_time() - started < 10.0


@given(st.text(alphabet="ab:-[]{}&*!|>'\"%@`#?,<~ \n\t0159.\\", max_size=60))
def test_any_text_is_data_or_faults(text):
    try:
        build(text, "s.yaml")
    except Faults as faults:
        assert all(fault.where.startswith("s.yaml") for fault in faults.faults)


def test_paths_as_a_person_says_them():
    assert spelt(("parts", "comp", "wires", 2, "from")) == "parts.comp.wires[2].from"
    assert spelt(("a b\x1b", 0)) == "'a b\\x1b'[0]"
