"""Jobs, sessions and open items."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Job:
    """What is being worked on, over many sessions."""

    id: int
    name: str
    created: datetime
    closed: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One time at the bench: started in UTC, seconds of sound, where it came from, and what read it.

    ``state`` is ``open`` (being read or typed), ``unfinished`` (broken off at ``reached`` seconds) or ``finished``.
    """

    id: int
    job: str | None
    started: datetime
    seconds: float
    source: str
    recogniser: str | None
    by: str | None = None
    state: str = "finished"
    reached: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenItem:
    """A question, verify, todo, buy or fault that is carried until it is answered or dropped."""

    kind: str
    text: str
    note: int | None = None
    id: int | None = None
    count: int | None = None
    part: str | None = None
    state: str = "open"
    ended_by: str | None = None
