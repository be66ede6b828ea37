"""The finished work of one job as surfaces, and the file that shows them."""

from __future__ import annotations

from rillwright import job as service
from rillwright.app.beside import Beside
from rillwright.progress import Progress

_MOST_DRAWN = 12


def _finish(job: service.Job, judged: service.Judged, /, *, progress: Progress) -> service.Judged:
    return service.finish(job, judged, progress=progress)


class Surfaces(Beside):
    """What was made of one job, by the digest of the state that it was of."""

    def __init__(self) -> None:
        super().__init__(_finish)
        self._file: tuple[str, bytes] | None = None
        self._drawn: dict[tuple[str, str, bool], str] = {}

    def glb(self, judged: service.Judged) -> bytes:
        """The file of a state whose surfaces were made; the last one is remembered."""
        digest = judged.assessment.digest
        with self.lock:
            known = self._file
        if known is None or known[0] != digest:
            known = digest, service.finished_glb(judged)
            with self.lock:
                self._file = known
        return known[1]

    def drawn(self, judged: service.Judged, name: str, *, narrow: bool) -> str:
        """A drawing of a state whose surfaces were made; remembered."""
        key = judged.assessment.digest, name, narrow
        with self.lock:
            known = self._drawn.get(key)
        if known is None:
            known = service.surface_svg(judged, name, narrow=narrow)
            with self.lock:
                if len(self._drawn) >= _MOST_DRAWN:
                    self._drawn.clear()
                self._drawn[key] = known
        return known
