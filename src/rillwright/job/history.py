"""The journal kept in step with the files: checked when it is opened, made anew where it is damaged."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from rillwright.errors import InputError, OutputError
from rillwright.job.files import read_text
from rillwright.job.shot_file import sheet_of
from rillwright.survey import Shot, write_shot

if TYPE_CHECKING:
    from rillwright.store import Event, Journal, NewEvent

JOURNAL_FILE = "journal.db"


class History(Struct, frozen=True, kw_only=True):
    """What the journal holds, and what was to be said when it was looked at."""

    events: tuple[Event, ...]
    notes: tuple[str, ...]


def digest_of_text(text: str) -> str:
    """A short digest of a file's text."""
    return sha256(text.encode("utf-8")).hexdigest()[:32]


def noted(file: Path) -> tuple[str, ...]:
    """Note what was shot, and whatever else the files have and the journal has not; returns what is to be said.

    The caller holds the folder's lock and has written the files already: a journal that cannot be written is said and
    costs undo, nothing else.
    """
    try:
        with opened(file) as (_, notes):
            return notes
    except OutputError as error:
        return (f"{error}. The reading is written; this step cannot be undone.",)


def history(file: Path) -> History:
    """The events of the job of feature file `file`, the journal checked against its files; the lock is the caller's.

    Raises
    ------
    OutputError
        If the journal cannot be read or written at all.
    """
    with opened(file) as (journal, notes):
        return History(events=journal.events(), notes=notes)


@contextmanager
def opened(file: Path) -> Iterator[tuple[Journal, tuple[str, ...]]]:
    """The journal beside the feature file, sound and in step with the files, and what is to be said about it."""
    from rillwright.store import DamagedJournal, set_aside

    place = file.parent / JOURNAL_FILE
    if place.is_dir():
        raise OutputError(f"{place}: is a folder, not a journal")
    try:
        journal, notes = _sound(place, file)
    except DamagedJournal as error:
        aside = set_aside(place)
        journal, notes = _sound(place, file)
        said = f"The journal was damaged and lies aside as {aside.name}; a new one was begun from the files ({error})."
        notes.insert(0, f"{said} No reading is lost; what was done before can no longer be undone.")
    try:
        yield journal, tuple(notes)
    finally:
        journal.close()


def _sound(place: Path, file: Path) -> tuple[Journal, list[str]]:
    from rillwright.store import Journal

    journal = Journal.open(place, feature=file.name)
    try:
        return journal, _in_step(journal, file)
    except BaseException:
        journal.close()
        raise


def _in_step(journal: Journal, file: Path) -> list[str]:
    """Note what the files have and the journal has not; say what it has and they have not."""
    from rillwright.store import NewEvent

    notes: list[str] = []
    new: list[NewEvent] = []
    digest = digest_of_text(_text(file))
    known = journal.last_digest()
    if known != digest:
        if known:
            notes.append(f"{file.name} was changed outside: the journal goes on from what it is now.")
        new.append(NewEvent(kind="opened", digest=digest))
    try:
        shots = sheet_of(file.parent).shots
    except InputError:
        shots = ()
    there = journal.subjects("shot appended", "shot state")
    new += [shot_event(shot) for shot in shots if shot.uuid not in there]
    journal.append(new)
    missing = there - {shot.uuid for shot in shots}
    if missing:
        count = f"{len(missing)} row{'' if len(missing) == 1 else 's'}"
        notes.append(f"{count} that the journal has noted no longer stand in shots.csv; the journal keeps their text.")
    return notes


def shot_event(shot: Shot) -> NewEvent:
    """The event that a row of shots.csv makes, with its text."""
    from rillwright.store import NewEvent

    kind = "shot appended" if shot.reading else "shot state"
    return NewEvent(kind=kind, subject=shot.uuid, before=shot.re, after=write_shot(shot).rstrip("\n"), who=shot.who)


def _text(file: Path) -> str:
    try:
        return read_text(file, file=str(file))
    except InputError:
        return ""
