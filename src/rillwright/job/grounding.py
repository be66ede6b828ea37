"""The ground of files and of the job's own levels: what is known of it, drawn, and written for others."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import XY, Surface
from rillwright.ground import (
    Agreed,
    Covered,
    GroundData,
    Section,
    Spot,
    Tin,
    Volumes,
    contours,
    covered,
    even_levels,
    joined,
    section,
    spots,
    tin_of,
    volumes_between,
    volumes_to_level,
)
from rillwright.job.files import write_whole
from rillwright.job.ground_reading import GroundSaid as GroundSaid
from rillwright.job.ground_reading import of_file
from rillwright.job.opening import FEATURE_FILE, Job
from rillwright.job.opening import open as open_job
from rillwright.units import parse

CONTOURS = 10  # about as many, where no interval is said
_INTERVALS = {
    "us": "1/2 in, 1 in, 2 in, 3 in, 6 in, 1 ft, 2 ft, 5 ft, 10 ft, 20 ft, 50 ft, 100 ft, 200 ft",
    "metric": "10 mm, 20 mm, 50 mm, 100 mm, 200 mm, 500 mm, 1 m, 2 m, 5 m, 10 m, 20 m, 50 m, 100 m",
}
_SURFACES = (Surface.GROUND, Surface.MARK)
_ROLES = ("point", "paving")  # a benchmark may be a bolt in a wall


class Ground(Struct, frozen=True, kw_only=True, eq=False):
    """A surface of the ground and what it was made of; `job` where the levels of one are in it."""

    tin: Tin
    job: Job | None


class GroundTold(Struct, frozen=True, kw_only=True):
    """What there is to say of a surface: counts, extent [m], levels [m], areas [m2], remarks."""

    shots: int
    triangles: int
    low: XY
    high: XY
    lowest_m: float
    lowest_at: XY
    highest_m: float
    highest_at: XY
    area_m2: float
    surface_m2: float
    merged: int
    agreed: tuple[Agreed, ...]
    remarks: tuple[str, ...]


def ground_of(paths: Sequence[Path], said: GroundSaid | None = None) -> Ground:
    """One surface of all that the files and job folders say together.

    Raises
    ------
    InputError
        If a file cannot be read, or what they say together is no surface: break lines that cross, one place at two
        levels, too few levels.
    """
    said = said if said is not None else GroundSaid()
    jobs = [open_job(path) if _is_job(path) else None for path in paths]
    data = []
    for path, job in zip(paths, jobs, strict=True):
        if job is None:
            data.append(of_file(path, said, file=path.name))
            continue
        data += [_of_job(job), *([] if job.ground is None else [job.ground])]
    return Ground(tin=tin_of(joined(data)), job=next((job for job in jobs if job is not None), None))


def ground_told(ground: Ground) -> GroundTold:
    """What there is to say of a surface, lengths in m."""
    tin = ground.tin
    points = tin.xyz.tolist()
    lowest, highest = min(points, key=lambda p: p[2]), max(points, key=lambda p: p[2])
    return GroundTold(
        shots=sum(tin.shots.tolist()),
        triangles=len(tin.triangles),
        low=(min(p[0] for p in points), min(p[1] for p in points)),
        high=(max(p[0] for p in points), max(p[1] for p in points)),
        lowest_m=lowest[2],
        lowest_at=(lowest[0], lowest[1]),
        highest_m=highest[2],
        highest_at=(highest[0], highest[1]),
        area_m2=tin.area_m2,
        surface_m2=tin.surface_m2,
        merged=tin.merged,
        agreed=tin.agreed,
        remarks=tin.remarks,
    )


def spots_on(ground: Ground, places: Sequence[XY]) -> tuple[Spot, ...]:
    """Levels [m] at places [m], how far the nearest shot lies, and their bands [m]."""
    return spots(ground.tin, places)


def section_over(ground: Ground, line: Sequence[XY], *, step_m: float | None = None) -> Section:
    """The ground along a line [m], with a station at least every `step_m` [m].

    Raises
    ------
    InputError
        If the line has no length, or the step is none.
    """
    return section(ground.tin, line, step_m=step_m)


def earth_between(before: Ground, after: Ground) -> Volumes:
    """What is to cut and to fill from one surface to another [m3]."""
    return volumes_between(before.tin, after.tin)


def earth_to_level(ground: Ground, level_m: float) -> Volumes:
    """What is to cut and to fill to one level [m]: volumes [m3]."""
    return volumes_to_level(ground.tin, level_m)


def outlines_on(ground: Ground) -> tuple[tuple[str, Covered], ...]:
    """Of the job's bodies, how much of each outline lies on surveyed ground: areas [m2]."""
    if ground.job is None:
        return ()
    bodies = [body for body in ground.job.planned.bodies if len(body.outline) > 2]
    return tuple((f"{body.kind.value} {body.id}", covered(ground.tin, body.outline)) for body in bodies)


def interval_of(ground: Ground, *, system: str) -> float:
    """The least usual interval [m], in the reader's units, at which there are no more than about ten contours."""
    levels = ground.tin.xyz[:, 2]
    wanted = float(levels.max() - levels.min()) / CONTOURS
    usual = [parse(typed, "length").si for typed in _INTERVALS[system].split(", ")]
    return next((step for step in usual if step >= wanted), usual[-1])


def ground_svg(ground: Ground, *, every_m: float, system: str) -> str:
    """The surface as contours `every_m` [m], to scale, as the text of an SVG.

    Raises
    ------
    InputError
        If there are too many contours, or the site is too large for every standard scale.
    """
    from rillwright.drawings import ContourLine, draw_contours, write_svg

    tin = ground.tin
    lines = [
        ContourLine(level_m=each.level_m, points=tuple((x, y) for x, y in each.xy.tolist()), closed=each.closed)
        for each in contours(tin, even_levels(tin, every_m=every_m))
    ]
    shots = [(x, y) for (x, y, _), shot in zip(tin.xyz.tolist(), tin.shots.tolist(), strict=True) if shot]
    outlines = [] if ground.job is None else [body.outline for body in ground.job.planned.bodies]
    drawn = draw_contours(lines, shots=shots, outlines=outlines, name=tin.name, every_m=every_m, system=system)
    return write_svg(drawn, background=True)


def ground_dxf(ground: Ground, *, every_m: float) -> str:
    """The surface's contours `every_m` [m] and shots as the text of a DXF drawing in metres.

    Raises
    ------
    InputError
        If there are too many contours.
    """
    from rillwright.exchange import write_contours_dxf

    tin = ground.tin
    return write_contours_dxf(contours(tin, even_levels(tin, every_m=every_m)), shots=tin.xyz[tin.shots])


def write_ground(path: Path, text: str, *, over: bool) -> None:
    """Write a drawing of the ground whole or not at all.

    Raises
    ------
    OutputError
        If it is there and `over` is false, or cannot be written.
    """
    write_whole(path, text.encode("utf-8"), over=over)


def _is_job(path: Path) -> bool:
    return path.is_dir() or path.name == FEATURE_FILE or path.suffix.lower() in (".yaml", ".yml")


def _of_job(job: Job) -> GroundData:
    """The job's own levels of ground and paving that have a place."""
    from rillwright.exchange import ExchangePoint, ground_of_points

    marks = [m for m in job.planned.marks if m.role in _ROLES and m.level.surface in _SURFACES]
    placed = [(mark, mark.at) for mark in marks if mark.at is not None]
    name = job.planned.name
    points = [ExchangePoint(id=mark.id, easting_m=at[0], northing_m=at[1], level_m=mark.level.m) for mark, at in placed]
    found = ground_of_points(points, file=name)
    lost = len(marks) - len(placed)
    remarks = (f"{lost} levels of {name} have no place, and are not in it",) if lost else ()
    return replace(found, sigma_m=max(mark.level.sigma_m for mark, _ in placed), remarks=remarks)
