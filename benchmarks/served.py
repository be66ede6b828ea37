"""What a phone and a desk wait for, in a service that runs: a shot that is judged at once, a value typed anew."""

from __future__ import annotations

import itertools
import json
import shutil
import tempfile
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from benchmarks.measure import Side, Unmeasured, timed

HEIGHT_NM = 1_500_000_000  # of the instrument above the benchmark
OFF_NM = 12_000_000  # by how much a crest is read otherwise than before


class Desk:
    """A job of a served folder, with its instrument set up and its first judgement made."""

    def __init__(self, folder: Path) -> None:
        from rillwright import job
        from rillwright.app.held import Held

        self.place = tempfile.TemporaryDirectory(prefix="bench-")  # goes away with the desk
        self.job = job
        self.held = Held(folder.name, Path(shutil.copytree(folder, Path(self.place.name) / folder.name)))
        state = self.held.state()
        kit = job.kit_of(state.job, state.judged, day="2026-05-04")
        mark = next(each for each in kit.marks if each.id == state.job.feature.datum)
        crests = [each for each in kit.places if each.surface == "stone top" and each.planned_nm is not None]
        if not crests:
            raise Unmeasured(f"no crest to shoot in {folder.name}")
        self.high_nm = mark.level_nm + HEIGHT_NM + max(0, *(each.planned_nm or 0 for each in crests))
        self.crest = crests[-1]
        self.turns = itertools.count(1)
        self.read(f"marks/{mark.id}", "mark", mark.level_nm)
        self.held.with_rows()

    def read(self, path: str, surface: str, level_nm: int) -> None:
        """Write a reading to the disk."""
        number = next(self.turns)
        row = self.job.Shot(
            uuid=f"bench-{number}",
            time=f"2026-05-04T{8 + number // 60 % 12:02}:{number % 60:02}:00+00:00",
            setup="2026-05-04/1",
            rod="metric",
            path=path,
            surface=surface,
            reading=f"{(self.high_nm - level_nm) / 1e9:.3f} m",
        )
        self.job.receive_each(self.held.folder, [row])

    def built(self) -> set[str]:
        """Where a reading stands in the plan's place."""
        shots = self.held.state().job.shots.shots
        return {str(each.path) for each in shots if each.judged and each.state in ("kept", "unconfirmed")}

    def next_crest(self) -> None:
        """The last crest once more, a little higher or lower than it was."""
        assert self.crest.planned_nm is not None
        off = OFF_NM * (next(self.turns) % 3 - 1)
        self.read(self.crest.path, "stone top", self.crest.planned_nm + off)


def after_a_shot(folder: Path) -> Side:
    """Time [s] from a reading on the disk to the new judgement."""
    desk_of = cache(Desk)

    def once() -> float:
        desk = desk_of(folder)
        desk.next_crest()
        took = timed(desk.held.with_rows)
        if desk.crest.path not in desk.built():
            raise Unmeasured(f"the reading on {desk.crest.path} of {folder.name} did not count")
        return took

    return once


def typed_anew(folder: Path) -> Side:
    """Time [s] from a stream's width typed anew to the answer as text: findings, numbers, what changed."""
    return _edited(folder, _width, first_mm=600, drawn=False)


def dragged_crest(folder: Path) -> Side:
    """Time [s] from a crest that was moved by a millimetre to the answer as text and the long section drawn anew."""
    return _edited(folder, _crest, first_mm=100, drawn=True)


def _edited(folder: Path, where: Callable[[Sequence[Any]], Any], *, first_mm: int, drawn: bool) -> Side:
    desk_of = cache(Desk)

    def once() -> float:
        from rillwright.app.job_routes import try_drawing, try_values
        from rillwright.app.requests import Edit, Edits

        desk = desk_of(folder)
        state = desk.held.state()
        location = list(where(desk.job.fields_of(state.job)).location)
        typed = f"{first_mm + next(desk.turns)} mm"  # another at each call: nothing is remembered
        asked: Any = Edits(revision=state.revision, edits=[Edit(location=location, typed=typed)])

        def answered() -> None:
            found = json.loads(bytes(try_values(asked, desk.held, brief=True).body))
            if not found["changed"]["sentences"]:
                raise Unmeasured(f"{typed} at {location} of {folder.name} changed nothing")
            if drawn:
                try_drawing("long-section", asked, desk.held)

        return timed(answered)

    return once


def _width(fields: Sequence[Any]) -> Any:
    return next(each for each in fields if each.location[0] in ("stream", "streams") and each.location[-1] == "width")


def _crest(fields: Sequence[Any]) -> Any:
    """The first drop of a stream: by it all crests below stand higher or lower."""
    return next(each for each in fields if each.location[-1] == "drop")
