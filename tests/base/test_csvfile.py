"""CSV files somebody wrote: read strictly, and every fault said with its line and column."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.base import csvfile
from trainer.base.errors import Faults, NotFoundError, TrainerError


def rows_of(text):
    return [row.cells for row in csvfile.table_of(text, "m.csv").rows]


def faults_of(text):
    with pytest.raises(Faults) as refused:
        csvfile.table_of(text, "m.csv").settle()
    return [str(fault) for fault in refused.value.faults]


@pytest.mark.parametrize(
    "content",
    [
        b"judge,lugs\nAda,0.5\n",
        b"\xef\xbb\xbfjudge,lugs\r\nAda,0.5\r\n",
        b'"judge","lugs"\r\n"Ada","0.5"',
        b"judge,lugs\rAda,0.5\r",
        b"\n judge , lugs\n\n,\nAda, 0.5 \n,\n",
    ],
)
def test_the_same_table_however_it_was_saved(tmp_path, content):
    (tmp_path / "m.csv").write_bytes(content)
    table = csvfile.read(tmp_path / "m.csv")
    table.settle()
    assert table.header == ("judge", "lugs")
    assert [row.cells for row in table.rows] == [("Ada", "0.5")]


def test_quotes_hold_commas_and_line_ends_and_lines_are_still_counted():
    table = csvfile.table_of('a,b\n"x, ""y""\nz",1\nw,2\n', "m.csv")
    assert [(row.line, row.cells) for row in table.rows] == [
        (2, ('x, "y"\nz', "1")), (4, ("w", "2")),
    ]  # fmt: skip


def test_a_column_is_found_whatever_its_capitals():
    table = csvfile.table_of("Judge,lugs\nAda,1\n", "m.csv")
    assert (table.column("judge"), table.column("LUGS"), table.column("cap")) == (0, 1, None)


def test_every_fault_of_form_is_told_by_line():
    assert faults_of("a,,A\n1,2\n1,2,3\n1,2,3,4\n") == [
        "m.csv:1  column 2 ('')  the column has no name; write a name in the header line",
        "m.csv:1  column 3 ('A')  the name stands over column 1 too; write another name",
        "m.csv:2  the row has 2 cells and the header 3; "
        "write 3 cells, with quotes around one that holds a comma",
        "m.csv:4  the row has 4 cells and the header 3; "
        "write 3 cells, with quotes around one that holds a comma",
    ]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "m.csv  the file is empty"),
        ("\n,\n", "m.csv  the file is empty"),
        ("a,b\n", "m.csv:1  there is a header and no row below it"),
        ("a;b\n1;2\n", "m.csv:1  the columns are parted by semicolons"),
        ('a,b\n1,2\n"x,3\n', "m.csv:3  a quote is opened here and never closed"),
        ('a,b\n"x"y,3\n', "m.csv:2  letters follow a closing quote"),
        ("a,b\n" + "x" * 200_000 + ",1\n", "m.csv:2  a cell is far too long"),
        (",".join(f"c{n}" for n in range(501)), "m.csv:1  there are more than 500 columns"),
        ("a\n" + "1\n" * 20_001, "m.csv:20002  there are more than 20000 rows"),
    ],
)
def test_what_is_no_table(text, sentence):
    assert faults_of(text)[0].startswith(sentence)


def test_a_file_that_is_not_there_and_one_that_is_no_text(tmp_path):
    with pytest.raises(NotFoundError):
        csvfile.read(tmp_path / "none.csv")
    (tmp_path / "m.csv").write_bytes(b"a,b\n1,\xff\n")
    with pytest.raises(TrainerError, match="not UTF-8"):
        csvfile.read(tmp_path / "m.csv")
    (tmp_path / "m.csv").write_bytes(b"a\n" * 600_000)
    with pytest.raises(TrainerError, match="larger than 1000 kB"):
        csvfile.read(tmp_path / "m.csv")
    with pytest.raises(TrainerError, match="folder"):
        csvfile.read(tmp_path)


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), min_size=1)
CELLS = WORDS.map(str.strip).filter(bool)


@given(st.integers(1, 4).flatmap(lambda n: st.lists(st.tuples(*[CELLS] * n), max_size=5)))
def test_what_a_writer_writes_is_read_back(rows):
    buffer = io.StringIO()
    width = len(rows[0]) if rows else 1
    table = [tuple(f"c{n}" for n in range(width)), *rows]
    csv.writer(buffer).writerows(table)
    assert rows_of(buffer.getvalue()) == rows


@given(st.text())
def test_any_text_is_a_table_or_faults(text):
    try:
        table = csvfile.table_of(text, "m.csv")
    except Faults:
        return
    assert all(len(row.cells) == len(table.header) for row in table.rows)
