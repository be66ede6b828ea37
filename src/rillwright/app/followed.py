"""Starts and stops of one job followed over time, and their histories on paper."""

from __future__ import annotations

from typing import Any

from rillwright import job as service
from rillwright.app.beside import Beside
from rillwright.progress import Progress

_MOST_MOTIONS = 12


def _follow(job: service.Job, judged: service.Judged, /, *, progress: Progress) -> service.Judged:
    return service.follow(job, judged, progress=progress)


class Followed(Beside):
    """What was followed of one job, by the digest of the state that it was of."""

    def __init__(self) -> None:
        super().__init__(_follow)
        self._motions: dict[tuple[str, int, str], dict[str, Any]] = {}

    def motion(self, judged: service.Judged, index: int, stream: str | None) -> dict[str, Any]:
        """A history of a state that was followed, on paper; remembered."""
        key = judged.assessment.digest, index, stream or ""
        with self.lock:
            known = self._motions.get(key)
        if known is None:
            known = service.motion_of(judged, index, stream=stream)
            with self.lock:
                if len(self._motions) >= _MOST_MOTIONS:
                    self._motions.clear()
                self._motions[key] = known
        return known
