BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0004');
CREATE TABLE ball_flight (
	swing_id INTEGER NOT NULL, 
	start VARCHAR NOT NULL, 
	bend VARCHAR NOT NULL, 
	bends_much BOOLEAN NOT NULL, 
	seen_at DATETIME NOT NULL, 
	CONSTRAINT pk_ball_flight PRIMARY KEY (swing_id), 
	CONSTRAINT ck_ball_flight_bend CHECK (bend IN ('left', 'straight', 'right')), 
	CONSTRAINT ck_ball_flight_start CHECK (start IN ('pull', 'straight', 'push')), 
	CONSTRAINT fk_ball_flight_swing_id_swing FOREIGN KEY(swing_id) REFERENCES swing (id) ON DELETE CASCADE
);
INSERT INTO "ball_flight" VALUES(1,'push','left',0,'2026-03-14 09:30:00.000000');
CREATE TABLE chosen_way (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	golfer_id INTEGER NOT NULL, 
	club_id INTEGER NOT NULL, 
	lesson_id INTEGER NOT NULL, 
	way VARCHAR NOT NULL, 
	thought VARCHAR NOT NULL, 
	drill VARCHAR NOT NULL, 
	test VARCHAR NOT NULL, 
	chosen_at DATETIME NOT NULL, 
	CONSTRAINT fk_chosen_way_club_id_club FOREIGN KEY(club_id) REFERENCES club (id) ON DELETE CASCADE, 
	CONSTRAINT fk_chosen_way_golfer_id_golfer FOREIGN KEY(golfer_id) REFERENCES golfer (id) ON DELETE CASCADE, 
	CONSTRAINT fk_chosen_way_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE
);
INSERT INTO "chosen_way" VALUES(1,1,1,1,'grip','knuckles','','','2026-03-14 09:30:00.000000');
CREATE TABLE club (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	golfer_id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	loft_deg DOUBLE, 
	lie_deg DOUBLE, 
	length_m DOUBLE, 
	head_mass_kg DOUBLE, 
	is_current BOOLEAN NOT NULL, put_away_at DATETIME, 
	CONSTRAINT fk_club_golfer_id_golfer FOREIGN KEY(golfer_id) REFERENCES golfer (id) ON DELETE CASCADE, 
	CONSTRAINT uq_club_golfer_id_name UNIQUE (golfer_id, name)
);
INSERT INTO "club" VALUES(1,1,'7-iron',NULL,NULL,NULL,NULL,0,'2026-03-14 09:30:00.000000');
CREATE TABLE cold_ball (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	cold_test_id INTEGER NOT NULL, 
	swing_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	CONSTRAINT fk_cold_ball_cold_test_id_cold_test FOREIGN KEY(cold_test_id) REFERENCES cold_test (id) ON DELETE CASCADE, 
	CONSTRAINT fk_cold_ball_swing_id_swing FOREIGN KEY(swing_id) REFERENCES swing (id) ON DELETE CASCADE, 
	CONSTRAINT uq_cold_ball_cold_test_id_number UNIQUE (cold_test_id, number), 
	CONSTRAINT uq_cold_ball_swing_id UNIQUE (swing_id)
);
INSERT INTO "cold_ball" VALUES(1,1,1,1);
CREATE TABLE cold_test (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	club_id INTEGER NOT NULL, 
	elsewhere VARCHAR NOT NULL, 
	started_at DATETIME NOT NULL, 
	ended_at DATETIME, 
	CONSTRAINT fk_cold_test_club_id_club FOREIGN KEY(club_id) REFERENCES club (id) ON DELETE CASCADE, 
	CONSTRAINT fk_cold_test_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE
);
INSERT INTO "cold_test" VALUES(1,1,1,'','2026-03-14 09:30:00.000000',NULL);
CREATE TABLE column_mapping (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name VARCHAR NOT NULL, 
	mapping JSON NOT NULL, 
	saved_at DATETIME NOT NULL, 
	CONSTRAINT uq_column_mapping_name UNIQUE (name)
);
INSERT INTO "column_mapping" VALUES(1,'my logger','{"schema": 1, "columns": {}}','2026-03-14 09:30:00.000000');
CREATE TABLE device (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name VARCHAR NOT NULL, 
	added_at DATETIME NOT NULL, 
	CONSTRAINT uq_device_name UNIQUE (name)
);
INSERT INTO "device" VALUES(1,'wrist box','2026-03-14 09:30:00.000000');
CREATE TABLE device_sign (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	device_id INTEGER NOT NULL, 
	measure VARCHAR NOT NULL, 
	rises_when VARCHAR NOT NULL, 
	shows_at_neutral DOUBLE NOT NULL, 
	asked_at DATETIME NOT NULL, 
	CONSTRAINT fk_device_sign_device_id_device FOREIGN KEY(device_id) REFERENCES device (id) ON DELETE CASCADE, 
	CONSTRAINT uq_device_sign_device_id_measure UNIQUE (device_id, measure)
);
INSERT INTO "device_sign" VALUES(1,1,'wrist.flexion_deg','cups',0.0,'2026-03-14 09:30:00.000000');
CREATE TABLE entry (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	request_key VARCHAR, 
	golfer_id INTEGER, 
	lesson_id INTEGER, 
	action VARCHAR NOT NULL, 
	made_id INTEGER, 
	rows JSON NOT NULL, 
	made_at DATETIME NOT NULL, 
	undone_at DATETIME, 
	can_undo BOOLEAN NOT NULL, 
	CONSTRAINT fk_entry_golfer_id_golfer FOREIGN KEY(golfer_id) REFERENCES golfer (id) ON DELETE CASCADE, 
	CONSTRAINT fk_entry_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE, 
	CONSTRAINT uq_entry_request_key UNIQUE (request_key)
);
INSERT INTO "entry" VALUES(1,'once',1,1,'set_strike',1,'[{"table": "swing", "key": {"id": 1}, "before": {"strike": null}, "after": {"strike": "toe"}}]','2026-03-14 09:30:00.000000',NULL,1);
CREATE TABLE golfer (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name VARCHAR NOT NULL, 
	handedness VARCHAR NOT NULL, 
	age_group VARCHAR NOT NULL, 
	added_at DATETIME NOT NULL, 
	big_miss VARCHAR, 
	other_miss VARCHAR, 
	goal VARCHAR NOT NULL, 
	next_event VARCHAR NOT NULL, 
	next_event_on DATE, 
	balls_a_week INTEGER, 
	told_before VARCHAR NOT NULL, 
	pain JSON NOT NULL, 
	pain_asked_at DATETIME, 
	wrist_flexion_range_deg DOUBLE, 
	wrist_extension_range_deg DOUBLE, 
	wrist_radial_range_deg DOUBLE, 
	wrist_ulnar_range_deg DOUBLE, 
	forearm_supination_range_deg DOUBLE, 
	forearm_pronation_range_deg DOUBLE, 
	chest_turn_range_deg DOUBLE, 
	hip_turn_range_deg DOUBLE, 
	carer_name VARCHAR NOT NULL, 
	carer_consented_at DATETIME, 
	golfer_agreed_at DATETIME, 
	CONSTRAINT ck_golfer_age_group CHECK (age_group IN ('junior', 'adult', 'senior')), 
	CONSTRAINT ck_golfer_handedness CHECK (handedness IN ('right', 'left')), 
	CONSTRAINT ck_golfer_name CHECK (length(name) > 0)
);
INSERT INTO "golfer" VALUES(1,'Ines Över','left','adult','2026-03-14 09:30:00.000000','left',NULL,'fewer hooks','club day','2026-05-02',120,'','["left wrist"]','2026-03-14 09:30:00.000000',70.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'',NULL,NULL);
CREATE TABLE job (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	kind VARCHAR NOT NULL, 
	recording_id INTEGER NOT NULL, 
	content_key VARCHAR NOT NULL, 
	state VARCHAR NOT NULL, 
	attempts INTEGER NOT NULL, 
	message VARCHAR NOT NULL, 
	queued_at DATETIME NOT NULL, 
	started_at DATETIME, 
	ended_at DATETIME, 
	CONSTRAINT ck_job_state CHECK (state IN ('waiting', 'running', 'done', 'failed', 'cancelled')), 
	CONSTRAINT fk_job_recording_id_recording FOREIGN KEY(recording_id) REFERENCES recording (id) ON DELETE CASCADE, 
	CONSTRAINT uq_job_content_key UNIQUE (content_key)
);
INSERT INTO "job" VALUES(1,'analyse',1,'0000000000000000000000000000000000000000000000000000000000000000','done',1,'','2026-03-14 09:30:00.000000',NULL,NULL);
CREATE TABLE lesson (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	golfer_id INTEGER NOT NULL, 
	started_at DATETIME NOT NULL, 
	ended_at DATETIME, 
	place VARCHAR NOT NULL, 
	surface VARCHAR, 
	ball VARCHAR, 
	flight_seen_m DOUBLE, 
	at_hand JSON NOT NULL, 
	version INTEGER NOT NULL, 
	CONSTRAINT fk_lesson_golfer_id_golfer FOREIGN KEY(golfer_id) REFERENCES golfer (id) ON DELETE CASCADE
);
INSERT INTO "lesson" VALUES(1,1,'2026-03-14 09:30:00.000000',NULL,'Mat 4',NULL,NULL,NULL,'["eye", "ball"]',7);
CREATE TABLE note (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	written_at DATETIME NOT NULL, 
	CONSTRAINT fk_note_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE
);
INSERT INTO "note" VALUES(1,1,'Grip stronger than last time.','2026-03-14 09:30:00.000000');
CREATE TABLE original (
	sha256 VARCHAR NOT NULL, 
	size_bytes INTEGER NOT NULL, 
	packing VARCHAR NOT NULL, 
	content BLOB NOT NULL, 
	CONSTRAINT pk_original PRIMARY KEY (sha256)
);
INSERT INTO "original" VALUES('c5cf106eee28f14c6b26a7507294dcc1d156a1a7c081277400e11d8797ec6e48',35,'plain',X'74696D655F732C666F726561726D5F6163635F785F6D7073320A302E302C392E38310A');
CREATE TABLE own_drill (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	title VARCHAR NOT NULL, 
	ways JSON NOT NULL, 
	causes JSON NOT NULL, 
	closes BOOLEAN, 
	set_up JSON NOT NULL, 
	how JSON NOT NULL, 
	picture VARCHAR, 
	thought VARCHAR NOT NULL, 
	measure_key VARCHAR, 
	gain_from VARCHAR, 
	at_least DOUBLE, 
	at_most DOUBLE, 
	measure_words VARCHAR NOT NULL, 
	doses JSON NOT NULL, 
	stop JSON NOT NULL, 
	next_step VARCHAR NOT NULL, 
	cautions JSON NOT NULL, 
	load VARCHAR NOT NULL, 
	written_at DATETIME NOT NULL, 
	put_away_at DATETIME, 
	CONSTRAINT ck_own_drill_title CHECK (length(title) > 0), 
	CONSTRAINT ck_own_drill_load CHECK (load IN ('none', 'light', 'wrist'))
);
INSERT INTO "own_drill" VALUES(1,'Broom by the fence','["flexed_early"]','["lead_wrist_flexion"]',1,'["A broom, no ball."]','["Sweep along the fence."]','slow_motion','Bristles flat.','wrist.top.flexion_deg',NULL,-5.0,20.0,'flat at the top','[{"step": "slow", "reps": 5, "sets": 2, "rest_s": 30, "days_a_week": 4}]','["anything hurts"]','','["Nobody near."]','wrist','2026-03-14 09:30:00.000000',NULL);
CREATE TABLE reading (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	swing_id INTEGER, 
	lesson_id INTEGER, 
	club_id INTEGER, 
	"key" VARCHAR NOT NULL, 
	value DOUBLE NOT NULL, 
	sd DOUBLE, 
	how VARCHAR NOT NULL, 
	device_id INTEGER, 
	device_value DOUBLE, 
	read_at DATETIME NOT NULL, 
	CONSTRAINT ck_reading_how CHECK (how IN ('sensor', 'video', 'ball', 'typed', 'by_eye', 'assumed')), 
	CONSTRAINT ck_reading_belongs CHECK ((swing_id IS NULL) <> (lesson_id IS NULL AND club_id IS NULL)), 
	CONSTRAINT fk_reading_club_id_club FOREIGN KEY(club_id) REFERENCES club (id) ON DELETE CASCADE, 
	CONSTRAINT fk_reading_device_id_device FOREIGN KEY(device_id) REFERENCES device (id), 
	CONSTRAINT fk_reading_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE, 
	CONSTRAINT fk_reading_swing_id_swing FOREIGN KEY(swing_id) REFERENCES swing (id) ON DELETE CASCADE, 
	CONSTRAINT uq_reading_swing_id_key_how UNIQUE (swing_id, "key", how)
);
INSERT INTO "reading" VALUES(1,1,NULL,NULL,'wrist.top.flexion_deg',-14.0,NULL,'typed',1,14.0,'2026-03-14 09:30:00.000000');
INSERT INTO "reading" VALUES(2,NULL,1,1,'grip_turn_deg',8.0,7.0,'by_eye',NULL,NULL,'2026-03-14 09:30:00.000000');
CREATE TABLE recording (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	club_id INTEGER NOT NULL, 
	sha256 VARCHAR NOT NULL, 
	calibration_id INTEGER, 
	file_name VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	mount VARCHAR NOT NULL, 
	profile VARCHAR, 
	column_mapping_id INTEGER, 
	state VARCHAR NOT NULL, 
	method VARCHAR, 
	issues JSON, 
	imported_at DATETIME NOT NULL, 
	CONSTRAINT ck_recording_kind CHECK (kind IN ('swings', 'calibration', 'both')), 
	CONSTRAINT ck_recording_state CHECK (state IN ('waiting', 'analysed', 'unusable')), 
	CONSTRAINT fk_recording_calibration_id_recording FOREIGN KEY(calibration_id) REFERENCES recording (id) ON DELETE SET NULL, 
	CONSTRAINT fk_recording_club_id_club FOREIGN KEY(club_id) REFERENCES club (id) ON DELETE CASCADE, 
	CONSTRAINT fk_recording_column_mapping_id_column_mapping FOREIGN KEY(column_mapping_id) REFERENCES column_mapping (id), 
	CONSTRAINT fk_recording_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE, 
	CONSTRAINT fk_recording_sha256_original FOREIGN KEY(sha256) REFERENCES original (sha256), 
	CONSTRAINT uq_recording_lesson_id_sha256 UNIQUE (lesson_id, sha256)
);
INSERT INTO "recording" VALUES(1,1,1,'c5cf106eee28f14c6b26a7507294dcc1d156a1a7c081277400e11d8797ec6e48',NULL,'mat4.csv','swings','a',NULL,1,'analysed','1','{"issues": []}','2026-03-14 09:30:00.000000');
CREATE TABLE report (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	golfer_id INTEGER NOT NULL, 
	confidence INTEGER, 
	hurts JSON NOT NULL, 
	words VARCHAR NOT NULL, 
	reported_at DATETIME NOT NULL, 
	CONSTRAINT ck_report_confidence CHECK (confidence >= 0 AND confidence <= 10), 
	CONSTRAINT fk_report_golfer_id_golfer FOREIGN KEY(golfer_id) REFERENCES golfer (id) ON DELETE CASCADE
);
INSERT INTO "report" VALUES(1,1,6,'["left wrist"]','tired','2026-03-14 09:30:00.000000');
CREATE TABLE setting (
	name VARCHAR NOT NULL, 
	value JSON NOT NULL, 
	CONSTRAINT pk_setting PRIMARY KEY (name)
);
INSERT INTO "setting" VALUES('mode','"sun"');
CREATE TABLE swing (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	club_id INTEGER NOT NULL, 
	number INTEGER, 
	made_at DATETIME NOT NULL, 
	mount VARCHAR, 
	strike VARCHAR, 
	tried_feel VARCHAR, 
	tried_amount DOUBLE, 
	set_aside_at DATETIME, 
	set_aside_why VARCHAR NOT NULL, 
	recording_id INTEGER, 
	number_in_recording INTEGER, rep_did BOOLEAN, 
	CONSTRAINT fk_swing_club_id_club FOREIGN KEY(club_id) REFERENCES club (id) ON DELETE CASCADE, 
	CONSTRAINT fk_swing_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE, 
	CONSTRAINT fk_swing_recording_id_recording FOREIGN KEY(recording_id) REFERENCES recording (id) ON DELETE CASCADE, 
	CONSTRAINT uq_swing_lesson_id_number UNIQUE (lesson_id, number), 
	CONSTRAINT uq_swing_recording_id_number_in_recording UNIQUE (recording_id, number_in_recording)
);
INSERT INTO "swing" VALUES(1,1,1,1,'2026-03-14 09:30:00.000000','a','toe',NULL,NULL,NULL,'',1,1,1);
INSERT INTO "swing" VALUES(2,1,1,2,'2026-03-14 09:30:00.000000',NULL,NULL,'bow early',2.0,NULL,'',NULL,NULL,NULL);
CREATE TABLE swing_result (
	swing_id INTEGER NOT NULL, 
	method VARCHAR NOT NULL, 
	result JSON NOT NULL, 
	traces BLOB, 
	worked_out_at DATETIME NOT NULL, 
	CONSTRAINT pk_swing_result PRIMARY KEY (swing_id), 
	CONSTRAINT fk_swing_result_swing_id_swing FOREIGN KEY(swing_id) REFERENCES swing (id) ON DELETE CASCADE
);
INSERT INTO "swing_result" VALUES(1,'1','{"kind": "full_swing"}',X'46525431400000005B7B226E616D65223A202274696D655F73222C20226474797065223A20223C6638222C20227368617065223A205B325D2C20226C656E677468223A2032347D5D789C63F8C3B092E123C325065F86248602067B002EBA04C7','2026-03-14 09:30:00.000000');
CREATE TABLE trial (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	lesson_id INTEGER NOT NULL, 
	club_id INTEGER NOT NULL, 
	way_a VARCHAR NOT NULL, 
	way_b VARCHAR NOT NULL, 
	feel_a VARCHAR NOT NULL, 
	feel_b VARCHAR NOT NULL, 
	balls_a_block INTEGER NOT NULL, 
	golfers_word VARCHAR NOT NULL, 
	golfer_prefers VARCHAR, 
	started_at DATETIME NOT NULL, 
	ended_at DATETIME, 
	CONSTRAINT ck_trial_two_ways CHECK (way_a <> way_b), 
	CONSTRAINT fk_trial_club_id_club FOREIGN KEY(club_id) REFERENCES club (id) ON DELETE CASCADE, 
	CONSTRAINT fk_trial_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE
);
INSERT INTO "trial" VALUES(1,1,1,'grip','flexed_early','','',3,'',NULL,'2026-03-14 09:30:00.000000',NULL);
CREATE TABLE trial_ball (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	trial_id INTEGER NOT NULL, 
	swing_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	block INTEGER NOT NULL, 
	way VARCHAR NOT NULL, 
	CONSTRAINT ck_trial_ball_way CHECK (way IN ('a', 'b')), 
	CONSTRAINT fk_trial_ball_swing_id_swing FOREIGN KEY(swing_id) REFERENCES swing (id) ON DELETE CASCADE, 
	CONSTRAINT fk_trial_ball_trial_id_trial FOREIGN KEY(trial_id) REFERENCES trial (id) ON DELETE CASCADE, 
	CONSTRAINT uq_trial_ball_swing_id UNIQUE (swing_id), 
	CONSTRAINT uq_trial_ball_trial_id_number UNIQUE (trial_id, number)
);
INSERT INTO "trial_ball" VALUES(1,1,2,1,1,'a');
CREATE TABLE window (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	golfer_id INTEGER NOT NULL, 
	club_id INTEGER NOT NULL, 
	lesson_id INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	low DOUBLE NOT NULL, 
	high DOUBLE NOT NULL, 
	exaggerate_to DOUBLE, 
	set_at DATETIME NOT NULL, 
	CONSTRAINT ck_window_low_below_high CHECK (low < high), 
	CONSTRAINT fk_window_club_id_club FOREIGN KEY(club_id) REFERENCES club (id) ON DELETE CASCADE, 
	CONSTRAINT fk_window_golfer_id_golfer FOREIGN KEY(golfer_id) REFERENCES golfer (id) ON DELETE CASCADE, 
	CONSTRAINT fk_window_lesson_id_lesson FOREIGN KEY(lesson_id) REFERENCES lesson (id) ON DELETE CASCADE
);
INSERT INTO "window" VALUES(1,1,1,1,'wrist.top.flexion_deg',-8.0,2.0,NULL,'2026-03-14 09:30:00.000000');
CREATE INDEX ix_golfer_name ON golfer (name);
CREATE INDEX ix_club_golfer_id ON club (golfer_id);
CREATE INDEX ix_device_sign_device_id ON device_sign (device_id);
CREATE INDEX ix_lesson_golfer_id_started_at ON lesson (golfer_id, started_at);
CREATE INDEX ix_chosen_way_club_id ON chosen_way (club_id);
CREATE INDEX ix_chosen_way_golfer_id ON chosen_way (golfer_id);
CREATE INDEX ix_chosen_way_lesson_id ON chosen_way (lesson_id);
CREATE INDEX ix_entry_golfer_id_id ON entry (golfer_id, id);
CREATE INDEX ix_entry_lesson_id_id ON entry (lesson_id, id);
CREATE INDEX ix_note_lesson_id ON note (lesson_id);
CREATE INDEX ix_recording_calibration_id ON recording (calibration_id);
CREATE INDEX ix_recording_club_id ON recording (club_id);
CREATE INDEX ix_recording_column_mapping_id ON recording (column_mapping_id);
CREATE INDEX ix_recording_sha256 ON recording (sha256);
CREATE INDEX ix_trial_club_id ON trial (club_id);
CREATE INDEX ix_trial_lesson_id ON trial (lesson_id);
CREATE INDEX ix_window_club_id ON window (club_id);
CREATE INDEX ix_window_golfer_id ON window (golfer_id);
CREATE INDEX ix_window_lesson_id ON window (lesson_id);
CREATE INDEX ix_job_recording_id ON job (recording_id);
CREATE INDEX ix_job_state_id ON job (state, id);
CREATE INDEX ix_swing_club_id ON swing (club_id);
CREATE INDEX ix_swing_lesson_id_club_id ON swing (lesson_id, club_id);
CREATE INDEX ix_reading_club_id ON reading (club_id);
CREATE INDEX ix_reading_device_id ON reading (device_id);
CREATE INDEX ix_reading_lesson_id_key ON reading (lesson_id, "key");
CREATE INDEX ix_cold_test_club_id ON cold_test (club_id);
CREATE INDEX ix_cold_test_lesson_id ON cold_test (lesson_id);
CREATE INDEX ix_report_golfer_id ON report (golfer_id);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('golfer',1);
INSERT INTO "sqlite_sequence" VALUES('club',1);
INSERT INTO "sqlite_sequence" VALUES('device',1);
INSERT INTO "sqlite_sequence" VALUES('device_sign',1);
INSERT INTO "sqlite_sequence" VALUES('lesson',1);
INSERT INTO "sqlite_sequence" VALUES('note',1);
INSERT INTO "sqlite_sequence" VALUES('column_mapping',1);
INSERT INTO "sqlite_sequence" VALUES('recording',1);
INSERT INTO "sqlite_sequence" VALUES('job',1);
INSERT INTO "sqlite_sequence" VALUES('swing',2);
INSERT INTO "sqlite_sequence" VALUES('reading',2);
INSERT INTO "sqlite_sequence" VALUES('trial',1);
INSERT INTO "sqlite_sequence" VALUES('trial_ball',1);
INSERT INTO "sqlite_sequence" VALUES('chosen_way',1);
INSERT INTO "sqlite_sequence" VALUES('window',1);
INSERT INTO "sqlite_sequence" VALUES('cold_test',1);
INSERT INTO "sqlite_sequence" VALUES('cold_ball',1);
INSERT INTO "sqlite_sequence" VALUES('report',1);
INSERT INTO "sqlite_sequence" VALUES('own_drill',1);
INSERT INTO "sqlite_sequence" VALUES('entry',1);
COMMIT;
