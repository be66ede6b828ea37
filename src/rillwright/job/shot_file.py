"""shots.csv of a job: read as it stands, its levels put in the place of the plan."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rillwright.feature import BuiltLevel, Feature, Level, Origin, overlay, places
from rillwright.job.files import read_text
from rillwright.survey import ReducedShot, Shot, ShotSheet, SiteShots, read_shots, reduce_shots, with_rows

SHOT_FILE = "shots.csv"
_last: dict[Path, tuple[tuple[int, int, int], ShotSheet]] = {}  # read last, and what the file was then


def sheet_of(folder: Path) -> ShotSheet:
    """The rows of the folder's shots.csv; none where there is no such file.

    Raises
    ------
    InputError
        If it cannot be read, or is no file of shots.
    """
    file = folder / SHOT_FILE
    try:
        seen = file.stat()
    except FileNotFoundError:
        return ShotSheet()
    key = (seen.st_ino, seen.st_size, seen.st_mtime_ns)
    last = _last.get(file)
    if last is not None and last[0] == key:
        return last[1]
    sheet = read_shots(read_text(file, file=SHOT_FILE), file=SHOT_FILE)
    _keep(file, key, sheet)
    return sheet


def added_to(folder: Path, sheet: ShotSheet, rows: Sequence[Shot]) -> ShotSheet:
    """The sheet with rows that the caller, who holds the lock, has just written at the end of the folder's file."""
    file, grown = folder / SHOT_FILE, with_rows(sheet, rows)
    seen = file.stat()
    _keep(file, (seen.st_ino, seen.st_size, seen.st_mtime_ns), grown)
    return grown


def _keep(file: Path, key: tuple[int, int, int], sheet: ShotSheet) -> None:
    _last.clear()  # one file at a time is worked on
    _last[file] = (key, sheet)


def as_built(planned: Feature, sheet: ShotSheet) -> tuple[SiteShots, Feature]:
    """The shots reduced against the plan, and the feature with what holds of them in the plan's place."""
    if not sheet.shots:
        return SiteShots(unread=sheet.unread), planned
    marks = {mark.id: mark.level for mark in planned.marks}
    shots = reduce_shots(sheet, marks=marks, expected=places(planned))
    return shots, overlay(planned, [_built(shot) for shot in shots.shots if counts(shot)])


def counts(shot: ReducedShot) -> bool:
    """Whether a reading takes the plan's place: at something that is judged, neither doubted nor withdrawn."""
    return shot.judged and shot.level_m is not None and shot.state in ("kept", "unconfirmed")


def _built(shot: ReducedShot) -> BuiltLevel:
    assert shot.path is not None
    assert shot.surface is not None
    assert shot.level_m is not None
    source = f"shot {shot.shot.reading} in set-up {shot.shot.setup}"
    setup = f"{SHOT_FILE}, set-up {shot.shot.setup}"
    level = Level(shot.level_m, shot.surface, Origin.BUILT, source, shot.sigma_m, setup)
    return BuiltLevel(path=shot.path, level=level)
