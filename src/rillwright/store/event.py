"""What is noted: one event after the other, never changed, never taken out."""

from __future__ import annotations

from datetime import datetime

from msgspec import Struct

from rillwright.errors import RillwrightError

KINDS = ("opened", "value typed", "saved", "shot appended", "shot state", "undone")


class DamagedJournal(RillwrightError):
    """The journal cannot be read, or does not hang together; the text says how."""


class NewEvent(Struct, frozen=True, kw_only=True):
    """Something that was done. `subject` is a uuid of a shot or a field; `digest` is of the feature file after it."""

    kind: str  # one of KINDS
    subject: str = ""
    before: str = ""
    after: str = ""
    who: str = ""
    digest: str = ""


class Event(Struct, frozen=True, kw_only=True):
    """An event as it stands in the journal, numbered from 1 without a gap, with its time in UTC."""

    seq: int
    at: datetime
    what: NewEvent
