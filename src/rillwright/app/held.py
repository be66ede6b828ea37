"""Jobs kept open: each with its judgement, read anew when its files are others, one hand at a time."""

from __future__ import annotations

import os
import tempfile
import threading
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright import job as service
from rillwright.app.answers import Refusal
from rillwright.app.followed import Followed
from rillwright.app.surfaces import Surfaces
from rillwright.errors import InputError, Problem

_MOST_COMPARED = 16
_MOST_DRAWN = 12
_MOST_TRIED = 4
_ROWS = {"shots.csv", "holds.csv"}  # only ever added to, by whoever is on site


Edits = Sequence[tuple[tuple[str | int, ...], str]]  # places in the file, each with what is typed there


class State(Struct, frozen=True, kw_only=True):
    """A job as it stands, judged; `notes` are to be said, as that another hand changed a file."""

    job: service.Job
    judged: service.Judged
    revision: str
    stamp: service.Stamp
    notes: tuple[str, ...] = ()


class Tried(Struct, frozen=True, kw_only=True):
    """A job with values typed anew, and what it is compared with."""

    before: State
    job: service.Job
    judged: service.Judged


class Held:
    """One job folder."""

    def __init__(self, id: str, folder: Path) -> None:
        self.id, self.folder = id, folder
        self._lock = threading.RLock()
        self._last: State | None = None
        self._compared: dict[tuple[str, str], service.Changes] = {}
        self._drawn: dict[tuple[str, ...], str] = {}
        self._tried: dict[tuple[tuple[tuple[str | int, ...], str], ...], Tried] = {}
        self._packet: tuple[tuple[str, str, bool], bytes] | None = None
        self._printing = threading.Lock()
        self.followed = Followed()
        self.surfaces = Surfaces()

    def state(self) -> State:
        """The job as its files are now. Raises InputError where they cannot be read."""
        with self._lock:
            last = self._last
            stamp = service.stamp_of(self.folder, None if last is None else last.job)
            if last is not None and last.stamp == stamp:
                return last
            found = self._opened(stamp) if last is None else self._again(last, stamp)
            self._last = found
            return found

    def known(self) -> State | None:
        """The job as it stands, else as it was when it could be read last, else nothing."""
        try:
            return self.state()
        except InputError:
            return self._last

    def with_rows(self) -> tuple[State | None, tuple[str, ...]]:
        """The job with shots and ticks of the disk, also where another hand has made its feature file unreadable."""
        try:
            return self.state(), ()
        except InputError as error:
            why = self._without_place(str(error.problems[0]))
            said = f"The job can no longer be read; judged by what it was. {why}"
            with self._lock:
                last = self._last
                if last is None:
                    return None, (f"What was sent is kept; the job cannot be judged: {why}",)
                try:
                    return self._taken(last, service.with_rows_of_disk(last.job), last.stamp), (said,)
                except InputError:
                    return last, (said,)

    def tried(self, edits: Edits, *, revision: str) -> Tried:
        """The job with these values typed anew; nothing is written. The last are remembered: who typed, draws next."""
        with self._lock:
            before = self.state()
            if revision.partition(".")[0] != before.revision.partition(".")[0]:
                raise _another(before.revision)
            found = self._tried.get(tuple(edits))
            if found is not None and found.before is before:
                return found
            job = before.job
            try:
                for location, typed in edits:
                    job = job.with_value(location, typed)
            except InputError as error:
                raise InputError([_as_typed(problem) for problem in error.problems]) from error
        found = Tried(before=before, job=job, judged=service.judge(job, earlier=before.judged))
        with self._lock:
            if len(self._tried) >= _MOST_TRIED:
                self._tried.clear()
            self._tried[tuple(edits)] = found
        return found

    def save(self, edits: Edits, *, revision: str, who: str) -> State:
        """Write these values to the feature file."""
        with self._lock:
            tried = self.tried(edits, revision=revision)
            saved = service.save(tried.job, who=who)
            self._last = self._made(saved, tried.judged, notes=saved.notes)
            return self._last

    def keep_photo(self, content: bytes, *, who: str) -> State:
        """Keep a photo in the job's folder and list it in its file."""
        with self._lock:
            before = self.state()
            saved = service.keep_photo(before.job, content, who=who)
            if saved is before.job:
                return before
            self._last = self._made(saved, service.judge(saved, earlier=before.judged), notes=saved.notes)
            return self._last

    def undo(self, *, revision: str, who: str) -> State:
        """Take the last step back; the whole revision counts, so that nobody takes back what he did not see."""
        with self._lock:
            before = self.state()
            if revision != before.revision:
                raise _another(before.revision)
            try:
                done = service.undo(before.job, who=who)
            except InputError as error:
                raise Refusal(409, *error.problems) from error
            judged = service.judge(done.job, earlier=before.judged)
            self._last = self._made(done.job, judged, notes=(f"Taken back: {done.what}", *done.notes))
            return self._last

    def compared(self, before: service.Judged, after: service.Judged) -> service.Changes:
        """What changed between two states; remembered, for many phones ask the same at once."""
        key = before.assessment.digest, after.assessment.digest
        with self._lock:
            if key not in self._compared:
                if len(self._compared) >= _MOST_COMPARED:
                    self._compared.clear()
                self._compared[key] = service.compare(before, after)
            return self._compared[key]

    def drawn(
        self,
        judged: service.Judged,
        name: service.DrawingName,
        *,
        theme: service.Theme,
        stream: str | None,
        rim: str | None = None,
        run: str | None = None,
        narrow: bool = False,
    ) -> str:
        """A drawing as SVG; remembered, for labels take their time to be placed."""
        key = judged.assessment.digest, name, theme, stream or "", rim or "", run or "", str(narrow)
        with self._lock:
            found = self._drawn.get(key)
        if found is None:
            found = service.drawing_svg(judged, name, theme=theme, stream=stream, rim=rim, run=run, narrow=narrow)
            with self._lock:
                if len(self._drawn) >= _MOST_DRAWN:
                    self._drawn.clear()
                self._drawn[key] = found
        return found

    def packet(self, *, date: str) -> bytes:
        """The papers as one PDF of that date; remembered, for they take seconds. One is printed at a time.

        With starts and stops over time, where they were followed for the job as it stands.
        """
        with self._printing:
            state = self.state()
            followed = self.followed.found(state.judged)
            judged = state.judged if followed is None else followed
            key = judged.assessment.digest, date, followed is not None
            if self._packet is None or self._packet[0] != key:
                with tempfile.TemporaryDirectory(prefix="rillwright-") as folder:
                    out = Path(folder) / "packet.pdf"
                    service.papers(state.job, judged, out, date=date, tables=False)
                    self._packet = key, out.read_bytes()
            return self._packet[1]

    def _opened(self, stamp: service.Stamp) -> State:
        job = service.open(self.folder)
        return replace(self._made(job, service.judge(job)), stamp=self._stamp(job, stamp))

    def _again(self, last: State, stamp: service.Stamp) -> State:
        """Read anew what changed: mostly shots and ticks alone, which leave the plan what it was."""
        changed = {now[0] for now, then in zip(stamp, last.stamp, strict=True) if now != then}
        names = sorted(Path(name).name for name in changed)
        if set(names) <= _ROWS:
            return self._taken(last, service.with_rows_of_disk(last.job), stamp)
        job = service.open(self.folder, earlier=last.job)
        told = f"{', '.join(names)}: changed by another hand, and read again."
        found = self._made(job, service.judge(job, earlier=last.judged), notes=(told,))
        return replace(found, stamp=self._stamp(job, stamp))

    def _taken(self, last: State, job: service.Job, stamp: service.Stamp) -> State:
        judged = last.judged if job is last.job else service.judge(job, earlier=last.judged)
        revision = last.revision if job is last.job else service.revision_of(job)
        return State(job=job, judged=judged, revision=revision, stamp=stamp)

    def _stamp(self, job: service.Job, before: service.Stamp) -> service.Stamp:
        """The stamp of all the job's files; of those looked at before it was read as they were then."""
        seen = {each[0]: each for each in before}
        return tuple(seen.get(each[0], each) for each in service.stamp_of(self.folder, job))

    def _made(self, job: service.Job, judged: service.Judged, notes: tuple[str, ...] = ()) -> State:
        stamp = service.stamp_of(self.folder, job)
        said = tuple(self._without_place(note) for note in notes)
        return State(job=job, judged=judged, revision=service.revision_of(job), stamp=stamp, notes=said)

    def _without_place(self, text: str) -> str:
        """A text to be said: where the job lies on this machine is nothing to whoever reads it."""
        return text.replace(f"{self.folder}{os.sep}", "")


def _as_typed(problem: Problem) -> Problem:
    """What is wrong with a typed value, without the line of the file at which it would stand."""
    return replace(problem, file="", line=None, column=None)


def _another(revision: str) -> Refusal:
    message = "this job was changed meanwhile: nothing was written. Look at it as it is now, then type again"
    return Refusal(409, Problem(message=message, field="revision", allowed=revision))
