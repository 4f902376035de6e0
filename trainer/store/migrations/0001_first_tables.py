"""Revision 0001: first tables."""

# fmt: off
import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0001"
down_revision = None
Json = sa.JSON().with_variant(JSONB(), "postgresql")


def upgrade() -> None:
    op.create_table('audit',
    sa.Column('n', sa.Integer(), autoincrement=True, nullable=False),
    sa.Column('at_ms', sa.BigInteger(), nullable=False),
    sa.Column('who', sa.Text(), nullable=False),
    sa.Column('what', sa.Text(), nullable=False),
    sa.Column('subject', sa.Text(), server_default='', nullable=False),
    sa.Column('body', Json, nullable=False),
    sa.PrimaryKeyConstraint('n', name=op.f('pk_audit'))
    )
    with op.batch_alter_table('audit', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_audit_subject'), ['subject'], unique=False)

    op.create_table('blob',
    sa.Column('digest', sa.Text(), nullable=False),
    sa.Column('size', sa.BigInteger(), nullable=False),
    sa.Column('packed', sa.LargeBinary(), nullable=False),
    sa.Column('kept_ms', sa.BigInteger(), nullable=False),
    sa.PrimaryKeyConstraint('digest', name=op.f('pk_blob'))
    )
    op.create_table('course',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('name', sa.Text(), nullable=False),
    sa.Column('title', sa.Text(), server_default='', nullable=False),
    sa.Column('zone', sa.Text(), server_default='UTC', nullable=False),
    sa.Column('added_ms', sa.BigInteger(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_course')),
    sa.UniqueConstraint('name', name=op.f('uq_course_name'))
    )
    op.create_table('person',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('learner_id', sa.Text(), nullable=False),
    sa.Column('given_name', sa.Text(), server_default='', nullable=False),
    sa.Column('family_name', sa.Text(), server_default='', nullable=False),
    sa.Column('email', sa.Text(), server_default='', nullable=False),
    sa.Column('external_id', sa.Text(), server_default='', nullable=False),
    sa.Column('accommodation_milli', sa.Integer(), server_default='1000', nullable=False),
    sa.Column('active', sa.Integer(), server_default='1', nullable=False),
    sa.Column('erased_ms', sa.BigInteger(), nullable=True),
    sa.Column('added_ms', sa.BigInteger(), nullable=False),
    sa.CheckConstraint('accommodation_milli between 1000 and 4000', name=op.f('ck_person_accommodation')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_person')),
    sa.UniqueConstraint('learner_id', name=op.f('uq_person_learner_id'))
    )
    op.create_table('rubric',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('title', sa.Text(), nullable=False),
    sa.Column('digest', sa.Text(), nullable=False),
    sa.Column('body', Json, nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_rubric')),
    sa.UniqueConstraint('digest', name=op.f('uq_rubric_digest'))
    )
    op.create_table('scenario',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('name', sa.Text(), nullable=False),
    sa.Column('title', sa.Text(), nullable=False),
    sa.Column('digest', sa.Text(), nullable=False),
    sa.Column('body', sa.Text(), nullable=False),
    sa.Column('layout_body', sa.Text(), server_default='', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_scenario')),
    sa.UniqueConstraint('name', 'digest', name=op.f('uq_scenario_name_digest'))
    )
    op.create_table('key',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('public', sa.Text(), nullable=False),
    sa.Column('person_id', sa.Text(), nullable=True),
    sa.Column('role', sa.Text(), nullable=False),
    sa.Column('trusted_ms', sa.BigInteger(), nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.CheckConstraint("role in ('learner', 'instructor')", name=op.f('ck_key_role')),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_key_person_id_person'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_key')),
    sa.UniqueConstraint('public', name=op.f('uq_key_public'))
    )
    op.create_table('person_alias',
    sa.Column('alias', sa.Text(), nullable=False),
    sa.Column('person_id', sa.Text(), nullable=False),
    sa.Column('added_ms', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_person_alias_person_id_person'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('alias', name=op.f('pk_person_alias'))
    )
    op.create_table('quarantine',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('digest', sa.Text(), nullable=False),
    sa.Column('code', sa.Text(), nullable=False),
    sa.Column('reason', sa.Text(), nullable=False),
    sa.Column('hint', sa.Text(), server_default='', nullable=False),
    sa.Column('kept_ms', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['digest'], ['blob.digest'], name=op.f('fk_quarantine_digest_blob'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_quarantine')),
    sa.UniqueConstraint('digest', name=op.f('uq_quarantine_digest'))
    )
    op.create_table('section',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('course_id', sa.Text(), nullable=False),
    sa.Column('name', sa.Text(), nullable=False),
    sa.ForeignKeyConstraint(['course_id'], ['course.id'], name=op.f('fk_section_course_id_course'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_section')),
    sa.UniqueConstraint('course_id', 'name', name=op.f('uq_section_course_id_name'))
    )
    op.create_table('assignment',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('name', sa.Text(), nullable=False),
    sa.Column('title', sa.Text(), nullable=False),
    sa.Column('course_id', sa.Text(), nullable=False),
    sa.Column('section_id', sa.Text(), nullable=True),
    sa.Column('scenario_id', sa.Text(), nullable=False),
    sa.Column('rubric_id', sa.Text(), nullable=False),
    sa.Column('generator', sa.Integer(), nullable=False),
    sa.Column('seeds', sa.Text(), server_default='each', nullable=False),
    sa.Column('secret', sa.Text(), nullable=False),
    sa.Column('start_code', sa.Text(), nullable=False),
    sa.Column('attempts', sa.Integer(), nullable=False),
    sa.Column('counting', sa.Text(), server_default='best', nullable=False),
    sa.Column('opens_ms', sa.BigInteger(), nullable=False),
    sa.Column('due_ms', sa.BigInteger(), nullable=False),
    sa.Column('closes_ms', sa.BigInteger(), nullable=False),
    sa.Column('zone', sa.Text(), nullable=False),
    sa.Column('grace_min', sa.Integer(), server_default='0', nullable=False),
    sa.Column('late_rule', sa.Text(), server_default='received', nullable=False),
    sa.Column('time_s', sa.Integer(), nullable=True),
    sa.Column('hints', Json, nullable=False),
    sa.Column('feedback', sa.Text(), server_default='full', nullable=False),
    sa.Column('releases', sa.Text(), server_default='manual', nullable=False),
    sa.Column('release_ms', sa.BigInteger(), nullable=True),
    sa.Column('made_ms', sa.BigInteger(), nullable=False),
    sa.Column('made_by', sa.Text(), nullable=False),
    sa.CheckConstraint("counting in ('best', 'last', 'first')", name=op.f('ck_assignment_counting')),
    sa.CheckConstraint("feedback in ('none', 'points', 'phrase', 'full')", name=op.f('ck_assignment_feedback')),
    sa.CheckConstraint("late_rule in ('received', 'claimed-if-unflagged')", name=op.f('ck_assignment_late_rule')),
    sa.CheckConstraint("releases in ('manual', 'at-time', 'at-handin')", name=op.f('ck_assignment_releases')),
    sa.CheckConstraint("seeds in ('each', 'one')", name=op.f('ck_assignment_seeds')),
    sa.CheckConstraint('attempts between 1 and 99', name=op.f('ck_assignment_attempts')),
    sa.CheckConstraint('opens_ms <= due_ms and due_ms <= closes_ms', name=op.f('ck_assignment_times')),
    sa.ForeignKeyConstraint(['course_id'], ['course.id'], name=op.f('fk_assignment_course_id_course'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['rubric_id'], ['rubric.id'], name=op.f('fk_assignment_rubric_id_rubric'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['scenario_id'], ['scenario.id'], name=op.f('fk_assignment_scenario_id_scenario'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['section_id'], ['section.id'], name=op.f('fk_assignment_section_id_section'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_assignment')),
    sa.UniqueConstraint('name', name=op.f('uq_assignment_name'))
    )
    op.create_table('enrolment',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('section_id', sa.Text(), nullable=False),
    sa.Column('person_id', sa.Text(), nullable=False),
    sa.Column('active', sa.Integer(), server_default='1', nullable=False),
    sa.Column('added_ms', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_enrolment_person_id_person'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['section_id'], ['section.id'], name=op.f('fk_enrolment_section_id_section'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_enrolment')),
    sa.UniqueConstraint('section_id', 'person_id', name=op.f('uq_enrolment_section_id_person_id'))
    )
    op.create_table('assignment_exception',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('assignment_id', sa.Text(), nullable=False),
    sa.Column('person_id', sa.Text(), nullable=False),
    sa.Column('due_ms', sa.BigInteger(), nullable=True),
    sa.Column('closes_ms', sa.BigInteger(), nullable=True),
    sa.Column('extra_attempts', sa.Integer(), server_default='0', nullable=False),
    sa.Column('excused', sa.Integer(), server_default='0', nullable=False),
    sa.Column('reason', sa.Text(), nullable=False),
    sa.Column('made_ms', sa.BigInteger(), nullable=False),
    sa.Column('made_by', sa.Text(), nullable=False),
    sa.ForeignKeyConstraint(['assignment_id'], ['assignment.id'], name=op.f('fk_assignment_exception_assignment_id_assignment'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_assignment_exception_person_id_person'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_assignment_exception'))
    )
    op.create_table('attempt',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('assignment_id', sa.Text(), nullable=False),
    sa.Column('person_id', sa.Text(), nullable=False),
    sa.Column('no', sa.Integer(), nullable=False),
    sa.Column('file_digest', sa.Text(), nullable=False),
    sa.Column('attempt_digest', sa.Text(), nullable=False),
    sa.Column('opening_id', sa.Text(), nullable=False),
    sa.Column('public_key', sa.Text(), nullable=False),
    sa.Column('events', sa.Integer(), nullable=False),
    sa.Column('head', sa.Text(), nullable=False),
    sa.Column('state', sa.Text(), server_default='handed-in', nullable=False),
    sa.Column('started_ms', sa.BigInteger(), nullable=False),
    sa.Column('ended_ms', sa.BigInteger(), nullable=False),
    sa.Column('received_ms', sa.BigInteger(), nullable=False),
    sa.Column('late_ms', sa.BigInteger(), nullable=False),
    sa.Column('flags', Json, nullable=False),
    sa.Column('checked', sa.Text(), server_default='', nullable=False),
    sa.CheckConstraint("state in ('handed-in', 'graded', 'excused')", name=op.f('ck_attempt_state')),
    sa.CheckConstraint('no between 1 and 99', name=op.f('ck_attempt_no')),
    sa.ForeignKeyConstraint(['assignment_id'], ['assignment.id'], name=op.f('fk_attempt_assignment_id_assignment'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['file_digest'], ['blob.digest'], name=op.f('fk_attempt_file_digest_blob'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_attempt_person_id_person'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_attempt')),
    sa.UniqueConstraint('assignment_id', 'person_id', 'no', name=op.f('uq_attempt_assignment_id_person_id_no')),
    sa.UniqueConstraint('file_digest', name=op.f('uq_attempt_file_digest'))
    )
    with op.batch_alter_table('attempt', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_attempt_assignment_id_state'), ['assignment_id', 'state'], unique=False)
        batch_op.create_index(batch_op.f('ix_attempt_person_id'), ['person_id'], unique=False)

    op.create_table('opening',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('assignment_id', sa.Text(), nullable=False),
    sa.Column('person_id', sa.Text(), nullable=False),
    sa.Column('no', sa.Integer(), nullable=False),
    sa.Column('opening_id', sa.Text(), nullable=False),
    sa.Column('public_key', sa.Text(), nullable=False),
    sa.Column('opened_ms', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['assignment_id'], ['assignment.id'], name=op.f('fk_opening_assignment_id_assignment'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_opening_person_id_person'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_opening')),
    sa.UniqueConstraint('assignment_id', 'person_id', 'no', 'opening_id', name=op.f('uq_opening_assignment_id_person_id_no_opening_id'))
    )
    op.create_table('grade',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('attempt_id', sa.Text(), nullable=False),
    sa.Column('revision', sa.Integer(), nullable=False),
    sa.Column('scorer', sa.Text(), nullable=False),
    sa.Column('rubric_digest', sa.Text(), nullable=False),
    sa.Column('total', sa.Text(), nullable=False),
    sa.Column('total_micro', sa.BigInteger(), nullable=False),
    sa.Column('cut', sa.Text(), nullable=False),
    sa.Column('verdict', sa.Text(), nullable=False),
    sa.Column('critical', sa.Integer(), nullable=False),
    sa.Column('hints', sa.Integer(), nullable=False),
    sa.Column('body', Json, nullable=False),
    sa.Column('made_ms', sa.BigInteger(), nullable=False),
    sa.Column('made_by', sa.Text(), nullable=False),
    sa.Column('why', sa.Text(), server_default='', nullable=False),
    sa.CheckConstraint("verdict in ('pass', 'fail')", name=op.f('ck_grade_verdict')),
    sa.CheckConstraint('total_micro between 0 and 100000000', name=op.f('ck_grade_total')),
    sa.ForeignKeyConstraint(['attempt_id'], ['attempt.id'], name=op.f('fk_grade_attempt_id_attempt'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_grade')),
    sa.UniqueConstraint('attempt_id', 'revision', name=op.f('uq_grade_attempt_id_revision')),
    sa.UniqueConstraint('attempt_id', 'scorer', 'rubric_digest', name=op.f('uq_grade_attempt_id_scorer_rubric_digest'))
    )
    with op.batch_alter_table('grade', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_grade_attempt_id'), ['attempt_id'], unique=False)

    op.create_table('rating',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('attempt_id', sa.Text(), nullable=False),
    sa.Column('rating', sa.Integer(), nullable=False),
    sa.Column('verdict', sa.Text(), server_default='', nullable=False),
    sa.Column('made_by', sa.Text(), nullable=False),
    sa.Column('made_ms', sa.BigInteger(), nullable=False),
    sa.CheckConstraint('rating between 1 and 5', name=op.f('ck_rating_rating')),
    sa.ForeignKeyConstraint(['attempt_id'], ['attempt.id'], name=op.f('fk_rating_attempt_id_attempt'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_rating'))
    )
    op.create_table('receipt',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('attempt_id', sa.Text(), nullable=False),
    sa.Column('body', Json, nullable=False),
    sa.Column('signature', sa.Text(), nullable=False),
    sa.Column('made_ms', sa.BigInteger(), nullable=False),
    sa.ForeignKeyConstraint(['attempt_id'], ['attempt.id'], name=op.f('fk_receipt_attempt_id_attempt'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_receipt')),
    sa.UniqueConstraint('attempt_id', name=op.f('uq_receipt_attempt_id'))
    )
    op.create_table('critical_event',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('grade_id', sa.Text(), nullable=False),
    sa.Column('code', sa.Text(), nullable=False),
    sa.Column('seq', sa.Integer(), nullable=False),
    sa.ForeignKeyConstraint(['grade_id'], ['grade.id'], name=op.f('fk_critical_event_grade_id_grade'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_critical_event')),
    sa.UniqueConstraint('grade_id', 'code', 'seq', name=op.f('uq_critical_event_grade_id_code_seq'))
    )
    op.create_table('grade_item',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('grade_id', sa.Text(), nullable=False),
    sa.Column('rule', sa.Text(), nullable=False),
    sa.Column('code', sa.Text(), server_default='', nullable=False),
    sa.Column('domain', sa.Text(), nullable=False),
    sa.Column('outcome', sa.Text(), nullable=False),
    sa.Column('points', sa.Text(), nullable=False),
    sa.Column('share', sa.Text(), nullable=False),
    sa.Column('n', sa.Integer(), nullable=False),
    sa.ForeignKeyConstraint(['grade_id'], ['grade.id'], name=op.f('fk_grade_item_grade_id_grade'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_grade_item')),
    sa.UniqueConstraint('grade_id', 'n', name=op.f('uq_grade_item_grade_id_n'))
    )
    op.create_table('override',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('attempt_id', sa.Text(), nullable=False),
    sa.Column('based_on', sa.Text(), nullable=False),
    sa.Column('field', sa.Text(), nullable=False),
    sa.Column('old', sa.Text(), nullable=False),
    sa.Column('new', sa.Text(), nullable=False),
    sa.Column('reason_code', sa.Text(), nullable=False),
    sa.Column('reason', sa.Text(), nullable=False),
    sa.Column('undone', sa.Integer(), server_default='0', nullable=False),
    sa.Column('made_ms', sa.BigInteger(), nullable=False),
    sa.Column('made_by', sa.Text(), nullable=False),
    sa.Column('second', sa.Text(), server_default='', nullable=False),
    sa.CheckConstraint("field in ('total', 'verdict', 'critical')", name=op.f('ck_override_field')),
    sa.CheckConstraint('length(reason) >= 10', name=op.f('ck_override_reason')),
    sa.ForeignKeyConstraint(['attempt_id'], ['attempt.id'], name=op.f('fk_override_attempt_id_attempt'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['based_on'], ['grade.id'], name=op.f('fk_override_based_on_grade'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_override'))
    )
    with op.batch_alter_table('override', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_override_attempt_id'), ['attempt_id'], unique=False)

    op.create_table('release',
    sa.Column('id', sa.Text(), nullable=False),
    sa.Column('attempt_id', sa.Text(), nullable=False),
    sa.Column('grade_id', sa.Text(), nullable=False),
    sa.Column('level', sa.Text(), nullable=False),
    sa.Column('total', sa.Text(), nullable=False),
    sa.Column('verdict', sa.Text(), nullable=False),
    sa.Column('signature', sa.Text(), server_default='', nullable=False),
    sa.Column('made_ms', sa.BigInteger(), nullable=False),
    sa.Column('made_by', sa.Text(), nullable=False),
    sa.CheckConstraint("level in ('none', 'points', 'phrase', 'full')", name=op.f('ck_release_level')),
    sa.ForeignKeyConstraint(['attempt_id'], ['attempt.id'], name=op.f('fk_release_attempt_id_attempt'), ondelete='RESTRICT'),
    sa.ForeignKeyConstraint(['grade_id'], ['grade.id'], name=op.f('fk_release_grade_id_grade'), ondelete='RESTRICT'),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_release'))
    )
    with op.batch_alter_table('release', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_release_attempt_id'), ['attempt_id'], unique=False)
