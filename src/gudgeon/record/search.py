"""Search over all entries and notes: words with misspellings and other words for the same thing, values, and where they were said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any
from weakref import WeakKeyDictionary

from rapidfuzz import process
from rapidfuzz.distance import OSA

from gudgeon.record.database import Database
from gudgeon.record.entries import entry
from gudgeon.record.jobs import job_id
from gudgeon.record.pack import stamp
from gudgeon.record.pictures import pictures, pictures_of_entry
from gudgeon.record.rows import Hit, Search
from gudgeon.record.sessions import session
from gudgeon.record.words import terms_of, thread_words, words

CANDIDATES = 200
"""How many of the newest matches are ranked; a word that matches more than this is too common for older ones to be told apart by it."""
FEWER = 60
"""The same among the sessions of one job, or since a day, which are few and far between."""
NOTES_LOOKED_AT = 3000
"""How many of the newest notes with the words are looked at for those that belong to no entry."""
MANY = 20_000
"""From this many torques in a range on, entries are gone through from the newest."""
LONG = 8
"""From this length on a word may hold two slips of spelling, below only one."""
FILLER = words("a an the of on in for to at is it was what which did do i we my our and with")
_KNOWN: WeakKeyDictionary[Database, tuple[tuple[int, int], dict[int, list[str]]]] = WeakKeyDictionary()


@dataclass(frozen=True, slots=True)
class Term:
    """A word to look for: as typed, and every known term that will do for it, best first, with how well (0..1)."""

    typed: str
    forms: tuple[tuple[str, float], ...]


def find(db: Database, query: Search) -> tuple[Hit, ...]:
    """What matches, best first, at most ``query.limit``."""
    typed = [term for text in (*query.words, query.part or "", query.tool or "", query.thread or "") for term in terms_of(text)]
    wanted = [word for word in typed if word not in FILLER or len(typed) == 1]
    terms = tuple(_term(db, word) for word in dict.fromkeys(_joined(db, wanted)))
    read_as = tuple((term.typed, term.forms[0][0]) for term in terms if term.forms and not _known_as_typed(term))
    if terms and not any(term.forms for term in terms):
        return ()
    found = _ranked_entries(db, query, terms)
    if not (query.part or query.tool or query.thread or query.verdict or _by_value(query)):
        found += _ranked_notes(db, query, terms)
    best = sorted(found, key=lambda item: (-item[0], -item[2]))[: query.limit]
    return tuple(_hit(db, score, kind, number, terms, read_as) for score, kind, number in best)


def _joined(db: Database, words: Sequence[str]) -> list[str]:
    """Two words that are known only as one become one: "fly wheel" is "flywheel"."""
    joined: list[str] = []
    at = 0
    while at < len(words):
        pair = words[at : at + 2]
        whole = "".join(pair)
        if len(pair) == 2 and not whole.isdigit() and _is_term(db, whole) and not all(_is_term(db, word) for word in pair):
            joined.append(whole)
            at += 2
        else:
            joined.append(words[at])
            at += 1
    return joined


@cache
def _same_words() -> dict[str, tuple[str, ...]]:
    lines = resources.files("gudgeon.record").joinpath("tables/same_words.csv").read_text(encoding="utf-8").splitlines()[1:]
    groups = [line.split() for line in lines]
    return {word: tuple(other for other in group if other != word) for group in groups for word in group}


def _known_as_typed(term: Term) -> bool:
    return term.forms[0][1] >= 0.9


def _term(db: Database, word: str) -> Term:
    """Every stored term that will do for a typed word."""
    forms: dict[str, float] = {}
    for form, worth in ((word, 1.0), (word + "s", 0.98), (word.removesuffix("s"), 0.98), (word + "es", 0.95), (word.removesuffix("es"), 0.95)):
        if form and (_is_term(db, form) or (form == word and (len(word) < 3 or word.isdigit()))):
            forms.setdefault(form, worth)
    for form in _same_words().get(word, ()):
        if _is_term(db, form):
            forms.setdefault(form, 0.9)
    if not forms and len(word) >= 3 and not word.isdigit():
        forms = dict(_misspelt(db, word))
    return Term(word, tuple(sorted(forms.items(), key=lambda item: -item[1])))


def _is_term(db: Database, word: str) -> bool:
    return db.execute("select 1 from terms where term = ?", [word]).fetchone() is not None


def _misspelt(db: Database, word: str) -> Iterable[tuple[str, float]]:
    """Known terms that a word may be a slip for: it begins them, or it is spelt nearly like them."""
    begun = db.execute("select term from terms where term >= ? and term < ? order by uses desc limit 8", [word, word + "\uffff"]).fetchall()
    if begun:
        return [(row[0], 0.85) for row in begun]
    by_length, slips = _known_terms(db), 2 if len(word) >= LONG else 1
    near = [term for length in (len(word) - 1, len(word), len(word) + 1) for term in by_length.get(length, ())]
    found = process.extract(word, near, scorer=OSA.distance, score_cutoff=slips, limit=6)
    best = min((distance for _, distance, _ in found), default=0)
    return [(term, 0.85 - 0.1 * distance) for term, distance, _ in found if distance == best and (distance < 2 or term[0] == word[0])]


def _known_terms(db: Database) -> dict[int, list[str]]:
    """All known terms by their length; read again only after something was written, here or by another program."""
    state = (db.execute("pragma data_version").fetchone()[0], db.conn.total_changes)
    kept = _KNOWN.get(db)
    if kept is None or kept[0] != state:
        by_length: dict[int, list[str]] = {}
        for (term,) in db.execute("select term from terms").fetchall():
            by_length.setdefault(len(term), []).append(term)
        kept = _KNOWN[db] = (state, by_length)
    return kept[1]


def _expression(terms: Sequence[Term], joiner: str) -> str:
    groups = ["(" + " OR ".join(f'"{form}"' for form, _ in term.forms) + ")" for term in terms if term.forms]
    return joiner.join(groups)


def _filters(db: Database, query: Search) -> tuple[list[str], list[Any]]:
    tests, values = [], []
    for test, value in (
        ("s.job = ?", job_id(db, query.job)),
        ("s.id = ?", query.session),
        ("s.started >= ?", stamp(query.since) if query.since else None),
    ):
        if value is not None:
            tests.append(test)
            values.append(value)
    return tests, values


def _entry_filters(query: Search) -> tuple[list[str], list[Any]]:
    tests: list[str] = ["e.struck = 0"]
    values: list[Any] = []
    if query.pictured:
        tests.append("exists (select 1 from entry_notes y join pictures p on p.note = y.note where y.entry = e.id and p.forgotten is null)")
    if query.verdict:
        tests.append("(e.verdict = ? or exists (select 1 from torques v where v.entry = e.id and v.verdict = ?))")
        values += [query.verdict, query.verdict]
    return tests, values


def _low(query: Search) -> float:
    return -1e300 if query.low_nm is None else query.low_nm * (1 - 1e-9)


def _high(query: Search) -> float:
    return 1e300 if query.high_nm is None else query.high_nm * (1 + 1e-9)


def _ranked_entries(db: Database, query: Search, terms: Sequence[Term]) -> list[tuple[float, str, int]]:
    tests, values = _filters(db, query)
    more, more_values = _entry_filters(query)
    where, given = " and ".join([*tests, *more]), [*values, *more_values]
    if not terms:
        return [(0.0, "entry", number) for number in _newest(db, query, where, given)]
    if _by_value(query):
        where += " and exists (select 1 from torques t where t.entry = e.id and t.nm between ? and ?)"
        given += [_low(query), _high(query)]
    for joiner in (" AND ", " OR "):
        if joiner == " AND " and any(not term.forms for term in terms):
            continue
        sql = f"""select e.id, e.part, e.place, e.fastener, e.thread, e.tool, e.tool_size, e.tool_size_unit, e.words,
            coalesce(e.thread, json_extract(e.judgement, '$.joint.row.thread'))
            from entries_fts f cross join entries e on e.id = f.rowid join sessions s on s.id = e.session
            where entries_fts match ? and {where} order by f.rowid desc limit {max(3 * query.limit, FEWER) if tests else CANDIDATES}"""
        rows = db.execute(sql, [_expression(terms, joiner), *given]).fetchall()
        rows = [row for row in rows if _column_filters(query, terms, row)] if query.part or query.tool or query.thread else rows
        rows = [row for row in rows if joiner == " AND " or _most(terms, row[8])]
        if rows:
            return [(_worth(terms, row), "entry", row[0]) for row in rows]
    return []


def _most(terms: Sequence[Term], text: str) -> bool:
    """Whether more than half of what was asked for is there."""
    there = set(terms_of(text))
    return sum(any(form in there for form, _ in term.forms) for term in terms) * 2 > len(terms)


def _by_value(query: Search) -> bool:
    return query.low_nm is not None or query.high_nm is not None


def _newest(db: Database, query: Search, where: str, values: list[Any]) -> list[int]:
    """The newest entries when no word was asked for, within the range of torque when there is one."""
    if _by_value(query):
        given = [_low(query), _high(query)]
        many = db.execute(f"select count(*) from (select 1 from torques where nm between ? and ? limit {MANY})", given).fetchone()[0] == MANY
        if many:  # so many that the newest ones are soon met when entries are gone through from the last
            where += " and exists (select 1 from torques t where t.entry = e.id and t.nm between ? and ?)"
            values = [*values, *given]
        else:
            inner = f"select distinct entry from torques indexed by torques_nm where nm between ? and ? order by entry desc limit {MANY}"
            sql = (
                f"select e.id from ({inner}) t cross join entries e on e.id = t.entry cross join sessions s on s.id = e.session where {where} limit ?"
            )
            return [row[0] for row in db.execute(sql, [*given, *values, query.limit]).fetchall()]
    sql = f"select e.id from entries e cross join sessions s on s.id = e.session where {where} order by e.id desc limit ?"
    return [row[0] for row in db.execute(sql, [*values, query.limit]).fetchall()]


def _column_filters(query: Search, terms: Sequence[Term], row: Sequence[Any]) -> bool:
    """Whether the words asked of a part, tool or thread stand in that column."""
    by_word = {term.typed: {form for form, _ in term.forms} for term in terms}
    tool = f"{row[5] or ''} {format(row[6], 'g') if row[6] else ''} {row[7] or ''}"
    for asked, column in ((query.part, f"{row[1] or ''} {row[2] or ''}"), (query.tool, tool), (query.thread, thread_words(row[9] or ""))):
        there = set(terms_of(column))
        if asked and not all(by_word.get(word, {word}) & there for word in terms_of(asked) if word not in FILLER):
            return False
    return True


def _worth(terms: Sequence[Term], row: Sequence[Any]) -> float:
    """How well an entry answers: a word in its part counts most, then its place, fastener, thread and tool, then what was said."""
    part = set(terms_of(row[1] or ""))
    near = set(terms_of(" ".join(str(cell or "") for cell in row[2:8])))
    said = row[8].lower()
    total = 0.0
    for term in terms:
        in_part = max((worth for form, worth in term.forms if form in part), default=0.0)
        in_near = max((worth for form, worth in term.forms if form in near), default=0.0)
        in_words = max((worth for form, worth in term.forms if form in said), default=-1.0)
        total += max(4.0 * in_part, 2.0 * in_near, in_words)
    asked = {form for term in terms for form, _ in term.forms}
    return total - 0.1 * len(part - asked)


def _ranked_notes(db: Database, query: Search, terms: Sequence[Term]) -> list[tuple[float, str, int]]:
    """Notes that belong to no entry and say all that was asked for."""
    if not terms or any(not term.forms for term in terms):
        return []
    tests, values = _filters(db, query)
    if query.pictured:
        tests.append("exists (select 1 from pictures p where p.note = n.id and p.forgotten is null)")
    where = " and ".join(["n.struck = 0", "not exists (select 1 from entry_notes where note = n.id)", *tests])
    sql = f"""select n.id, n.text from (select rowid from notes_fts where notes_fts match ? order by rowid desc limit {NOTES_LOOKED_AT}) f
        cross join notes n on n.id = f.rowid join sessions s on s.id = n.session where {where} order by n.id desc limit {CANDIDATES}"""
    rows = db.execute(sql, [_expression(terms, " AND "), *values]).fetchall()
    return [(0.8 * sum(term.forms[0][1] for term in terms if term.forms), "note", row[0]) for row in rows]


def _hit(db: Database, score: float, kind: str, number: int, terms: Sequence[Term], read_as: tuple[tuple[str, str], ...]) -> Hit:
    if kind == "note":
        note = db.execute('select id, session, text, "start", "end" from notes where id = ?', [number]).fetchone()
        shown = pictures(db, number)
        return Hit(
            session=session(db, note[1]), note=note[0], words=note[2], start=note[3], end=note[4], pictures=shown, score=score, read_as=read_as
        )
    stored = entry(db, number)
    note = _telling_note(db, number, terms)
    words, start, end = (note[1], note[2], note[3]) if note else ("", None, None)
    home = session(db, stored.session)
    shown = pictures_of_entry(db, number)
    return Hit(session=home, note=note and note[0], words=words, start=start, end=end, entry=stored, pictures=shown, score=score, read_as=read_as)


def _telling_note(db: Database, number: int, terms: Sequence[Term]) -> Any:
    """The note of an entry that says most of what was asked, a note with a torque first."""
    sql = """select n.id, n.text, n."start", n."end", exists (select 1 from facts f where f.note = n.id and f.kind = 'torque')
        from entry_notes en join notes n on n.id = en.note where en.entry = ? order by n.position"""
    rows = db.execute(sql, [number]).fetchall()
    asked = {form for term in terms for form, _ in term.forms}
    return max(rows, key=lambda row: (row[4], len(asked & set(terms_of(row[1])))), default=None)
