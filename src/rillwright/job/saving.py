"""Saving what was typed, and taking a step back. Files first, then the journal: history is never in their way."""

from __future__ import annotations

import uuid as uuids
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, OutputError, RillwrightError
from rillwright.feature import Document
from rillwright.job.appending import add_rows
from rillwright.job.files import mark_of, read_text, write_whole
from rillwright.job.history import digest_of_text, opened, shot_event
from rillwright.job.locking import locked
from rillwright.job.opening import Job, open
from rillwright.job.shooting import now
from rillwright.job.shot_file import SHOT_FILE
from rillwright.job.stepping import last_event, step_in_words
from rillwright.survey import Shot, ShotState

if TYPE_CHECKING:
    from rillwright.store import Event, NewEvent

_LOST_UNDO = "The file is written; this step cannot be undone."


class Undone(Struct, frozen=True, kw_only=True):
    """The job after its last step was taken back, and what that step was."""

    job: Job
    what: str
    notes: tuple[str, ...] = ()


def save(job: Job, *, who: str = "") -> Job:
    """Write the feature file as it stands now, whole or not at all, with an id for every element; note it.

    Its `notes` say what happened to the journal, if anything: without it the step cannot be undone.

    Raises
    ------
    OutputError
        If the file was changed by another hand since it was read, or cannot be written.
    """
    document = job.document.with_ids()
    if document.text == job.as_read:
        _unchanged(job)
        return replace(job, document=document, edits=(), notes=())
    with locked(job.path.parent):
        _unchanged(job)
        digest = digest_of_text(document.text)

        def write() -> None:
            write_whole(job.path, mark_of(job.path) + document.text.encode("utf-8"), over=True)

        notes = _written(job.path, write, lambda: _events(job, document.text, digest, who))
    return replace(job, document=document, as_read=document.text, edits=(), notes=notes)


def undo(job: Job, *, who: str = "") -> Undone:
    """Take the last step back: a value that was typed and not saved, else what was saved or shot last.

    A reading is never taken out: a row withdraws it.

    Raises
    ------
    InputError
        If there is nothing to take back.
    OutputError
        If the feature file was changed by another hand since, or cannot be written.
    """
    if job.edits:
        edit = job.edits[-1]
        back = job.with_document(Document.read(edit.before, file=job.document.file))
        return Undone(job=replace(back, edits=job.edits[:-1]), what=f"typed {edit.typed!r}")
    with locked(job.path.parent):
        _unchanged(job)
        with opened(job.path) as (journal, notes):
            events = journal.events()
            last = last_event(events)
            step = step_in_words(job, events, last)
            what = step.what
            if last.what.kind == "saved":
                if last.what.digest != digest_of_text(job.as_read):
                    raise OutputError(f"{job.path}: was changed since it was saved; nothing was taken back")
                write_whole(job.path, mark_of(job.path) + last.what.before.encode("utf-8"), over=True)
                journal.append([_undone(last, digest=digest_of_text(last.what.before), who=who)])
            else:
                uuid = last.what.subject
                row = Shot(
                    uuid=str(uuids.uuid4()), time=now(), who=who, state=ShotState.WITHDRAWN, re=uuid, note="taken back"
                )
                add_rows(job.path.parent, [row])
                journal.append([shot_event(row), _undone(last, row=row.uuid, who=who)])
                what = f"{what}, {step.value}; it stays in {SHOT_FILE}, withdrawn"
    return Undone(job=open(job.path, earlier=job), what=what, notes=notes)


def _unchanged(job: Job) -> None:
    try:
        on_disk = read_text(job.path, file=str(job.path))
    except InputError as error:
        raise OutputError(f"{job.path}: was there and is no longer readable; nothing was written") from error
    if on_disk != job.as_read:
        raise OutputError(f"{job.path}: was changed since it was read; nothing was written. Open it again.")


def _written(file: Path, write: Callable[[], None], events: Callable[[], Sequence[NewEvent]]) -> tuple[str, ...]:
    """Write, then note; what the journal cannot take is said and harms nothing that is written."""
    with ExitStack() as stack:
        try:
            journal, notes = stack.enter_context(opened(file))
        except OutputError as error:
            write()
            return (f"{error}. {_LOST_UNDO}",)
        write()
        try:
            journal.append(events())
        except RillwrightError as error:
            return (*notes, f"{error}. {_LOST_UNDO}")
        return notes


def _events(job: Job, text: str, digest: str, who: str) -> list[NewEvent]:
    from rillwright.store import NewEvent

    typed = [
        NewEvent(kind="value typed", subject="/".join(map(str, edit.location)), after=edit.typed, who=who)
        for edit in job.edits
    ]
    return [*typed, NewEvent(kind="saved", before=job.as_read, after=text, digest=digest, who=who)]


def _undone(event: Event, *, digest: str = "", row: str = "", who: str) -> NewEvent:
    from rillwright.store import NewEvent

    return NewEvent(kind="undone", subject=str(event.seq), after=row, digest=digest, who=who)
