"""CSV: no cell runs, numbers stay numbers, another program's file is otherwise unchanged."""

import csv
import io
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.base.errors import Faults
from trainer.classroom import csvout
from trainer.classroom.csvout import FORMULA, cell, number, pieces, replaced, text_of

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
BEGINNINGS = st.sampled_from([*FORMULA, "", "'", " ", '"', ","])


def read(text):
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


@given(st.lists(st.tuples(BEGINNINGS, TEXTS), min_size=1, max_size=6))
def test_no_text_begins_like_a_formula_and_none_is_lost(cells):
    texts = [a + b for a, b in cells]
    _, row = read(text_of(["c"] * len(texts), [texts], bom=False))
    for text, back in zip(texts, row):
        assert not back.startswith(FORMULA)
        assert back == (f"'{text}" if text.startswith(FORMULA) else text)


@pytest.mark.parametrize("text", ["=SUM(1)", "+1", "-1", "@x", "\t=1", "\r=1", "\x00=1"])
def test_each_beginning_gets_an_apostrophe(text):
    # the list: OWASP ASVS 1.2.10, with CR and NUL as CWE-1236 has them
    assert cell(text) == f"'{text}"


@given(st.integers(-(10**9), 10**9))
def test_numbers_stay_numbers(n):
    assert cell(n) == str(n)
    assert Decimal(cell(Decimal(n).scaleb(-3))) * 1000 == n


def test_minus_three_is_minus_three_and_nothing_is_blank():
    assert text_of(["a", "b"], [[-3, None]]) == "\ufeffa,b\r\n-3,\r\n"
    assert cell(Decimal("-0.5")) == "-0.5" and cell(Decimal("1E+2")) == "100"


def test_a_score_is_rounded_down():
    assert number(Fraction(79999, 1000), 1) == Decimal("79.9")
    assert number(Fraction(-1, 3), 1) == Decimal("-0.4")


QUOTED = st.one_of(TEXTS.filter(lambda s: not set(s) & set(',"\r\n')),
                   TEXTS.map(lambda s: '"' + s.replace('"', '""') + '"'))  # fmt: skip
ENDS = st.sampled_from(["\r\n", "\n", "\r"])


@given(st.lists(st.lists(QUOTED, min_size=2, max_size=4), min_size=1, max_size=5), ENDS,
       st.booleans(), st.booleans())  # fmt: skip
def test_a_file_keeps_every_letter_but_those_filled(rows, end, bom, last):
    text = ("\ufeff" if bom else "") + end.join(",".join(r) for r in rows) + (end if last else "")
    if text.count("\ufeff") > bom or any("".join(r) == "" for r in rows):
        return
    found = pieces(text, "a.csv")
    for row in found:
        for piece in row:
            raw = text[piece.start : piece.end]
            assert raw in (piece.value, '"' + piece.value.replace('"', '""') + '"')
    assert replaced(text, {}) == text
    target = found[-1][-1]
    filled = replaced(text, {target: Decimal("91.5")})
    assert filled == text[: target.start] + "91.5" + text[target.end :]


@given(st.lists(st.lists(TEXTS, min_size=2, max_size=4), min_size=1, max_size=5))
def test_cells_are_read_as_a_csv_reader_reads_them(rows):
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)
    text = out.getvalue()
    if text.startswith("\ufeff"):
        return
    assert [[p.value for p in row] for row in pieces(text, "a.csv")] == read(text)


@pytest.mark.parametrize(("text", "line"), [('a,b\n"x,1', 2), ('a,b\n"x"y,1', 2)])
def test_a_quote_out_of_order_is_told_by_line(text, line):
    with pytest.raises(Faults, match=f"m.csv:{line}"):
        pieces(text, "m.csv")


def test_a_filled_text_is_quoted_where_it_has_to_be():
    text = "id,mark\nA,\n"
    piece = pieces(text, "m.csv")[1][1]
    assert replaced(text, {piece: 'x,"y"'}) == 'id,mark\nA,"x,""y"""\n'
    assert csvout.replaced(text, {piece: "=1"}) == "id,mark\nA,'=1\n"
