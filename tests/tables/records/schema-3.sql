CREATE TABLE migrations (name text primary key, applied text not null);
CREATE TABLE jobs (id integer primary key autoincrement, name text not null unique collate nocase, created text not null, closed text);
CREATE TABLE sessions (
        id integer primary key autoincrement, uid text not null unique,
        job integer references jobs(id), started text not null, seconds real not null default 0,
        source text not null, source_key text, recogniser text, by text,
        state text not null default 'open' check (state in ('open', 'unfinished', 'finished')),
        reached real not null default 0, settled integer not null default 0);
CREATE INDEX sessions_job on sessions(job, started);
CREATE INDEX sessions_source on sessions(source_key);
CREATE TABLE notes (
        id integer primary key autoincrement, session integer not null references sessions(id) on delete cascade, position integer not null,
        "start" real, "end" real, text text not null, confidence real, unheard integer not null default 0, by text,
        others text not null default '[]', struck integer not null default 0, added text not null, unique (session, position));
CREATE TABLE facts (
        id integer primary key, note integer not null references notes(id) on delete cascade, position integer not null,
        kind text not null, "start" integer not null, "end" integer not null, rule text not null, body text not null);
CREATE INDEX facts_note on facts(note);
CREATE TABLE sounds (
        id integer primary key, session integer not null references sessions(id) on delete cascade, "start" real not null, seconds real not null,
        file text not null, forgotten text, unique (session, file));
CREATE TABLE entries (
        id integer primary key autoincrement, session integer not null references sessions(id) on delete cascade, position integer not null,
        part text, place text, fastener text, count integer, thread text, grade text, length_mm real, state text,
        tool text, tool_size real, tool_size_unit text, compound text, strength text,
        complete integer not null default 0, unclear text, struck integer not null default 0, fixed integer not null default 0,
        verdict text, words text not null, reading text not null, body text not null, judgement text not null default '{}', on_sheet integer not null default 0, doubtful integer not null default 0);
CREATE INDEX entries_session on entries(session, position);
CREATE INDEX entries_part on entries(part);
CREATE INDEX entries_verdict on entries(verdict);
CREATE TABLE entry_notes (
        entry integer not null references entries(id) on delete cascade, note integer not null references notes(id) on delete cascade,
        primary key (entry, note)) without rowid;
CREATE INDEX entry_notes_note on entry_notes(note);
CREATE TABLE torques (
        entry integer not null references entries(id) on delete cascade, position integer not null, value real not null, unit text, nm real,
        angle_deg real, stage integer, hedged integer not null default 0, low real, high real, verdict text, reason text,
        primary key (entry, position)) without rowid;
CREATE INDEX torques_nm on torques(nm);
CREATE TABLE measures (
        entry integer not null references entries(id) on delete cascade, position integer not null, quantity text, value real not null,
        unit text not null, verdict text, reason text, primary key (entry, position)) without rowid;
CREATE TABLE findings (
        entry integer not null references entries(id) on delete cascade, position integer not null, code text not null, reason text not null,
        primary key (entry, position)) without rowid;
CREATE TABLE open_items (
        id integer primary key autoincrement, uid text not null unique,
        job integer references jobs(id), session integer references sessions(id) on delete set null,
        kind text not null check (kind in ('question', 'verify', 'todo', 'buy', 'fault')), text text not null, count integer, part text,
        state text not null default 'open' check (state in ('open', 'answered', 'dropped')), raised text not null, ended text, ended_by text);
CREATE INDEX open_items_job on open_items(job, state, kind);
CREATE TABLE open_item_notes (
        item integer not null references open_items(id) on delete cascade, note integer not null references notes(id) on delete cascade,
        text text not null, primary key (item, note, text)) without rowid;
CREATE INDEX open_item_notes_note on open_item_notes(note);
CREATE TABLE spec_sheets (
        id integer primary key, job integer references jobs(id), name text not null, loaded text not null, current integer not null default 1,
        text text not null, refused text not null default '[]');
CREATE INDEX spec_sheets_job on spec_sheets(job, current);
CREATE TABLE spec_rows (
        sheet integer not null references spec_sheets(id) on delete cascade, line integer not null, kind text not null, part text not null,
        place text, fastener text, thread text, quantity text, torque real, unit text, low real, high real, body text not null,
        primary key (sheet, kind, line)) without rowid;
CREATE TABLE history (
        id integer primary key, at text not null, what text not null, target integer not null, action text not null, field text,
        before text, after text, reason text not null default '');
CREATE INDEX history_target on history(what, target);
CREATE TABLE tool_sheets (
        id integer primary key, name text not null, loaded text not null, current integer not null default 1, text text not null);
CREATE TABLE learnt_joints (
        job integer references jobs(id), entry_key text not null, row_key text not null, learnt text not null);
CREATE INDEX learnt_joints_job on learnt_joints(job, entry_key);
CREATE TABLE terms (term text primary key, uses integer not null) without rowid;
CREATE VIRTUAL TABLE entries_fts using fts5(words, content='entries', content_rowid='id', tokenize='unicode61 remove_diacritics 2');
CREATE TRIGGER entries_added after insert on entries begin
        insert into entries_fts(rowid, words) values (new.id, new.words); end;
CREATE TRIGGER entries_removed after delete on entries begin
        insert into entries_fts(entries_fts, rowid, words) values ('delete', old.id, old.words); end;
CREATE TRIGGER entries_changed after update of words on entries begin
        insert into entries_fts(entries_fts, rowid, words) values ('delete', old.id, old.words);
        insert into entries_fts(rowid, words) values (new.id, new.words); end;
CREATE VIRTUAL TABLE notes_fts using fts5(text, content='notes', content_rowid='id', tokenize='unicode61 remove_diacritics 2');
CREATE TRIGGER notes_added after insert on notes begin
        insert into notes_fts(rowid, text) values (new.id, new.text); end;
CREATE TRIGGER notes_removed after delete on notes begin
        insert into notes_fts(notes_fts, rowid, text) values ('delete', old.id, old.text); end;
CREATE TRIGGER notes_changed after update of text on notes begin
        insert into notes_fts(notes_fts, rowid, text) values ('delete', old.id, old.text);
        insert into notes_fts(rowid, text) values (new.id, new.text); end;
CREATE TABLE pictures (
        id integer primary key autoincrement, note integer not null references notes(id) on delete cascade,
        file text not null, name text not null, form text not null check (form in ('jpeg', 'png', 'webp')), bytes integer not null,
        sha256 text not null, added text not null, forgotten text);
CREATE INDEX pictures_note on pictures(note);
CREATE INDEX entries_on_sheet on entries(session) where on_sheet = 1;
CREATE INDEX entries_doubtful on entries(session) where doubtful = 1;
INSERT INTO "entries" VALUES(1,1,0,'gearbox lid',NULL,'bolt',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,0,NULL,0,0,'no reference','gearbox lid bolt torque 24 N·m nm newton metres no reference gearbox lid bolts at 24 newton metres','{"part":"gearbox lid","fastener":"bolt","torques":[{"value":24.0,"unit":"N*m","nm":24.0,"note":0}],"notes":[0],"how":["note 1: names gearbox lid bolt","note 1: 24 N·m, its joint was named in the same note"]}','{"part":"gearbox lid","fastener":"bolt","torques":[{"value":24.0,"unit":"N*m","nm":24.0,"note":0}],"notes":[0],"how":["note 1: names gearbox lid bolt","note 1: 24 N·m, its joint was named in the same note"]}','{"verdicts":[{"code":"no reference","of":"24 N·m","reason":"There is no spec sheet to hold 24 N·m against.","torque":0}],"cautions":[{"code":"manual-decides","text":"The maker''s manual decides; this is a comparison, and no specification."}]}',0,0);
INSERT INTO "entry_notes" VALUES(1,1);
INSERT INTO "facts" VALUES(1,1,0,'part',0,11,'parts:before-fastener (part_nouns.csv row 1315)','{"kind":"part","name":"gearbox lid","span":[0,11],"rule":"parts:before-fastener (part_nouns.csv row 1315)"}');
INSERT INTO "facts" VALUES(2,1,1,'fastener',12,17,'fasteners:word (fasteners.csv row 2)','{"kind":"fastener","fastener":"bolt","span":[12,17],"rule":"fasteners:word (fasteners.csv row 2)"}');
INSERT INTO "facts" VALUES(3,1,2,'torque',21,37,'torques:figure-unit','{"kind":"torque","value":24.0,"unit":"N*m","nm":24.0,"span":[21,37],"rule":"torques:figure-unit","part":"gearbox lid"}');
INSERT INTO "migrations" VALUES('first tables','2026-11-26T01:22:12.449000Z');
INSERT INTO "migrations" VALUES('pictures','2026-11-26T01:22:12.449000Z');
INSERT INTO "migrations" VALUES('judged','2026-11-26T01:22:12.449000Z');
INSERT INTO "notes" VALUES(1,1,0,NULL,NULL,'gearbox lid bolts at 24 newton metres',NULL,0,NULL,'[]',0,'2026-11-26T01:22:15.185000Z');
INSERT INTO "sessions" VALUES(1,'fbf603a784b3f8ff09dc',NULL,'2026-11-26T01:22:15.178924Z',0.0,'typed','typed',NULL,NULL,'open',0.0,1);
INSERT INTO "terms" VALUES('bolt',0);
INSERT INTO "terms" VALUES('bolts',1);
INSERT INTO "terms" VALUES('gearbox',1);
INSERT INTO "terms" VALUES('lid',1);
INSERT INTO "terms" VALUES('metres',1);
INSERT INTO "terms" VALUES('newton',1);
INSERT INTO "terms" VALUES('reference',0);
INSERT INTO "terms" VALUES('torque',0);
INSERT INTO "torques" VALUES(1,0,24.0,'N*m',24.0,NULL,NULL,0,NULL,NULL,'no reference','There is no spec sheet to hold 24 N·m against.');
pragma user_version = 3;
