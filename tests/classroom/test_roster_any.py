"""Whatever people are called: in by a roster, out again the same, letter for letter."""

import csv
import io
import json
import os
import unicodedata

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import create_engine
from sqlalchemy.pool import StaticPool

from tests.outside import examples
from trainer.base.errors import TrainerError
from trainer.classroom.courses import new_course, people_of
from trainer.classroom.desk import Desk
from trainer.classroom.entries import entry_of
from trainer.classroom.handing_over import handed_over
from trainer.classroom.roster import apply, judge
from trainer.classroom.rosterfile import read_csv
from trainer.store.database import Store
from trainer.store.tables import metadata

TURNING = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
#: What a file may hold: no control characters, no halves of pairs, none of the two non-characters.
LETTERS = st.characters(
    exclude_categories=("Cc", "Cs", "Zl", "Zp"), exclude_characters=TURNING + "\ufffe\uffff"
)


def composed(text):
    return unicodedata.normalize("NFC", text.strip()).strip()


NAMES = st.text(LETTERS, min_size=1, max_size=40).map(composed).filter(
    lambda name: name and composed(name) == name and len(name) <= 200
)  # fmt: skip
FORMULAS = st.sampled_from(["=SUM(1)", "-3", "+1", "@x", '"', "a,b", "O'Brien", "''", "\\", "%s"])
TABLES = st.dictionaries(
    st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._@-]{0,8}", fullmatch=True),
    st.tuples(NAMES | FORMULAS, st.just("") | NAMES | FORMULAS, st.sampled_from(["", "am", "pm"])),
    min_size=1, max_size=6,
)  # fmt: skip

WORDS = st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace"))
#: A table of names makes a whole store; CI takes the time.
EXAMPLES = 150 if os.environ.get("CONDENSER_BENCH_CI") == "1" else 20


class Count:
    """Bytes that differ each time; nothing here looks at them."""

    n = 0

    def __call__(self, size):
        self.n += 1
        return self.n.to_bytes(size, "big")


def blank():
    """A store in memory, quick enough for many tables; the other tests use files."""
    engine = create_engine(
        "sqlite://", poolclass=StaticPool, connect_args={"check_same_thread": False}
    )
    metadata.create_all(engine)
    return Desk(Store(engine, "sqlite://"), "instructor", 0, Count())


def sheet(table, encoding, end):
    out = io.StringIO()
    writer = csv.writer(out, lineterminator=end)
    writer.writerow(["Section", "LEARNER_ID", "family_name", "given_name"])
    for learner_id, (given_name, family, section) in table.items():
        writer.writerow([section, learner_id, family, given_name])
    return out.getvalue().encode(encoding)


def distinct(table):
    """Ids that differ only in capitals are one learner."""
    return {key.casefold(): (key, value) for key, value in table.items()}


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow])
@given(table=TABLES, encoding=st.sampled_from(["utf-8", "utf-8-sig"]), crlf=st.booleans())
def test_any_table_of_names_comes_in_and_goes_out_unchanged(
    tmp_path_factory, table, encoding, crlf
):
    table = dict(distinct(table).values())
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(sheet(table, encoding, "\r\n" if crlf else "\n"))
    rows, desk = judge(read_csv(path)), blank()
    new_course(desk, "hvac-1")
    made = apply(desk, "hvac-1", rows)
    assert made.refusals == ()
    assert len(made.of("add")) == len(table)
    with desk.store.reading() as connection:
        found = people_of(connection, "hvac-1")
    assert {
        m.learner_id: (m.person.given_name, m.person.family_name, m.section) for m in found
    } == table
    assert len(apply(desk, "hvac-1", rows).of("same")) == len(table)
    learner_id, (given_name, family, _) = next(iter(table.items()))
    (person,) = json.loads(dict(handed_over(desk, learner_id).files)["rows.json"])["person"]
    assert (person["given_name"], person["family_name"]) == (given_name, family)


@settings(max_examples=examples(150), suppress_health_check=[HealthCheck.too_slow])
@given(content=st.binary(max_size=300) | WORDS)
def test_any_bytes_end_in_rows_or_in_a_sentence(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "bytes.csv"
    for head in (b"", b"learner_id,given_name\n"):
        path.write_bytes(head + content)
        try:
            for encoding in ("utf-8", "cp1252"):
                for row in read_csv(path, encoding).rows:
                    entry_of(row)
        except TrainerError as error:
            assert str(error)
