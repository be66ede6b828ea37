"""Which step was done last, in words: whoever takes it back knows beforehand what that is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from msgspec import Struct

from rillwright.assessment import Judged, NotRun
from rillwright.errors import InputError, OutputError, Problem
from rillwright.feature import spoken, wording
from rillwright.job.history import JOURNAL_FILE, opened
from rillwright.job.locking import locked
from rillwright.job.opening import Job
from rillwright.job.shot_file import SHOT_FILE
from rillwright.survey import SHOTS_HEADER, Shot, read_shots

if TYPE_CHECKING:
    from rillwright.store import Event

_MOMENT_S = 0.2  # who only looks does not wait for who writes


class LastStep(Struct, frozen=True, kw_only=True):
    """A step that can be taken back. `what` names it: 'depth of the pond', 'reading s4 of JM, 22:10'."""

    what: str
    who: str
    reading: bool  # of a rod: taken back it is withdrawn, for everybody
    value: str = ""  # that was read, and of which surface


def last_step_of(job: Job, judged: Judged) -> LastStep | None:
    """The step that `undo` would take back; None where there is none, or the journal cannot be read just now."""
    build = judged.assessment.build
    stakes = {} if isinstance(build, NotRun) else {stake.shot_at: stake.id for stake in build.stakes}
    if job.edits:
        return LastStep(what=_value(job, job.edits[-1].location), who="", reading=False)
    if not (job.path.parent / JOURNAL_FILE).is_file():
        shot = next((shot for shot in reversed(job.sheet.shots) if shot.reading), None)
        return None if shot is None else _of_reading(shot, stakes)
    try:
        with locked(job.path.parent, patience_s=_MOMENT_S), opened(job.path) as (journal, _):
            events = journal.events()
        last = last_event(events)
    except (InputError, OutputError):
        return None
    return step_in_words(job, events, last, stakes)


def step_in_words(job: Job, events: Sequence[Event], last: Event, stakes: Mapping[str, str] | None = None) -> LastStep:
    """The event `last` of `events` in words; a reading by its stake where `stakes` has one for its path."""
    if last.what.kind != "saved":
        found = read_shots(f"{SHOTS_HEADER}{last.what.after}\n", file=SHOT_FILE).shots
        if not found:
            return LastStep(what=f"reading {last.what.subject}", who=last.what.who, reading=True)
        return _of_reading(found[0], stakes or {})
    typed: list[str] = []
    for event in reversed([each for each in events if each.seq < last.seq]):
        if event.what.kind != "value typed":
            break
        location = tuple(int(part) if part.isdecimal() else part for part in event.what.subject.split("/"))
        typed.append(_value(job, location))
    words = list(dict.fromkeys(reversed(typed)))
    if not words:
        words = [f"what was saved at {_clock(last.at.astimezone())}"]
    more = f" and {len(words) - 1} more" if len(words) > 1 else ""
    return LastStep(what=words[0] + more, who=last.what.who, reading=False)


def last_event(events: Sequence[Event]) -> Event:
    """The step to take back.

    Raises
    ------
    InputError
        If there is none, or it was a word about a reading.
    """
    gone = {event.what.subject for event in events if event.what.kind == "undone"}
    by_undoing = {event.what.after for event in events if event.what.kind == "undone"}
    for event in reversed(events):
        if str(event.seq) in gone or event.what.subject in by_undoing:
            continue
        if event.what.kind == "shot state":
            message = "the last step was a word about a reading: say otherwise of it, and that counts"
            raise InputError(Problem(message=message, found=event.what.after))
        if event.what.kind in ("saved", "shot appended"):
            return event
    raise InputError(Problem(message="there is nothing to take back"))


def _of_reading(shot: Shot, stakes: Mapping[str, str]) -> LastStep:
    place = stakes.get(shot.path) or spoken(shot.path)
    whose = f" of {shot.who}" if shot.who else ""
    try:
        when = f", {_clock(datetime.fromisoformat(shot.time))}"
    except ValueError:
        when = ""
    value = f"{shot.reading} ({shot.surface})" if shot.surface else shot.reading
    return LastStep(what=f"reading {place}{whose}{when}", who=shot.who, reading=True, value=value)


def _clock(time: datetime) -> str:
    return f"{time:%H:%M}"


def _value(job: Job, location: tuple[str | int, ...]) -> str:
    if location[:1] == ("photos",):
        return "a photo"
    said = wording(location, job.document.source.value)
    return f"{said.label.partition(', ')[0]} of {said.of}"
