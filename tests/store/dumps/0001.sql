BEGIN TRANSACTION;
CREATE TABLE assignment (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	title TEXT NOT NULL, 
	course_id TEXT NOT NULL, 
	section_id TEXT, 
	scenario_id TEXT NOT NULL, 
	rubric_id TEXT NOT NULL, 
	generator INTEGER NOT NULL, 
	seeds TEXT DEFAULT 'each' NOT NULL, 
	secret TEXT NOT NULL, 
	start_code TEXT NOT NULL, 
	attempts INTEGER NOT NULL, 
	counting TEXT DEFAULT 'best' NOT NULL, 
	opens_ms BIGINT NOT NULL, 
	due_ms BIGINT NOT NULL, 
	closes_ms BIGINT NOT NULL, 
	zone TEXT NOT NULL, 
	grace_min INTEGER DEFAULT '0' NOT NULL, 
	late_rule TEXT DEFAULT 'received' NOT NULL, 
	time_s INTEGER, 
	hints JSON NOT NULL, 
	feedback TEXT DEFAULT 'full' NOT NULL, 
	releases TEXT DEFAULT 'manual' NOT NULL, 
	release_ms BIGINT, 
	made_ms BIGINT NOT NULL, 
	made_by TEXT NOT NULL, 
	CONSTRAINT pk_assignment PRIMARY KEY (id), 
	CONSTRAINT ck_assignment_counting CHECK (counting in ('best', 'last', 'first')), 
	CONSTRAINT ck_assignment_feedback CHECK (feedback in ('none', 'points', 'phrase', 'full')), 
	CONSTRAINT ck_assignment_late_rule CHECK (late_rule in ('received', 'claimed-if-unflagged')), 
	CONSTRAINT ck_assignment_releases CHECK (releases in ('manual', 'at-time', 'at-handin')), 
	CONSTRAINT ck_assignment_seeds CHECK (seeds in ('each', 'one')), 
	CONSTRAINT ck_assignment_attempts CHECK (attempts between 1 and 99), 
	CONSTRAINT ck_assignment_times CHECK (opens_ms <= due_ms and due_ms <= closes_ms), 
	CONSTRAINT fk_assignment_course_id_course FOREIGN KEY(course_id) REFERENCES course (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_assignment_rubric_id_rubric FOREIGN KEY(rubric_id) REFERENCES rubric (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_assignment_scenario_id_scenario FOREIGN KEY(scenario_id) REFERENCES scenario (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_assignment_section_id_section FOREIGN KEY(section_id) REFERENCES section (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_assignment_name UNIQUE (name)
);
INSERT INTO "assignment" VALUES('assignment-a','invented name a','invented title a','course-a','section-a','scenario-a','rubric-a',2,'each','invented secret a','invented start_code a',2,'best',1772438400000,1772438400001,4611686018427387904,'invented zone a',2,'received',2,'{"invented":"a"}','full','manual',2,2,'invented made_by a');
INSERT INTO "assignment" VALUES('assignment-b','invented name b','invented title b','course-b','section-b','scenario-b','rubric-b',3,'each','invented secret b','invented start_code b',3,'best',1772438400000,1772438400001,4611686018427387904,'invented zone b',3,'received',3,'{"invented":"b"}','full','manual',3,3,'invented made_by b');
CREATE TABLE assignment_exception (
	id TEXT NOT NULL, 
	assignment_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	due_ms BIGINT, 
	closes_ms BIGINT, 
	extra_attempts INTEGER DEFAULT '0' NOT NULL, 
	excused INTEGER DEFAULT '0' NOT NULL, 
	reason TEXT NOT NULL, 
	made_ms BIGINT NOT NULL, 
	made_by TEXT NOT NULL, 
	CONSTRAINT pk_assignment_exception PRIMARY KEY (id), 
	CONSTRAINT fk_assignment_exception_assignment_id_assignment FOREIGN KEY(assignment_id) REFERENCES assignment (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_assignment_exception_person_id_person FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);
INSERT INTO "assignment_exception" VALUES('assignment_exception-a','assignment-a','person-a',2,2,2,2,'invented reason a',2,'invented made_by a');
INSERT INTO "assignment_exception" VALUES('assignment_exception-b','assignment-b','person-b',3,3,3,3,'invented reason b',3,'invented made_by b');
CREATE TABLE attempt (
	id TEXT NOT NULL, 
	assignment_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	no INTEGER NOT NULL, 
	file_digest TEXT NOT NULL, 
	attempt_digest TEXT NOT NULL, 
	opening_id TEXT NOT NULL, 
	public_key TEXT NOT NULL, 
	events INTEGER NOT NULL, 
	head TEXT NOT NULL, 
	state TEXT DEFAULT 'handed-in' NOT NULL, 
	started_ms BIGINT NOT NULL, 
	ended_ms BIGINT NOT NULL, 
	received_ms BIGINT NOT NULL, 
	late_ms BIGINT NOT NULL, 
	flags JSON NOT NULL, 
	checked TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_attempt PRIMARY KEY (id), 
	CONSTRAINT ck_attempt_state CHECK (state in ('handed-in', 'graded', 'excused')), 
	CONSTRAINT ck_attempt_no CHECK (no between 1 and 99), 
	CONSTRAINT fk_attempt_assignment_id_assignment FOREIGN KEY(assignment_id) REFERENCES assignment (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_attempt_file_digest_blob FOREIGN KEY(file_digest) REFERENCES blob (digest) ON DELETE RESTRICT, 
	CONSTRAINT fk_attempt_person_id_person FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_attempt_assignment_id_person_id_no UNIQUE (assignment_id, person_id, no), 
	CONSTRAINT uq_attempt_file_digest UNIQUE (file_digest)
);
INSERT INTO "attempt" VALUES('attempt-a','assignment-a','person-a',2,'0777b31bc826218c5029e9eb7cf5a00d4490fef3f8a15eaeb38910e5ff4b8e39','invented attempt_digest a','invented opening_id a','invented public_key a',2,'invented head a','graded',2,2,2,2,'{"invented":"a"}','invented checked a');
INSERT INTO "attempt" VALUES('attempt-b','assignment-b','person-b',3,'0e90c79636091ae8b68df536c1ff5bb85479c19ab7ea5cf8d2fcaab49d0e16cc','invented attempt_digest b','invented opening_id b','invented public_key b',3,'invented head b','graded',3,3,3,3,'{"invented":"b"}','invented checked b');
CREATE TABLE audit (
	n INTEGER NOT NULL, 
	at_ms BIGINT NOT NULL, 
	who TEXT NOT NULL, 
	what TEXT NOT NULL, 
	subject TEXT DEFAULT '' NOT NULL, 
	body JSON NOT NULL, 
	CONSTRAINT pk_audit PRIMARY KEY (n)
);
INSERT INTO "audit" VALUES(1,2,'invented who a','invented what a','invented subject a','{"invented":"a"}');
INSERT INTO "audit" VALUES(2,3,'invented who b','invented what b','invented subject b','{"invented":"b"}');
CREATE TABLE blob (
	digest TEXT NOT NULL, 
	size BIGINT NOT NULL, 
	packed BLOB NOT NULL, 
	kept_ms BIGINT NOT NULL, 
	CONSTRAINT pk_blob PRIMARY KEY (digest)
);
INSERT INTO "blob" VALUES('0777b31bc826218c5029e9eb7cf5a00d4490fef3f8a15eaeb38910e5ff4b8e39',198,X'789C4BCC53C8CC2B4BCD2B494D51C848CC4BD1CDCC5348E44A1C62A200C0C44447',2);
INSERT INTO "blob" VALUES('0e90c79636091ae8b68df536c1ff5bb85479c19ab7ea5cf8d2fcaab49d0e16cc',198,X'789C4BCC53C8CC2B4BCD2B494D51C848CC4BD1CDCC5348E24A1C62A200C3EE4450',3);
CREATE TABLE course (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	title TEXT DEFAULT '' NOT NULL, 
	zone TEXT DEFAULT 'UTC' NOT NULL, 
	added_ms BIGINT NOT NULL, 
	CONSTRAINT pk_course PRIMARY KEY (id), 
	CONSTRAINT uq_course_name UNIQUE (name)
);
INSERT INTO "course" VALUES('course-a','invented name a','invented title a','invented zone a',2);
INSERT INTO "course" VALUES('course-b','invented name b','invented title b','invented zone b',3);
CREATE TABLE critical_event (
	id TEXT NOT NULL, 
	grade_id TEXT NOT NULL, 
	code TEXT NOT NULL, 
	seq INTEGER NOT NULL, 
	CONSTRAINT pk_critical_event PRIMARY KEY (id), 
	CONSTRAINT fk_critical_event_grade_id_grade FOREIGN KEY(grade_id) REFERENCES grade (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_critical_event_grade_id_code_seq UNIQUE (grade_id, code, seq)
);
INSERT INTO "critical_event" VALUES('critical_event-a','grade-a','invented code a',2);
INSERT INTO "critical_event" VALUES('critical_event-b','grade-b','invented code b',3);
CREATE TABLE enrolment (
	id TEXT NOT NULL, 
	section_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	active INTEGER DEFAULT '1' NOT NULL, 
	added_ms BIGINT NOT NULL, 
	CONSTRAINT pk_enrolment PRIMARY KEY (id), 
	CONSTRAINT fk_enrolment_person_id_person FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_enrolment_section_id_section FOREIGN KEY(section_id) REFERENCES section (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_enrolment_section_id_person_id UNIQUE (section_id, person_id)
);
INSERT INTO "enrolment" VALUES('enrolment-a','section-a','person-a',2,2);
INSERT INTO "enrolment" VALUES('enrolment-b','section-b','person-b',3,3);
CREATE TABLE grade (
	id TEXT NOT NULL, 
	attempt_id TEXT NOT NULL, 
	revision INTEGER NOT NULL, 
	scorer TEXT NOT NULL, 
	rubric_digest TEXT NOT NULL, 
	total TEXT NOT NULL, 
	total_micro BIGINT NOT NULL, 
	cut TEXT NOT NULL, 
	verdict TEXT NOT NULL, 
	critical INTEGER NOT NULL, 
	hints INTEGER NOT NULL, 
	body JSON NOT NULL, 
	made_ms BIGINT NOT NULL, 
	made_by TEXT NOT NULL, 
	why TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_grade PRIMARY KEY (id), 
	CONSTRAINT ck_grade_verdict CHECK (verdict in ('pass', 'fail')), 
	CONSTRAINT ck_grade_total CHECK (total_micro between 0 and 100000000), 
	CONSTRAINT fk_grade_attempt_id_attempt FOREIGN KEY(attempt_id) REFERENCES attempt (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_grade_attempt_id_revision UNIQUE (attempt_id, revision), 
	CONSTRAINT uq_grade_attempt_id_scorer_rubric_digest UNIQUE (attempt_id, scorer, rubric_digest)
);
INSERT INTO "grade" VALUES('grade-a','attempt-a',2,'invented scorer a','invented rubric_digest a','invented total a',83923076,'invented cut a','pass',2,2,'{"invented":true,"shares":[0.25,1e+22,-0.0,9223372036854775809],"é":"李"}',2,'invented made_by a','invented why a');
INSERT INTO "grade" VALUES('grade-b','attempt-b',3,'invented scorer b','invented rubric_digest b','invented total b',83923076,'invented cut b','pass',3,3,'{"invented":true,"shares":[0.25,1e+22,-0.0,9223372036854775809],"é":"李"}',3,'invented made_by b','invented why b');
CREATE TABLE grade_item (
	id TEXT NOT NULL, 
	grade_id TEXT NOT NULL, 
	rule TEXT NOT NULL, 
	code TEXT DEFAULT '' NOT NULL, 
	domain TEXT NOT NULL, 
	outcome TEXT NOT NULL, 
	points TEXT NOT NULL, 
	share TEXT NOT NULL, 
	n INTEGER NOT NULL, 
	CONSTRAINT pk_grade_item PRIMARY KEY (id), 
	CONSTRAINT fk_grade_item_grade_id_grade FOREIGN KEY(grade_id) REFERENCES grade (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_grade_item_grade_id_n UNIQUE (grade_id, n)
);
INSERT INTO "grade_item" VALUES('grade_item-a','grade-a','invented rule a','invented code a','invented domain a','invented outcome a','invented points a','invented share a',2);
INSERT INTO "grade_item" VALUES('grade_item-b','grade-b','invented rule b','invented code b','invented domain b','invented outcome b','invented points b','invented share b',3);
CREATE TABLE "key" (
	id TEXT NOT NULL, 
	public TEXT NOT NULL, 
	person_id TEXT, 
	role TEXT NOT NULL, 
	trusted_ms BIGINT NOT NULL, 
	note TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_key PRIMARY KEY (id), 
	CONSTRAINT ck_key_role CHECK (role in ('learner', 'instructor')), 
	CONSTRAINT fk_key_person_id_person FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_key_public UNIQUE (public)
);
INSERT INTO "key" VALUES('key-a','invented public a','person-a','learner',2,'invented note a');
INSERT INTO "key" VALUES('key-b','invented public b','person-b','learner',3,'invented note b');
CREATE TABLE opening (
	id TEXT NOT NULL, 
	assignment_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	no INTEGER NOT NULL, 
	opening_id TEXT NOT NULL, 
	public_key TEXT NOT NULL, 
	opened_ms BIGINT NOT NULL, 
	CONSTRAINT pk_opening PRIMARY KEY (id), 
	CONSTRAINT fk_opening_assignment_id_assignment FOREIGN KEY(assignment_id) REFERENCES assignment (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_opening_person_id_person FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_opening_assignment_id_person_id_no_opening_id UNIQUE (assignment_id, person_id, no, opening_id)
);
INSERT INTO "opening" VALUES('opening-a','assignment-a','person-a',2,'invented opening_id a','invented public_key a',2);
INSERT INTO "opening" VALUES('opening-b','assignment-b','person-b',3,'invented opening_id b','invented public_key b',3);
CREATE TABLE override (
	id TEXT NOT NULL, 
	attempt_id TEXT NOT NULL, 
	based_on TEXT NOT NULL, 
	field TEXT NOT NULL, 
	old TEXT NOT NULL, 
	new TEXT NOT NULL, 
	reason_code TEXT NOT NULL, 
	reason TEXT NOT NULL, 
	undone INTEGER DEFAULT '0' NOT NULL, 
	made_ms BIGINT NOT NULL, 
	made_by TEXT NOT NULL, 
	second TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_override PRIMARY KEY (id), 
	CONSTRAINT ck_override_field CHECK (field in ('total', 'verdict', 'critical')), 
	CONSTRAINT ck_override_reason CHECK (length(reason) >= 10), 
	CONSTRAINT fk_override_attempt_id_attempt FOREIGN KEY(attempt_id) REFERENCES attempt (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_override_based_on_grade FOREIGN KEY(based_on) REFERENCES grade (id) ON DELETE RESTRICT
);
INSERT INTO "override" VALUES('override-a','attempt-a','grade-a','total','invented old a','invented new a','invented reason_code a','invented reason a',2,2,'invented made_by a','invented second a');
INSERT INTO "override" VALUES('override-b','attempt-b','grade-b','total','invented old b','invented new b','invented reason_code b','invented reason b',3,3,'invented made_by b','invented second b');
CREATE TABLE person (
	id TEXT NOT NULL, 
	learner_id TEXT NOT NULL, 
	given_name TEXT DEFAULT '' NOT NULL, 
	family_name TEXT DEFAULT '' NOT NULL, 
	email TEXT DEFAULT '' NOT NULL, 
	external_id TEXT DEFAULT '' NOT NULL, 
	accommodation_milli INTEGER DEFAULT '1000' NOT NULL, 
	active INTEGER DEFAULT '1' NOT NULL, 
	erased_ms BIGINT, 
	added_ms BIGINT NOT NULL, 
	CONSTRAINT pk_person PRIMARY KEY (id), 
	CONSTRAINT ck_person_accommodation CHECK (accommodation_milli between 1000 and 4000), 
	CONSTRAINT uq_person_learner_id UNIQUE (learner_id)
);
INSERT INTO "person" VALUES('person-a','invented learner_id a','invented given_name a','invented family_name a','invented email a','invented external_id a',1250,2,2,2);
INSERT INTO "person" VALUES('person-b','invented learner_id b','invented given_name b','invented family_name b','invented email b','invented external_id b',1250,3,3,3);
CREATE TABLE person_alias (
	alias TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	added_ms BIGINT NOT NULL, 
	CONSTRAINT pk_person_alias PRIMARY KEY (alias), 
	CONSTRAINT fk_person_alias_person_id_person FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE RESTRICT
);
INSERT INTO "person_alias" VALUES('person_alias-a','person-a',2);
INSERT INTO "person_alias" VALUES('person_alias-b','person-b',3);
CREATE TABLE quarantine (
	id TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	code TEXT NOT NULL, 
	reason TEXT NOT NULL, 
	hint TEXT DEFAULT '' NOT NULL, 
	kept_ms BIGINT NOT NULL, 
	CONSTRAINT pk_quarantine PRIMARY KEY (id), 
	CONSTRAINT fk_quarantine_digest_blob FOREIGN KEY(digest) REFERENCES blob (digest) ON DELETE RESTRICT, 
	CONSTRAINT uq_quarantine_digest UNIQUE (digest)
);
INSERT INTO "quarantine" VALUES('quarantine-a','0777b31bc826218c5029e9eb7cf5a00d4490fef3f8a15eaeb38910e5ff4b8e39','invented code a','invented reason a','invented hint a',2);
INSERT INTO "quarantine" VALUES('quarantine-b','0e90c79636091ae8b68df536c1ff5bb85479c19ab7ea5cf8d2fcaab49d0e16cc','invented code b','invented reason b','invented hint b',3);
CREATE TABLE rating (
	id TEXT NOT NULL, 
	attempt_id TEXT NOT NULL, 
	rating INTEGER NOT NULL, 
	verdict TEXT DEFAULT '' NOT NULL, 
	made_by TEXT NOT NULL, 
	made_ms BIGINT NOT NULL, 
	CONSTRAINT pk_rating PRIMARY KEY (id), 
	CONSTRAINT ck_rating_rating CHECK (rating between 1 and 5), 
	CONSTRAINT fk_rating_attempt_id_attempt FOREIGN KEY(attempt_id) REFERENCES attempt (id) ON DELETE RESTRICT
);
INSERT INTO "rating" VALUES('rating-a','attempt-a',2,'invented verdict a','invented made_by a',2);
INSERT INTO "rating" VALUES('rating-b','attempt-b',3,'invented verdict b','invented made_by b',3);
CREATE TABLE receipt (
	id TEXT NOT NULL, 
	attempt_id TEXT NOT NULL, 
	body JSON NOT NULL, 
	signature TEXT NOT NULL, 
	made_ms BIGINT NOT NULL, 
	CONSTRAINT pk_receipt PRIMARY KEY (id), 
	CONSTRAINT fk_receipt_attempt_id_attempt FOREIGN KEY(attempt_id) REFERENCES attempt (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_receipt_attempt_id UNIQUE (attempt_id)
);
INSERT INTO "receipt" VALUES('receipt-a','attempt-a','{"invented":"a"}','invented signature a',2);
INSERT INTO "receipt" VALUES('receipt-b','attempt-b','{"invented":"b"}','invented signature b',3);
CREATE TABLE release (
	id TEXT NOT NULL, 
	attempt_id TEXT NOT NULL, 
	grade_id TEXT NOT NULL, 
	level TEXT NOT NULL, 
	total TEXT NOT NULL, 
	verdict TEXT NOT NULL, 
	signature TEXT DEFAULT '' NOT NULL, 
	made_ms BIGINT NOT NULL, 
	made_by TEXT NOT NULL, 
	CONSTRAINT pk_release PRIMARY KEY (id), 
	CONSTRAINT ck_release_level CHECK (level in ('none', 'points', 'phrase', 'full')), 
	CONSTRAINT fk_release_attempt_id_attempt FOREIGN KEY(attempt_id) REFERENCES attempt (id) ON DELETE RESTRICT, 
	CONSTRAINT fk_release_grade_id_grade FOREIGN KEY(grade_id) REFERENCES grade (id) ON DELETE RESTRICT
);
INSERT INTO "release" VALUES('release-a','attempt-a','grade-a','points','invented total a','invented verdict a','invented signature a',2,'invented made_by a');
INSERT INTO "release" VALUES('release-b','attempt-b','grade-b','points','invented total b','invented verdict b','invented signature b',3,'invented made_by b');
CREATE TABLE rubric (
	id TEXT NOT NULL, 
	title TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	body JSON NOT NULL, 
	CONSTRAINT pk_rubric PRIMARY KEY (id), 
	CONSTRAINT uq_rubric_digest UNIQUE (digest)
);
INSERT INTO "rubric" VALUES('rubric-a','invented title a','invented digest a','{"invented":"a"}');
INSERT INTO "rubric" VALUES('rubric-b','invented title b','invented digest b','{"invented":"b"}');
CREATE TABLE scenario (
	id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	title TEXT NOT NULL, 
	digest TEXT NOT NULL, 
	body TEXT NOT NULL, 
	layout_body TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_scenario PRIMARY KEY (id), 
	CONSTRAINT uq_scenario_name_digest UNIQUE (name, digest)
);
INSERT INTO "scenario" VALUES('scenario-a','invented name a','invented title a','invented digest a','invented body a','invented layout_body a');
INSERT INTO "scenario" VALUES('scenario-b','invented name b','invented title b','invented digest b','invented body b','invented layout_body b');
CREATE TABLE schema_meta (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT schema_meta_pkc PRIMARY KEY (version_num)
);
INSERT INTO "schema_meta" VALUES('0001');
CREATE TABLE section (
	id TEXT NOT NULL, 
	course_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	CONSTRAINT pk_section PRIMARY KEY (id), 
	CONSTRAINT fk_section_course_id_course FOREIGN KEY(course_id) REFERENCES course (id) ON DELETE RESTRICT, 
	CONSTRAINT uq_section_course_id_name UNIQUE (course_id, name)
);
INSERT INTO "section" VALUES('section-a','course-a','invented name a');
INSERT INTO "section" VALUES('section-b','course-b','invented name b');
CREATE INDEX ix_audit_subject ON audit (subject);
CREATE INDEX ix_attempt_assignment_id_state ON attempt (assignment_id, state);
CREATE INDEX ix_attempt_person_id ON attempt (person_id);
CREATE INDEX ix_grade_attempt_id ON grade (attempt_id);
CREATE INDEX ix_override_attempt_id ON override (attempt_id);
CREATE INDEX ix_release_attempt_id ON release (attempt_id);
CREATE TRIGGER kept_grade_update before update on grade
begin select raise(abort, 'rows of grade are never changed or removed'); end;
CREATE TRIGGER kept_grade_delete before delete on grade
begin select raise(abort, 'rows of grade are never changed or removed'); end;
CREATE TRIGGER kept_grade_item_update before update on grade_item
begin select raise(abort, 'rows of grade_item are never changed or removed'); end;
CREATE TRIGGER kept_grade_item_delete before delete on grade_item
begin select raise(abort, 'rows of grade_item are never changed or removed'); end;
CREATE TRIGGER kept_critical_event_update before update on critical_event
begin select raise(abort, 'rows of critical_event are never changed or removed'); end;
CREATE TRIGGER kept_critical_event_delete before delete on critical_event
begin select raise(abort, 'rows of critical_event are never changed or removed'); end;
CREATE TRIGGER kept_override_update before update on override
begin select raise(abort, 'rows of override are never changed or removed'); end;
CREATE TRIGGER kept_override_delete before delete on override
begin select raise(abort, 'rows of override are never changed or removed'); end;
CREATE TRIGGER kept_rating_update before update on rating
begin select raise(abort, 'rows of rating are never changed or removed'); end;
CREATE TRIGGER kept_rating_delete before delete on rating
begin select raise(abort, 'rows of rating are never changed or removed'); end;
CREATE TRIGGER kept_release_update before update on release
begin select raise(abort, 'rows of release are never changed or removed'); end;
CREATE TRIGGER kept_release_delete before delete on release
begin select raise(abort, 'rows of release are never changed or removed'); end;
CREATE TRIGGER kept_receipt_update before update on receipt
begin select raise(abort, 'rows of receipt are never changed or removed'); end;
CREATE TRIGGER kept_receipt_delete before delete on receipt
begin select raise(abort, 'rows of receipt are never changed or removed'); end;
CREATE TRIGGER kept_audit_update before update on audit
begin select raise(abort, 'rows of audit are never changed or removed'); end;
CREATE TRIGGER kept_audit_delete before delete on audit
begin select raise(abort, 'rows of audit are never changed or removed'); end;
CREATE TRIGGER kept_assignment_exception_update before update on assignment_exception
begin select raise(abort, 'rows of assignment_exception are never changed or removed'); end;
CREATE TRIGGER kept_assignment_exception_delete before delete on assignment_exception
begin select raise(abort, 'rows of assignment_exception are never changed or removed'); end;
COMMIT;
