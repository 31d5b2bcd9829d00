"""The tables of the record, statement by statement, migration by migration, and the number of the newest schema."""

from __future__ import annotations

FIRST_TABLES = (
    "create table migrations (name text primary key, applied text not null)",
    "create table jobs (id integer primary key autoincrement, name text not null unique collate nocase, created text not null, closed text)",
    """create table sessions (
        id integer primary key autoincrement, uid text not null unique,
        job integer references jobs(id), started text not null, seconds real not null default 0,
        source text not null, source_key text, recogniser text, by text,
        state text not null default 'open' check (state in ('open', 'unfinished', 'finished')),
        reached real not null default 0, settled integer not null default 0)""",
    "create index sessions_job on sessions(job, started)",
    "create index sessions_source on sessions(source_key)",
    """create table notes (
        id integer primary key autoincrement, session integer not null references sessions(id) on delete cascade, position integer not null,
        "start" real, "end" real, text text not null, confidence real, unheard integer not null default 0, by text,
        others text not null default '[]', struck integer not null default 0, added text not null, unique (session, position))""",
    """create table facts (
        id integer primary key, note integer not null references notes(id) on delete cascade, position integer not null,
        kind text not null, "start" integer not null, "end" integer not null, rule text not null, body text not null)""",
    "create index facts_note on facts(note)",
    """create table sounds (
        id integer primary key, session integer not null references sessions(id) on delete cascade, "start" real not null, seconds real not null,
        file text not null, forgotten text, unique (session, file))""",
    """create table entries (
        id integer primary key autoincrement, session integer not null references sessions(id) on delete cascade, position integer not null,
        part text, place text, fastener text, count integer, thread text, grade text, length_mm real, state text,
        tool text, tool_size real, tool_size_unit text, compound text, strength text,
        complete integer not null default 0, unclear text, struck integer not null default 0, fixed integer not null default 0,
        verdict text, words text not null, reading text not null, body text not null, judgement text not null default '{}')""",
    "create index entries_session on entries(session, position)",
    "create index entries_part on entries(part)",
    "create index entries_verdict on entries(verdict)",
    """create table entry_notes (
        entry integer not null references entries(id) on delete cascade, note integer not null references notes(id) on delete cascade,
        primary key (entry, note)) without rowid""",
    "create index entry_notes_note on entry_notes(note)",
    """create table torques (
        entry integer not null references entries(id) on delete cascade, position integer not null, value real not null, unit text, nm real,
        angle_deg real, stage integer, hedged integer not null default 0, low real, high real, verdict text, reason text,
        primary key (entry, position)) without rowid""",
    "create index torques_nm on torques(nm)",
    """create table measures (
        entry integer not null references entries(id) on delete cascade, position integer not null, quantity text, value real not null,
        unit text not null, verdict text, reason text, primary key (entry, position)) without rowid""",
    """create table findings (
        entry integer not null references entries(id) on delete cascade, position integer not null, code text not null, reason text not null,
        primary key (entry, position)) without rowid""",
    """create table open_items (
        id integer primary key autoincrement, uid text not null unique,
        job integer references jobs(id), session integer references sessions(id) on delete set null,
        kind text not null check (kind in ('question', 'verify', 'todo', 'buy', 'fault')), text text not null, count integer, part text,
        state text not null default 'open' check (state in ('open', 'answered', 'dropped')), raised text not null, ended text, ended_by text)""",
    "create index open_items_job on open_items(job, state, kind)",
    """create table open_item_notes (
        item integer not null references open_items(id) on delete cascade, note integer not null references notes(id) on delete cascade,
        text text not null, primary key (item, note, text)) without rowid""",
    "create index open_item_notes_note on open_item_notes(note)",
    """create table spec_sheets (
        id integer primary key, job integer references jobs(id), name text not null, loaded text not null, current integer not null default 1,
        text text not null, refused text not null default '[]')""",
    "create index spec_sheets_job on spec_sheets(job, current)",
    """create table spec_rows (
        sheet integer not null references spec_sheets(id) on delete cascade, line integer not null, kind text not null, part text not null,
        place text, fastener text, thread text, quantity text, torque real, unit text, low real, high real, body text not null,
        primary key (sheet, kind, line)) without rowid""",
    """create table history (
        id integer primary key, at text not null, what text not null, target integer not null, action text not null, field text,
        before text, after text, reason text not null default '')""",
    "create index history_target on history(what, target)",
    """create table tool_sheets (
        id integer primary key, name text not null, loaded text not null, current integer not null default 1, text text not null)""",
    """create table learnt_joints (
        job integer references jobs(id), entry_key text not null, row_key text not null, learnt text not null)""",
    "create index learnt_joints_job on learnt_joints(job, entry_key)",
    "create table terms (term text primary key, uses integer not null) without rowid",
    "create virtual table entries_fts using fts5(words, content='entries', content_rowid='id', tokenize='unicode61 remove_diacritics 2')",
    """create trigger entries_added after insert on entries begin
        insert into entries_fts(rowid, words) values (new.id, new.words); end""",
    """create trigger entries_removed after delete on entries begin
        insert into entries_fts(entries_fts, rowid, words) values ('delete', old.id, old.words); end""",
    """create trigger entries_changed after update of words on entries begin
        insert into entries_fts(entries_fts, rowid, words) values ('delete', old.id, old.words);
        insert into entries_fts(rowid, words) values (new.id, new.words); end""",
    "create virtual table notes_fts using fts5(text, content='notes', content_rowid='id', tokenize='unicode61 remove_diacritics 2')",
    """create trigger notes_added after insert on notes begin
        insert into notes_fts(rowid, text) values (new.id, new.text); end""",
    """create trigger notes_removed after delete on notes begin
        insert into notes_fts(notes_fts, rowid, text) values ('delete', old.id, old.text); end""",
    """create trigger notes_changed after update of text on notes begin
        insert into notes_fts(notes_fts, rowid, text) values ('delete', old.id, old.text);
        insert into notes_fts(rowid, text) values (new.id, new.text); end""",
)

PICTURES = (
    """create table pictures (
        id integer primary key autoincrement, note integer not null references notes(id) on delete cascade,
        file text not null, name text not null, form text not null check (form in ('jpeg', 'png', 'webp')), bytes integer not null,
        sha256 text not null, added text not null, forgotten text)""",
    "create index pictures_note on pictures(note)",
)

JUDGED = (
    "alter table entries add column on_sheet integer not null default 0",
    "alter table entries add column doubtful integer not null default 0",
    """update entries set on_sheet = 1 where json_extract(judgement, '$.joint') is not null
        or exists (select 1 from torques t where t.entry = entries.id and t.verdict in ('within', 'over', 'under'))
        or exists (select 1 from measures m where m.entry = entries.id and m.verdict in ('within', 'over', 'under'))""",
    """update entries set doubtful = 1
        where exists (select 1 from torques t where t.entry = entries.id
            and (t.hedged or t.verdict in ('unit not said', 'unlikely', 'over', 'under')))
        or exists (select 1 from findings f where f.entry = entries.id and f.code = 'heard-unsurely')""",
    "create index entries_on_sheet on entries(session) where on_sheet = 1",
    "create index entries_doubtful on entries(session) where doubtful = 1",
)

VERSION = 3
"""The schema that this version knows (``pragma user_version``): how many migrations there are."""
