"""Jobs: what is being worked on, over many sessions."""

from __future__ import annotations

from datetime import datetime

from gudgeon.domain import BadInput, Job, MissingThing
from gudgeon.record.database import Database, insert, transaction
from gudgeon.record.pack import moment, stamp


def new_job(db: Database, name: str, now: datetime) -> Job:
    """Make a job. Raises BadInput when the name is empty or taken."""
    name = " ".join(name.split())
    if not name:
        raise BadInput("A job needs a name.", next_step='Name it, for example: gudgeon job new "orchard tractor"')
    with transaction(db):
        if find_job(db, name):
            raise BadInput(f"There is already a job called {name!r}.", kept="It was not changed.", next_step="Choose another name.")
        insert(db, "jobs", {"name": name, "created": stamp(now)})
    return job(db, name)


def find_job(db: Database, name: str) -> Job | None:
    """The job of that name (capitals do not matter), or None."""
    row = db.execute("select id, name, created, closed from jobs where name = ?", [name]).fetchone()
    return Job(id=row[0], name=row[1], created=moment(row[2]), closed=moment(row[3]) if row[3] else None) if row else None


def job(db: Database, name: str) -> Job:
    """The job of that name. Raises MissingThing."""
    found = find_job(db, name)
    if found is None:
        known = ", ".join(repr(item.name) for item in jobs(db)) or "none yet"
        raise MissingThing(
            f"There is no job called {name!r}.", kept=f"Jobs in this record: {known}.", next_step=f'Make it with: gudgeon job new "{name}"'
        )
    return found


def job_id(db: Database, name: str | None) -> int | None:
    """The id of a job by name; None for None. Raises MissingThing."""
    return None if name is None else job(db, name).id


def jobs(db: Database) -> tuple[Job, ...]:
    """All jobs, open ones first, newest first."""
    rows = db.execute("select name from jobs order by closed is not null, created desc, id desc").fetchall()
    return tuple(found for (name,) in rows if (found := find_job(db, name)))


def close_job(db: Database, name: str, now: datetime) -> Job:
    """Close a job; its sessions stay. Raises MissingThing."""
    with transaction(db):
        db.execute("update jobs set closed = coalesce(closed, ?) where id = ?", [stamp(now), job(db, name).id])
    return job(db, name)
