"""The tables of a programme's classroom, as SQLAlchemy Core.

Times are whole milliseconds since 1970 in UTC; totals are exact fractions as text beside whole
millionths of a point for sorting; ids are UUIDs as text. Rows of ``APPEND_ONLY`` are never
changed or removed: a correction is another row. Names of people stand in ``person`` alone: no
JSON body, audit row or receipt repeats them. Knows columns and constraints; no rule of a class.
"""

from __future__ import annotations

from sqlalchemy import (
    JSON,
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)
from sqlalchemy.dialects.postgresql import JSONB

NAMING = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
}
metadata = MetaData(naming_convention=NAMING)
Json = JSON().with_variant(JSONB(), "postgresql")

COUNTING = ("best", "last", "first")
LATE_RULES = ("received", "claimed-if-unflagged")
SEEDS = ("each", "one")
LEVELS = ("none", "points", "phrase", "full")
RELEASES = ("manual", "at-time", "at-handin")
#: What an attempt has come to; released ones are found in ``release``.
STATES = ("handed-in", "graded", "excused")
FIELDS = ("total", "verdict", "critical")


def _one_of(column: str, words: tuple[str, ...], name: str) -> CheckConstraint:
    listed = ", ".join(f"'{w}'" for w in words)
    return CheckConstraint(f"{column} in ({listed})", name=name)


def _id() -> Column[str]:
    return Column("id", Text, primary_key=True)


def _to(name: str, table: str, null: bool = False) -> Column[str]:
    """A reference that keeps what it points at from being removed."""
    where = ForeignKey(f"{table}.id", ondelete="RESTRICT")
    return Column(name, Text, where, nullable=null)


def _ms(name: str, null: bool = False) -> Column[int]:
    return Column(name, BigInteger, nullable=null)


def _text(name: str, default: str | None = None) -> Column[str]:
    return Column(name, Text, nullable=False, server_default=default)


person = Table(
    "person", metadata, _id(),
    _text("learner_id"), _text("given_name", ""), _text("family_name", ""), _text("email", ""),
    _text("external_id", ""),
    # thousandths: 1000, 1250, 1500, 2000; a factor of time, never a diagnosis
    Column("accommodation_milli", Integer, nullable=False, server_default="1000"),
    Column("active", Integer, nullable=False, server_default="1"),
    _ms("erased_ms", null=True), _ms("added_ms"),
    UniqueConstraint("learner_id"),
    CheckConstraint("accommodation_milli between 1000 and 4000", name="accommodation"),
)  # fmt: skip
person_alias = Table(
    "person_alias", metadata, Column("alias", Text, primary_key=True), _to("person_id", "person"),
    _ms("added_ms"),
)  # fmt: skip
course = Table(
    "course", metadata, _id(), _text("name"), _text("title", ""), _text("zone", "UTC"),
    _ms("added_ms"), UniqueConstraint("name"),
)  # fmt: skip
section = Table(
    "section", metadata, _id(), _to("course_id", "course"), _text("name"),
    UniqueConstraint("course_id", "name"),
)  # fmt: skip
enrolment = Table(
    "enrolment", metadata, _id(), _to("section_id", "section"), _to("person_id", "person"),
    Column("active", Integer, nullable=False, server_default="1"), _ms("added_ms"),
    UniqueConstraint("section_id", "person_id"),
)  # fmt: skip
scenario = Table(
    "scenario", metadata, _id(), _text("name"), _text("title"), _text("digest"), _text("body"),
    _text("layout_body", ""), UniqueConstraint("name", "digest"),
)  # fmt: skip
rubric = Table(
    "rubric", metadata, _id(), _text("title"), _text("digest"),
    Column("body", Json, nullable=False),
    UniqueConstraint("digest"),
)  # fmt: skip
assignment = Table(
    "assignment", metadata, _id(), _text("name"), _text("title"),
    _to("course_id", "course"), _to("section_id", "section", null=True),
    _to("scenario_id", "scenario"), _to("rubric_id", "rubric"),
    Column("generator", Integer, nullable=False), _text("seeds", "each"), _text("secret"),
    _text("start_code"), Column("attempts", Integer, nullable=False), _text("counting", "best"),
    _ms("opens_ms"), _ms("due_ms"), _ms("closes_ms"), _text("zone"),
    Column("grace_min", Integer, nullable=False, server_default="0"),
    _text("late_rule", "received"), Column("time_s", Integer, nullable=True),
    Column("hints", Json, nullable=False), _text("feedback", "full"), _text("releases", "manual"),
    _ms("release_ms", null=True), _ms("made_ms"), _text("made_by"),
    UniqueConstraint("name"),
    CheckConstraint("opens_ms <= due_ms and due_ms <= closes_ms", name="times"),
    CheckConstraint("attempts between 1 and 99", name="attempts"),
    _one_of("counting", COUNTING, "counting"), _one_of("seeds", SEEDS, "seeds"),
    _one_of("late_rule", LATE_RULES, "late_rule"), _one_of("feedback", LEVELS, "feedback"),
    _one_of("releases", RELEASES, "releases"),
)  # fmt: skip
#: Dated rows: an extension never overwrites another; the most generous one counts.
assignment_exception = Table(
    "assignment_exception", metadata, _id(), _to("assignment_id", "assignment"),
    _to("person_id", "person"), _ms("due_ms", null=True), _ms("closes_ms", null=True),
    Column("extra_attempts", Integer, nullable=False, server_default="0"),
    Column("excused", Integer, nullable=False, server_default="0"),
    _text("reason"), _ms("made_ms"), _text("made_by"),
)  # fmt: skip
#: Bytes unaltered, by the SHA-256 of them; ``packed`` is zlib.
blob = Table(
    "blob", metadata, Column("digest", Text, primary_key=True),
    Column("size", BigInteger, nullable=False), Column("packed", LargeBinary, nullable=False),
    _ms("kept_ms"),
)  # fmt: skip
#: Keys that sign: a learner's installation, trusted on first hand-in; the instructor's own.
key = Table(
    "key", metadata, _id(), _text("public"), _to("person_id", "person", null=True),
    _text("role"), _ms("trusted_ms"), _text("note", ""), UniqueConstraint("public"),
    _one_of("role", ("learner", "instructor"), "role"),
)  # fmt: skip
attempt = Table(
    "attempt", metadata, _id(), _to("assignment_id", "assignment"), _to("person_id", "person"),
    Column("no", Integer, nullable=False),
    Column("file_digest", Text, ForeignKey("blob.digest", ondelete="RESTRICT"), nullable=False),
    _text("attempt_digest"), _text("opening_id"), _text("public_key"),
    Column("events", Integer, nullable=False), _text("head"), _text("state", "handed-in"),
    _ms("started_ms"), _ms("ended_ms"), _ms("received_ms"), _ms("late_ms"),
    # sentences for the instructor; never fail anybody by themselves
    Column("flags", Json, nullable=False), _text("checked", ""),
    UniqueConstraint("assignment_id", "person_id", "no"), UniqueConstraint("file_digest"),
    _one_of("state", STATES, "state"), CheckConstraint("no between 1 and 99", name="no"),
)  # fmt: skip
#: What was seen of an attempt's beginning; two for one attempt are a copy or a second installation.
opening = Table(
    "opening", metadata, _id(), _to("assignment_id", "assignment"), _to("person_id", "person"),
    Column("no", Integer, nullable=False), _text("opening_id"), _text("public_key"),
    _ms("opened_ms"), UniqueConstraint("assignment_id", "person_id", "no", "opening_id"),
)  # fmt: skip
quarantine = Table(
    "quarantine", metadata, _id(),
    Column("digest", Text, ForeignKey("blob.digest", ondelete="RESTRICT"), nullable=False),
    _text("code"), _text("reason"), _text("hint", ""), _ms("kept_ms"), UniqueConstraint("digest"),
)  # fmt: skip
receipt = Table(
    "receipt", metadata, _id(), _to("attempt_id", "attempt"), Column("body", Json, nullable=False),
    _text("signature"), _ms("made_ms"), UniqueConstraint("attempt_id"),
)  # fmt: skip
grade = Table(
    "grade", metadata, _id(), _to("attempt_id", "attempt"),
    Column("revision", Integer, nullable=False), _text("scorer"), _text("rubric_digest"),
    _text("total"), Column("total_micro", BigInteger, nullable=False), _text("cut"),
    _text("verdict"), Column("critical", Integer, nullable=False),
    Column("hints", Integer, nullable=False), Column("body", Json, nullable=False),
    _ms("made_ms"), _text("made_by"), _text("why", ""),
    UniqueConstraint("attempt_id", "scorer", "rubric_digest"),
    UniqueConstraint("attempt_id", "revision"),
    CheckConstraint("total_micro between 0 and 100000000", name="total"),
    _one_of("verdict", ("pass", "fail"), "verdict"),
)  # fmt: skip
#: One item of a grade, for statistics; points and share exact as text.
grade_item = Table(
    "grade_item", metadata, _id(), _to("grade_id", "grade"), _text("rule"), _text("code", ""),
    _text("domain"), _text("outcome"), _text("points"), _text("share"),
    Column("n", Integer, nullable=False), UniqueConstraint("grade_id", "n"),
)  # fmt: skip
critical_event = Table(
    "critical_event", metadata, _id(), _to("grade_id", "grade"), _text("code"),
    Column("seq", Integer, nullable=False), UniqueConstraint("grade_id", "code", "seq"),
)  # fmt: skip
#: A moderated value: of the attempt, so that it outlives a regrade; ``based_on`` is the grade seen.
override = Table(
    "override", metadata, _id(), _to("attempt_id", "attempt"), _to("based_on", "grade"),
    _text("field"), _text("old"), _text("new"), _text("reason_code"), _text("reason"),
    Column("undone", Integer, nullable=False, server_default="0"),
    _ms("made_ms"), _text("made_by"), _text("second", ""),
    CheckConstraint("length(reason) >= 10", name="reason"),
    _one_of("field", FIELDS, "field"),
)  # fmt: skip
#: The global rating of an attempt, 1 to 5 (2 is borderline), by a marker; a later row counts.
rating = Table(
    "rating", metadata, _id(), _to("attempt_id", "attempt"),
    Column("rating", Integer, nullable=False), _text("verdict", ""), _text("made_by"),
    _ms("made_ms"), CheckConstraint("rating between 1 and 5", name="rating"),
)  # fmt: skip
#: What was shown to the learner and when: a grade's revision; a later row replaces the view.
release = Table(
    "release", metadata, _id(), _to("attempt_id", "attempt"), _to("grade_id", "grade"),
    _text("level"), _text("total"), _text("verdict"), _text("signature", ""), _ms("made_ms"),
    _text("made_by"), _one_of("level", LEVELS, "level"),
)  # fmt: skip
audit = Table(
    "audit", metadata, Column("n", Integer, primary_key=True, autoincrement=True), _ms("at_ms"),
    _text("who"), _text("what"), _text("subject", ""), Column("body", Json, nullable=False),
)  # fmt: skip

Index(None, attempt.c.person_id)
Index(None, attempt.c.assignment_id, attempt.c.state)
Index(None, grade.c.attempt_id)
Index(None, override.c.attempt_id)
Index(None, release.c.attempt_id)
Index(None, audit.c.subject)

#: Rows of these are never changed and, but for an erasure's names, never removed.
APPEND_ONLY = (
    grade, grade_item, critical_event, override, rating, release, receipt, audit,
    assignment_exception,
)  # fmt: skip
