"""The folder that is served: its jobs, each opened once, and who may come in."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Annotated

from fastapi import Depends, Request

from rillwright import job as service
from rillwright.app.access import Access
from rillwright.app.answers import Refusal
from rillwright.app.held import Held
from rillwright.errors import Problem


class House:
    """All that is served. A job is known by its folder's name as it was listed, and by no other way."""

    def __init__(self, folder: Path, access: Access) -> None:
        self.folder, self.access = folder, access
        self._held: dict[str, Held] = {}
        self._lock = threading.Lock()

    def jobs(self) -> tuple[service.JobSeen, ...]:
        """The jobs that lie there now."""
        return tuple(service.seen(id, folder) for id, folder in service.folders_in(self.folder).items())

    def job(self, id: str) -> Held:
        """The job of that name, kept open."""
        folder = service.folders_in(self.folder).get(id)
        if folder is None:
            raise Refusal(404, Problem(message="there is no such job here", found=repr(id[:60])))
        with self._lock:
            held = self._held.get(id)
            if held is None or held.folder != folder:
                held = self._held[id] = Held(id, folder)
            return held


async def house_of(request: Request) -> House:
    """The house in which a request was made."""
    house = request.app.state.house
    assert isinstance(house, House)
    return house


async def who_of(request: Request) -> str:
    """Whose token came with a request; empty on the machine itself."""
    return str(request.scope.get("rillwright.who", ""))


async def job_of(job: str, house: Annotated[House, Depends(house_of)]) -> Held:
    """The job that a path names."""
    return house.job(job)


Here = Annotated[House, Depends(house_of)]
Who = Annotated[str, Depends(who_of)]
OfJob = Annotated[Held, Depends(job_of)]
