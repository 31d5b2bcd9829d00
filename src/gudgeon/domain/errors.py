"""The tree of errors: each says what happened, what was kept, and what to do next.

GudgeonError
├── BadInput            the person asked for something that cannot be (exit status 2)
│   └── BadTable        a table or spec sheet cannot be used at all
└── Failure             something went wrong while doing it (exit status 1)
    ├── MissingThing    a file, model, package, job or entry is not there
    ├── SoundUnreadable a recording could not be decoded
    ├── RecogniserFailed a recogniser could not start or gave up
    └── NewerRecord     the record was written by a newer gudgeon
"""

from __future__ import annotations


class GudgeonError(Exception):
    """Base of all errors a person may see: three sentences, the last two optional."""

    status = 1

    def __init__(self, happened: str, *, kept: str = "", next_step: str = "") -> None:
        self.happened = happened
        self.kept = kept
        self.next_step = next_step
        super().__init__(" ".join(s for s in (happened, kept, next_step) if s))


class BadInput(GudgeonError):
    """The person asked for something that cannot be; exit status 2."""

    status = 2


class BadTable(BadInput):
    """A table, word list or spec sheet that cannot be used at all."""


class Failure(GudgeonError):
    """Something went wrong while doing what was asked; exit status 1."""


class MissingThing(Failure):
    """A file, model, package, job, session or entry that is not there."""


class SoundUnreadable(Failure):
    """A recording that could not be decoded."""


class RecogniserFailed(Failure):
    """A recogniser that could not start or gave up."""


class NewerRecord(Failure):
    """A record written by a newer version of gudgeon."""
