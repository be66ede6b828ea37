"""What takes its time is worked out beside everything else: how far it is, stopped by hand, kept."""

from __future__ import annotations

import threading
from typing import Protocol

from msgspec import Struct

from rillwright import job as service
from rillwright.errors import Cancelled, InputError, NoAnswer, OutputError
from rillwright.progress import Progress

_MOST_KEPT = 2


class Work(Protocol):
    """What is worked out of a job that was judged."""

    def __call__(self, job: service.Job, judged: service.Judged, /, *, progress: Progress) -> service.Judged: ...


class Standing(Struct, frozen=True, kw_only=True):
    """How far it is. State: not run | stale | running | done | stopped | failed; share [-] of the whole."""

    state: str
    share: float = 0.0
    doing: str = ""
    reason: str = ""


class _Run:
    """One state of a job that is being worked on in a thread of its own."""

    def __init__(self, work: Work, job: service.Job, judged: service.Judged) -> None:
        self.digest = judged.assessment.digest
        self.standing = Standing(state="running", doing="beginning")
        self.stop = False
        self.found: service.Judged | None = None
        self._work, self._job, self._judged = work, job, judged
        threading.Thread(target=self._go, name="beside", daemon=True).start()

    def _go(self) -> None:
        try:
            self.found = self._work(self._job, self._judged, progress=self._tell)
            self.standing = Standing(state="done", share=1.0)
        except Cancelled:
            self.standing = Standing(state="stopped")
        except (NoAnswer, InputError, OutputError) as error:
            state = "stopped" if self.stop else "failed"
            self.standing = Standing(state=state, reason="" if self.stop else str(error))
        except Exception:
            self.standing = Standing(state="failed", reason="something went wrong in the service: its log says what")
            raise

    def _tell(self, share: float, doing: str) -> bool:
        self.standing = Standing(state="running", share=min(max(share, 0.0), 1.0), doing=doing)
        return not self.stop


class Beside:
    """What was worked out of one job, by the digest of the state that it was of."""

    def __init__(self, work: Work) -> None:
        self.lock = threading.Lock()
        self._work = work
        self._running: _Run | None = None
        self._kept: dict[str, service.Judged] = {}

    def go(self, job: service.Job, judged: service.Judged) -> None:
        """Work on that state, unless it is being done or was; another state of the job is left off."""
        with self.lock:
            self._collect()
            digest = judged.assessment.digest
            running = self._running
            if digest in self._kept or (running and running.digest == digest and running.standing.state == "running"):
                return
            if running is not None:
                running.stop = True
            self._running = _Run(self._work, job, judged)

    def stop(self) -> None:
        """Leave off what is being worked on."""
        with self.lock:
            if self._running is not None:
                self._running.stop = True

    def found(self, judged: service.Judged) -> service.Judged | None:
        """That state with what was worked out, where it was."""
        with self.lock:
            self._collect()
            return self._kept.get(judged.assessment.digest)

    def standing(self, judged: service.Judged) -> Standing:
        """How far it is with that state of the job."""
        with self.lock:
            self._collect()
            digest, running = judged.assessment.digest, self._running
            if digest in self._kept:
                return Standing(state="done", share=1.0)
            if running is not None and running.digest == digest:
                return running.standing
            return Standing(state="stale" if self._kept else "not run")

    def _collect(self) -> None:
        """Keep what has come of the last run."""
        running = self._running
        if running is not None and running.found is not None:
            self._kept.pop(running.digest, None)
            while len(self._kept) >= _MOST_KEPT:
                del self._kept[next(iter(self._kept))]
            self._kept[running.digest] = running.found
            self._running = None
