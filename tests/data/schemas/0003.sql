BEGIN TRANSACTION;
CREATE TABLE alembic_version (
    version_num VARCHAR(32) NOT NULL,
    CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0003');
CREATE TABLE drill_result (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	segment_id INTEGER NOT NULL, 
	drill VARCHAR, 
	stops INTEGER, 
	tries INTEGER, 
	CONSTRAINT ck_drill_result_stops CHECK (stops >= 0), 
	CONSTRAINT ck_drill_result_tries CHECK (tries >= 0), 
	CONSTRAINT ck_drill_result_within CHECK (stops <= tries), 
	CONSTRAINT uq_drill_result_segment_id UNIQUE (segment_id), 
	CONSTRAINT fk_drill_result_segment_id_segment FOREIGN KEY(segment_id) REFERENCES segment (id) ON DELETE CASCADE
);
INSERT INTO "drill_result" VALUES(1,6,'shell-four',7,10);
INSERT INTO "drill_result" VALUES(2,8,'close-hard',5,NULL);
CREATE TABLE emphasis (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	principle VARCHAR NOT NULL, 
	factor FLOAT NOT NULL, 
	since DATE NOT NULL, 
	CONSTRAINT ck_emphasis_principle CHECK (length(principle) > 0), 
	CONSTRAINT ck_emphasis_factor CHECK (factor >= 0), 
	CONSTRAINT fk_emphasis_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "emphasis" VALUES(1,1,'tag',1.5,'2027-01-13');
CREATE TABLE film_note (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	digest VARCHAR NOT NULL, 
	size INTEGER NOT NULL, 
	packed BOOLEAN NOT NULL, 
	raw BLOB NOT NULL, 
	CONSTRAINT uq_film_note_team_id_digest UNIQUE (team_id, digest), 
	CONSTRAINT ck_film_note_kind CHECK (kind IN ('sheet', 'table', 'captions')), 
	CONSTRAINT ck_film_note_digest CHECK (length(digest) = 64), 
	CONSTRAINT ck_film_note_size CHECK (size >= 0), 
	CONSTRAINT ck_film_note_packed CHECK (packed IN (0, 1)), 
	CONSTRAINT fk_film_note_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "film_note" VALUES(1,1,'quarter.txt','sheet','0675d1174c719c3e398bd929e959136c40c5ff37e9b6147a7bc303398f85a0f5',400,1,X'78DA2B30543052C82B51B0E02A18650D02160081B75D99');
CREATE TABLE fixed_block (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	title VARCHAR NOT NULL, 
	minutes INTEGER NOT NULL, 
	at_word VARCHAR, 
	at_minute INTEGER, 
	effort INTEGER NOT NULL, 
	halves INTEGER NOT NULL, 
	shares JSON NOT NULL, 
	weekday INTEGER, 
	CONSTRAINT ck_fixed_block_title CHECK (length(title) > 0), 
	CONSTRAINT ck_fixed_block_minutes CHECK (minutes > 0), 
	CONSTRAINT ck_fixed_block_at CHECK (at_word IN ('first', 'last') AND at_minute IS NULL OR at_word IS NULL AND at_minute >= 0), 
	CONSTRAINT ck_fixed_block_effort CHECK (effort BETWEEN 0 AND 10), 
	CONSTRAINT ck_fixed_block_halves CHECK (halves BETWEEN 0 AND 2), 
	CONSTRAINT ck_fixed_block_weekday CHECK (weekday BETWEEN 0 AND 6), 
	CONSTRAINT fk_fixed_block_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "fixed_block" VALUES(1,1,'Sideline plays',8,'last',NULL,3,1,'{"vision":1}',NULL);
CREATE TABLE game (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	opponent VARCHAR NOT NULL, 
	venue VARCHAR NOT NULL, 
	possessions INTEGER, 
	scouted BOOLEAN NOT NULL, 
	chances JSON NOT NULL, 
	CONSTRAINT ck_game_venue CHECK (venue IN ('', 'home', 'away', 'neutral')), 
	CONSTRAINT ck_game_possessions CHECK (possessions >= 0), 
	CONSTRAINT ck_game_scouted CHECK (scouted IN (0, 1)), 
	CONSTRAINT fk_game_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "game" VALUES(1,1,'2027-01-12','Marlow Lane','home',NULL,0,'{"no-tag":9}');
CREATE TABLE gym_window (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	weekday INTEGER, 
	date DATE, 
	rrule VARCHAR, 
	first DATE, 
	start INTEGER NOT NULL, 
	"end" INTEGER NOT NULL, 
	halves INTEGER NOT NULL, 
	note VARCHAR NOT NULL, 
	CONSTRAINT ck_gym_window_when CHECK ((weekday IS NOT NULL) + (date IS NOT NULL) + (rrule IS NOT NULL) = 1), 
	CONSTRAINT ck_gym_window_weekday CHECK (weekday BETWEEN 0 AND 6), 
	CONSTRAINT ck_gym_window_hours CHECK (start BETWEEN 0 AND 1439 AND "end" > start AND "end" <= 2880), 
	CONSTRAINT ck_gym_window_halves CHECK (halves BETWEEN 0 AND 2), 
	CONSTRAINT fk_gym_window_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "gym_window" VALUES(1,1,2,NULL,NULL,NULL,960,1080,2,'');
CREATE TABLE intake (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	film_note_id INTEGER NOT NULL, 
	game_id INTEGER NOT NULL, 
	stamp DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	possessions INTEGER, 
	problems JSON NOT NULL, 
	heading JSON NOT NULL, 
	undone BOOLEAN NOT NULL, 
	CONSTRAINT ck_intake_possessions CHECK (possessions >= 0), 
	CONSTRAINT ck_intake_undone CHECK (undone IN (0, 1)), 
	CONSTRAINT fk_intake_film_note_id_film_note FOREIGN KEY(film_note_id) REFERENCES film_note (id) ON DELETE CASCADE, 
	CONSTRAINT fk_intake_game_id_game FOREIGN KEY(game_id) REFERENCES game (id)
);
INSERT INTO "intake" VALUES(1,1,1,'2027-01-12 20:15:30.000000','quarter.txt',3,'["quarter.txt:9: a line is not text"]','{"date":"2027-01-12","opponent":"Marlow Lane","venue":"home"}',0);
CREATE TABLE "journal" (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	stamp DATETIME NOT NULL, 
	verb VARCHAR NOT NULL, 
	words VARCHAR NOT NULL, 
	payload JSON NOT NULL, 
	undone BOOLEAN NOT NULL, 
	coach VARCHAR, 
	CONSTRAINT fk_journal_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE, 
	CONSTRAINT ck_journal_verb CHECK (length(verb) > 0), 
	CONSTRAINT ck_journal_undone CHECK (undone IN (0, 1))
);
INSERT INTO "journal" VALUES(1,1,'2027-01-12 20:15:30.000000','team','Set up Herons','{"before":null}',0,NULL);
INSERT INTO "journal" VALUES(2,1,'2027-01-12 20:15:30.000000','teach','taught','{"on":true,"breakdown":"no-tag"}',0,'Ada');
CREATE TABLE kept_plan (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	start INTEGER NOT NULL, 
	stamp DATETIME NOT NULL, 
	coach VARCHAR, 
	"plan" JSON NOT NULL, 
	brief JSON NOT NULL, 
	CONSTRAINT ck_kept_plan_start CHECK (start BETWEEN 0 AND 1439), 
	CONSTRAINT fk_kept_plan_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "kept_plan" VALUES(1,1,'2027-01-13',970,'2027-01-12 20:15:30.000000','Ada','{"date":"2027-01-13","start":970,"minutes":30,"objective":1.234567890123,"bound":1.3,"proven":false,"seconds":4.25,"segments":[{"start":970,"minutes":8,"kind":"warm-up","title":"Loosen up","stations":[],"shares":{},"why":"","effort":3},{"start":978,"minutes":12,"kind":"drill","title":"Two ends","stations":[{"drill":"shell-four","group":"Red","players":["0","00","4"],"half":"A"},{"drill":"tag-and-out","group":"Blue","players":["7","12"],"half":"B"}],"shares":{"tag":9,"talk":3},"why":"0.9 per 100","effort":6},{"start":990,"minutes":2,"kind":"water","title":"Water","stations":[],"shares":{},"why":"every 25 minutes","effort":0},{"start":992,"minutes":8,"kind":"fixed","title":"Sideline — plays","stations":[],"shares":{"vision":1},"why":"","effort":4}],"left_out":[{"drill":"box-circle","why":"ran in the last two practices"}],"warnings":["One coach for two ends."]}','{"minutes":30}');
CREATE TABLE player (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	jersey VARCHAR NOT NULL, 
	name VARCHAR NOT NULL, 
	position VARCHAR NOT NULL, 
	active BOOLEAN NOT NULL, 
	CONSTRAINT uq_player_team_id_jersey UNIQUE (team_id, jersey), 
	CONSTRAINT ck_player_jersey CHECK (length(trim(jersey)) BETWEEN 1 AND 12), 
	CONSTRAINT ck_player_active CHECK (active IN (0, 1)), 
	CONSTRAINT fk_player_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "player" VALUES(1,1,'0','','',1);
INSERT INTO "player" VALUES(2,1,'00','','',1);
INSERT INTO "player" VALUES(3,1,'4','','',1);
CREATE TABLE possession (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	intake_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	period VARCHAR, 
	clock VARCHAR, 
	points INTEGER, 
	line INTEGER, 
	CONSTRAINT uq_possession_intake_id_number UNIQUE (intake_id, number), 
	CONSTRAINT ck_possession_number CHECK (number >= 1), 
	CONSTRAINT ck_possession_points CHECK (points >= 0), 
	CONSTRAINT fk_possession_intake_id_intake FOREIGN KEY(intake_id) REFERENCES intake (id) ON DELETE CASCADE
);
INSERT INTO "possession" VALUES(1,1,1,'1','08:42',2,3);
INSERT INTO "possession" VALUES(2,1,2,'1','08:10',0,4);
INSERT INTO "possession" VALUES(3,1,3,'1',NULL,NULL,5);
CREATE TABLE practice (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	start INTEGER NOT NULL, 
	minutes INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	saved INTEGER NOT NULL, 
	objective FLOAT, 
	bound FLOAT, 
	proven BOOLEAN, 
	took FLOAT, 
	load FLOAT, 
	warnings JSON NOT NULL, 
	left_out JSON NOT NULL, 
	brief JSON NOT NULL, 
	began INTEGER, 
	rating INTEGER, 
	absent JSON NOT NULL, 
	CONSTRAINT uq_practice_team_id_date_start UNIQUE (team_id, date, start), 
	CONSTRAINT ck_practice_state CHECK (state IN ('planned', 'done')), 
	CONSTRAINT ck_practice_start CHECK (start BETWEEN 0 AND 1439), 
	CONSTRAINT ck_practice_began CHECK ((began IS NOT NULL) = (state = 'done') AND ifnull(began, 0) BETWEEN 0 AND 1439), 
	CONSTRAINT ck_practice_minutes CHECK (minutes > 0), 
	CONSTRAINT ck_practice_rating CHECK (rating BETWEEN 0 AND 10), 
	CONSTRAINT ck_practice_took CHECK (took >= 0), 
	CONSTRAINT ck_practice_plan CHECK ((objective IS NULL) = (bound IS NULL) AND (objective IS NULL) = (proven IS NULL) AND (objective IS NULL) = (took IS NULL)), 
	CONSTRAINT ck_practice_planned CHECK (state = 'done' OR objective IS NOT NULL), 
	CONSTRAINT ck_practice_proven CHECK (proven IN (0, 1)), 
	CONSTRAINT fk_practice_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "practice" VALUES(1,1,'2027-01-13',970,30,'done',1,1.234567890123,1.3,0,4.25,128.0,'["One coach for two ends."]','[["box-circle","ran in the last two practices"]]','{"minutes":30}',970,6,'["12","00"]');
CREATE TABLE progress (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	team_id INTEGER NOT NULL, 
	principle VARCHAR NOT NULL, 
	stage VARCHAR, 
	date DATE NOT NULL, 
	how VARCHAR NOT NULL, 
	CONSTRAINT ck_progress_principle CHECK (length(principle) > 0), 
	CONSTRAINT ck_progress_stage CHECK (stage IN ('walk', 'guided', 'contested', 'live')), 
	CONSTRAINT fk_progress_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "progress" VALUES(1,1,'tag','guided','2027-01-13','7 of 10 twice');
CREATE TABLE proposal (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	intake_id INTEGER NOT NULL, 
	sighting_id INTEGER, 
	breakdown VARCHAR NOT NULL, 
	line INTEGER, 
	start VARCHAR, 
	"end" VARCHAR, 
	sure FLOAT NOT NULL, 
	text VARCHAR NOT NULL, 
	wording VARCHAR NOT NULL, 
	players JSON NOT NULL, 
	asks JSON NOT NULL, 
	answer VARCHAR, 
	CONSTRAINT ck_proposal_breakdown CHECK (length(breakdown) > 0), 
	CONSTRAINT ck_proposal_sure CHECK (sure BETWEEN 0 AND 1), 
	CONSTRAINT ck_proposal_answer CHECK (length(answer) > 0), 
	CONSTRAINT ck_proposal_counts CHECK (sighting_id IS NULL OR (answer IS NOT NULL AND answer <> 'no')), 
	CONSTRAINT fk_proposal_intake_id_intake FOREIGN KEY(intake_id) REFERENCES intake (id) ON DELETE CASCADE, 
	CONSTRAINT fk_proposal_sighting_id_sighting FOREIGN KEY(sighting_id) REFERENCES sighting (id), 
	CONSTRAINT uq_proposal_sighting_id UNIQUE (sighting_id)
);
INSERT INTO "proposal" VALUES(1,1,NULL,'no-tag',3,'00:01:02.000','00:01:04.000',0.75,'never tags','never tags','["8"]','[]',NULL);
CREATE TABLE segment (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	practice_id INTEGER NOT NULL, 
	side VARCHAR NOT NULL, 
	position INTEGER NOT NULL, 
	start INTEGER, 
	seconds INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	title VARCHAR NOT NULL, 
	drill VARCHAR, 
	stage VARCHAR, 
	shares JSON NOT NULL, 
	why VARCHAR NOT NULL, 
	effort INTEGER NOT NULL, 
	CONSTRAINT uq_segment_practice_id_side_position UNIQUE (practice_id, side, position), 
	CONSTRAINT ck_segment_side CHECK (side IN ('planned', 'done')), 
	CONSTRAINT ck_segment_kind CHECK (kind IN ('drill', 'warm-up', 'water', 'fixed', 'set-up', 'cool-down')), 
	CONSTRAINT ck_segment_start CHECK ((start IS NOT NULL) = (side = 'planned') AND ifnull(start, 0) >= 0), 
	CONSTRAINT ck_segment_seconds CHECK (seconds > 0 OR side = 'done' AND seconds = 0), 
	CONSTRAINT ck_segment_whole_minutes CHECK (side = 'done' OR seconds % 60 = 0), 
	CONSTRAINT ck_segment_effort CHECK (effort BETWEEN 0 AND 10), 
	CONSTRAINT fk_segment_practice_id_practice FOREIGN KEY(practice_id) REFERENCES practice (id) ON DELETE CASCADE
);
INSERT INTO "segment" VALUES(1,1,'planned',0,970,480,'warm-up','Loosen up',NULL,NULL,'{}','',3);
INSERT INTO "segment" VALUES(2,1,'planned',1,978,720,'drill','Two ends',NULL,NULL,'{"tag":9,"talk":3}','0.9 per 100',6);
INSERT INTO "segment" VALUES(3,1,'planned',2,990,120,'water','Water',NULL,NULL,'{}','every 25 minutes',0);
INSERT INTO "segment" VALUES(4,1,'planned',3,992,480,'fixed','Sideline — plays',NULL,NULL,'{"vision":1}','',4);
INSERT INTO "segment" VALUES(5,1,'done',0,NULL,430,'warm-up','Loosen up',NULL,NULL,'{}','',0);
INSERT INTO "segment" VALUES(6,1,'done',1,NULL,695,'drill','Two ends','shell-four','contested','{"tag":9}','',6);
INSERT INTO "segment" VALUES(7,1,'done',2,NULL,0,'drill','Left out','tag-and-out','guided','{}','',0);
INSERT INTO "segment" VALUES(8,1,'done',3,NULL,300,'drill','Open count','close-hard','live','{"closeout":20}','',8);
INSERT INTO "segment" VALUES(9,1,'done',4,NULL,125,'water','Water',NULL,NULL,'{}','',0);
CREATE TABLE setting (
	team_id INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	value JSON NOT NULL, 
	CONSTRAINT pk_setting PRIMARY KEY (team_id, "key"), 
	CONSTRAINT ck_setting_key CHECK (length(key) > 0), 
	CONSTRAINT fk_setting_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "setting" VALUES(1,'practice.minutes',95);
CREATE TABLE sighting (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	intake_id INTEGER NOT NULL, 
	unclear_id INTEGER, 
	breakdown VARCHAR NOT NULL, 
	line INTEGER, 
	start VARCHAR, 
	"end" VARCHAR, 
	points INTEGER, 
	seen INTEGER NOT NULL, 
	sure FLOAT NOT NULL, 
	text VARCHAR NOT NULL, 
	possession INTEGER, 
	CONSTRAINT uq_sighting_unclear_id UNIQUE (unclear_id), 
	CONSTRAINT ck_sighting_breakdown CHECK (length(breakdown) > 0), 
	CONSTRAINT ck_sighting_points CHECK (points >= 0), 
	CONSTRAINT ck_sighting_seen CHECK (seen >= 1), 
	CONSTRAINT ck_sighting_sure CHECK (sure BETWEEN 0 AND 1), 
	CONSTRAINT fk_sighting_intake_id_intake FOREIGN KEY(intake_id) REFERENCES intake (id) ON DELETE CASCADE, 
	CONSTRAINT fk_sighting_unclear_id_unclear FOREIGN KEY(unclear_id) REFERENCES unclear (id) ON DELETE CASCADE
);
INSERT INTO "sighting" VALUES(1,1,NULL,'no-tag',3,NULL,NULL,2,1,1.0,'8 and 00 nt',1);
INSERT INTO "sighting" VALUES(2,1,NULL,'late-closeout',3,NULL,NULL,NULL,1,0.75,'late',1);
INSERT INTO "sighting" VALUES(3,1,NULL,'no-box-out',5,'00:01:02.000','00:01:04.000',3,2,1.0,'nbo x2',3);
INSERT INTO "sighting" VALUES(4,1,1,'no-talk',6,NULL,NULL,NULL,1,1.0,'?? 14 zzz',NULL);
CREATE TABLE sighting_player (
	sighting_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	jersey VARCHAR NOT NULL, 
	CONSTRAINT pk_sighting_player PRIMARY KEY (sighting_id, position), 
	CONSTRAINT ck_sighting_player_jersey CHECK (length(jersey) > 0), 
	CONSTRAINT fk_sighting_player_sighting_id_sighting FOREIGN KEY(sighting_id) REFERENCES sighting (id) ON DELETE CASCADE
);
INSERT INTO "sighting_player" VALUES(1,0,'8');
INSERT INTO "sighting_player" VALUES(1,1,'00');
INSERT INTO "sighting_player" VALUES(3,0,'0');
INSERT INTO "sighting_player" VALUES(4,0,'14');
CREATE TABLE station (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	segment_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	drill VARCHAR NOT NULL, 
	"group" VARCHAR NOT NULL, 
	half VARCHAR NOT NULL, 
	players JSON NOT NULL, 
	CONSTRAINT uq_station_segment_id_position UNIQUE (segment_id, position), 
	CONSTRAINT ck_station_half CHECK (half IN ('A', 'B', 'full')), 
	CONSTRAINT fk_station_segment_id_segment FOREIGN KEY(segment_id) REFERENCES segment (id) ON DELETE CASCADE
);
INSERT INTO "station" VALUES(1,2,0,'shell-four','Red','A','["0","00","4"]');
INSERT INTO "station" VALUES(2,2,1,'tag-and-out','Blue','B','["7","12"]');
CREATE TABLE switched_off (
	team_id INTEGER NOT NULL, 
	breakdown VARCHAR NOT NULL, 
	CONSTRAINT pk_switched_off PRIMARY KEY (team_id, breakdown), 
	CONSTRAINT ck_switched_off_breakdown CHECK (length(breakdown) > 0), 
	CONSTRAINT fk_switched_off_team_id_team FOREIGN KEY(team_id) REFERENCES team (id) ON DELETE CASCADE
);
INSERT INTO "switched_off" VALUES(1,'hands-down');
CREATE TABLE team (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name VARCHAR NOT NULL, 
	season_start DATE, 
	season_end DATE, 
	level VARCHAR NOT NULL, 
	CONSTRAINT ck_team_name CHECK (length(name) > 0), 
	CONSTRAINT ck_team_season CHECK (season_end >= season_start)
);
INSERT INTO "team" VALUES(1,'Herons','2026-10-01','2027-03-31','under 18');
CREATE TABLE unclear (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	intake_id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	why VARCHAR NOT NULL, 
	line INTEGER, 
	start VARCHAR, 
	sorted_as VARCHAR, 
	CONSTRAINT ck_unclear_sorted_as CHECK (length(sorted_as) > 0), 
	CONSTRAINT fk_unclear_intake_id_intake FOREIGN KEY(intake_id) REFERENCES intake (id) ON DELETE CASCADE
);
INSERT INTO "unclear" VALUES(1,1,'?? 14 zzz','no breakdown is written like this',6,NULL,'no-talk');
CREATE INDEX ix_game_team_id_date ON game (team_id, date);
CREATE INDEX ix_gym_window_team_id ON gym_window (team_id);
CREATE INDEX ix_fixed_block_team_id ON fixed_block (team_id);
CREATE INDEX ix_emphasis_team_id_since ON emphasis (team_id, since);
CREATE INDEX ix_progress_team_id_date ON progress (team_id, date);
CREATE INDEX ix_intake_game_id ON intake (game_id);
CREATE INDEX ix_intake_film_note_id ON intake (film_note_id);
CREATE UNIQUE INDEX uq_intake_film_note_id_live ON intake (film_note_id) WHERE undone = 0;
CREATE INDEX ix_unclear_intake_id ON unclear (intake_id);
CREATE INDEX ix_sighting_intake_id ON sighting (intake_id);
CREATE INDEX ix_proposal_intake_id ON proposal (intake_id);
CREATE INDEX ix_journal_team_id_undone ON journal (team_id, undone);
CREATE INDEX ix_kept_plan_team_id_date ON kept_plan (team_id, date);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('team',1);
INSERT INTO "sqlite_sequence" VALUES('player',3);
INSERT INTO "sqlite_sequence" VALUES('game',1);
INSERT INTO "sqlite_sequence" VALUES('film_note',1);
INSERT INTO "sqlite_sequence" VALUES('intake',1);
INSERT INTO "sqlite_sequence" VALUES('possession',3);
INSERT INTO "sqlite_sequence" VALUES('unclear',1);
INSERT INTO "sqlite_sequence" VALUES('sighting',4);
INSERT INTO "sqlite_sequence" VALUES('practice',1);
INSERT INTO "sqlite_sequence" VALUES('segment',9);
INSERT INTO "sqlite_sequence" VALUES('station',2);
INSERT INTO "sqlite_sequence" VALUES('drill_result',2);
INSERT INTO "sqlite_sequence" VALUES('gym_window',1);
INSERT INTO "sqlite_sequence" VALUES('fixed_block',1);
INSERT INTO "sqlite_sequence" VALUES('emphasis',1);
INSERT INTO "sqlite_sequence" VALUES('progress',1);
INSERT INTO "sqlite_sequence" VALUES('proposal',1);
INSERT INTO "sqlite_sequence" VALUES('journal',2);
INSERT INTO "sqlite_sequence" VALUES('kept_plan',1);
COMMIT;
