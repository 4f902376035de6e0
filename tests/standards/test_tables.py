"""Instructors' CSV files: what is read, and every fault at once with its place."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.base.errors import Faults
from trainer.standards import tables

READERS = [tables.angoff_table, tables.borderline_table, tables.items_table]


@pytest.fixture
def written(tmp_path, monkeypatch):
    """Writes a table and reads it with one of the readers."""
    monkeypatch.chdir(tmp_path)

    def read(reader, text):
        (tmp_path / "m.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
        return reader("m.csv")

    return read


@pytest.fixture
def faults(written):
    def told(reader, text):
        with pytest.raises(Faults) as refused:
            written(reader, text)
        return [str(fault) for fault in refused.value.faults]

    return told


def test_judges(written):
    table = written(
        tables.angoff_table, '\ufeffjudge,"lugs, torqued",cap\r\nAda,.9,1\r\nBo,0.65,0\r\n'
    )
    assert (table.judges, table.items) == (("Ada", "Bo"), ("lugs, torqued", "cap"))
    assert table.estimates == ((Fraction(9, 10), 1), (Fraction(13, 20), 0))


def test_ratings_in_any_order_of_columns(written):
    table = written(tables.borderline_table,
                  "score,rater,Learner,rating\n50.5,r1,a,2\n60,r2,b,3\n70,r1,c,3\n")  # fmt: skip
    assert table.learners == ("a", "b", "c")
    assert (table.ratings, table.scores) == ((2, 3, 3), (Fraction(101, 2), 60, 70))
    assert table.raters == 2


def test_items_with_points_variants_and_one_never_triggered(written):
    text = "learner,variant,lugs,cap,gauge\nout of,,4,2,1\na,x,3.5,2,\nb,y,0,1,\n"
    table = written(tables.items_table, text)
    assert (table.learners, table.items, table.never) == (("a", "b"), ("lugs", "cap"), ("gauge",))
    assert table.points == ((Fraction(7, 2), 2), (0, 1))
    assert table.out_of == (4, 2)
    assert table.variants == ("x", "y")


def test_every_fault_of_judges_at_once(faults):
    text = 'judge,lugs,cap\nAda,1.2,x\nAda,,0.5\n,-0.1,0.5\nBo,0.5\nCy,90%,"0,9"\n'
    assert faults(tables.angoff_table, text) == [
        "m.csv:2  column 2 ('lugs')  '1.2' is outside 0 to 1; write a chance such as 0.65",
        "m.csv:2  column 3 ('cap')  'x' is no number; write a chance such as 0.65",
        "m.csv:3  column 1 ('judge')  judge 'Ada' is on line 2 too; write each once",
        "m.csv:3  column 2 ('lugs')  the cell is empty; write a chance such as 0.65",
        "m.csv:4  column 1 ('judge')  the judge has no name; write a name or number of theirs",
        "m.csv:4  column 2 ('lugs')  '-0.1' is outside 0 to 1; write a chance such as 0.65",
        "m.csv:5  the row has 2 cells and the header 3; "
        "write 3 cells, with quotes around one that holds a comma",
        "m.csv:6  column 2 ('lugs')  '90%' is no number; write a chance such as 0.65",
        "m.csv:6  column 3 ('cap')  '0,9' is no number; write a chance such as 0.65",
    ]


def test_every_fault_of_ratings_at_once(faults):
    text = "learner,rating,score\na,0,50\nb,2.5,101\na,6,-1\nc,two,5e1\n"
    told = faults(tables.borderline_table, text)
    rating = "write a whole number from 1 (unsafe) to 5 (exemplary)"
    score = "write a score from 0 to 100"
    assert sorted(told) == sorted([
        f"m.csv:2  column 2 ('rating')  '0' is no rating; {rating}",
        f"m.csv:3  column 2 ('rating')  '2.5' is no rating; {rating}",
        f"m.csv:3  column 3 ('score')  '101' is outside 0 to 100; {score}",
        "m.csv:4  column 1 ('learner')  learner 'a' is on line 2 too; write each once",
        f"m.csv:4  column 2 ('rating')  '6' is no rating; {rating}",
        f"m.csv:4  column 3 ('score')  '-1' is outside 0 to 100; {score}",
        f"m.csv:5  column 2 ('rating')  'two' is no number; {rating}",
        f"m.csv:5  column 3 ('score')  '5e1' is no number; {score}",
    ])  # fmt: skip


@pytest.mark.parametrize(
    ("reader", "text", "sentence"),
    [
        (READERS[0], "judge,a\nAda,0.5\n", "fewer than 2 judges"),
        (READERS[0], "judge,a\nAda,2\n", "fewer than 2 judges"),
        (READERS[0], "judge\nAda\nBo\n", "there is no column of an item"),
        (
            READERS[0],
            "judge,a\n" + "".join(f"j{n},1\n" for n in range(501)),
            "more than 500 judges",
        ),
        (READERS[1], "learner,rating,score\na,1,2\nb,2,3\n", "fewer than 3 learners"),
        (READERS[1], "learner,rating,score\na,2,2\nb,2,3\nc,2,4\n", "one and the same rating"),
        (READERS[1], "learner,rating,score\na,2,2\nb,2,3\nc,2,400\n", "one and the same rating"),
        (READERS[1], "learner,marks,score\na,2,2\nb,2,3\nc,2,4\n", "there is no column rating"),
        (READERS[1], "learner,rating,score,sex\na,2,2,\n", "'sex' is no column of this table"),
        (READERS[2], "learner,a\nx,1\n", "fewer than 2 learners"),
        (READERS[2], "learner,variant\nx,1\ny,2\n", "there is no column of an item"),
        (READERS[2], "learner,a\nx,2\ny,1\n", "'2' is not 0 or 1"),
        (READERS[2], "learner,a\nx,\ny,1\n", "the cell is empty"),
        (READERS[2], "learner,a\nx,\ny,\n", "every item's column is empty"),
        (READERS[2], "learner,a\nout of,2\nx,3\ny,1\n", "'3' is outside 0 to 2"),
        (READERS[2], "learner,a\nout of,0\nx,3\ny,1\n", "'0' is not above 0"),
        (READERS[2], "learner,variant,a\nx,,1\ny,v,1\n", "the variant has no name"),
    ],
)
def test_what_cannot_be_used(faults, reader, text, sentence):
    assert any(sentence in fault for fault in faults(reader, text))


def test_what_an_item_gives_is_faulted_once_and_not_in_every_cell(faults):
    assert len(faults(tables.items_table, "learner,a\nout of,many\nx,3\ny,1\n")) == 1


@pytest.mark.parametrize("reader", READERS)
@given(text=st.text("0123456789.,-\n\"' abrating", max_size=80))
def test_any_table_is_read_or_refused(tmp_path_factory, reader, text):
    path = tmp_path_factory.mktemp("t") / "m.csv"
    for head in ("", "judge,a\n", "learner,rating,score\n", "learner,variant,a\nout of,,2\n"):
        path.write_text(head + text)
        try:
            reader(path)
        except Faults as refused:
            assert refused.faults
