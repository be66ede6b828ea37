"""Levels of ground as they were given: points, lines over which the ground breaks, faces."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.sources import default

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Flags = NDArray[np.bool_]


class LineRole(StrEnum):
    """What a line does to a surface: the ground breaks there, ends there, or has a hole there."""

    BREAK = "break"
    BOUNDARY = "boundary"
    HOLE = "hole"


class GroundLine(Struct, frozen=True, kw_only=True, eq=False):
    """A line of levels, `xyz` of shape (k, 3) [m]. A boundary or a hole closes on its first point by itself."""

    id: str
    xyz: Floats
    role: LineRole = LineRole.BREAK
    closed: bool = False
    sigma_m: float | None = None  # standard error of one level [m]; None: as the data's

    @property
    def closes(self) -> bool:
        return self.closed or self.role is not LineRole.BREAK


class Names(Struct, frozen=True, kw_only=True, eq=False):
    """What points are called, said when asked: `rows` (n,) of the data's points, then of its lines', -1 for no shot.

    `points` are the names of the data's points, or none, `count` how many there are; `lines` names and sizes of lines.
    """

    rows: Indices
    points: tuple[str, ...]
    count: int
    lines: tuple[tuple[str, int], ...]

    def of(self, point: int) -> str:
        """What a point is called."""
        row = int(self.rows[point])
        if row < 0:
            return "a place between shots"
        if row < self.count:
            return f"point {self.points[row]}" if self.points else f"point {row + 1}"
        row -= self.count
        for line, size in self.lines:
            if row < size:
                return f"line {line}, its point {row + 1}"
            row -= size
        raise IndexError(point)

    def at(self, points: Indices) -> Names:
        """The names of some of the points; -1 is no shot."""
        return replace(self, rows=np.where(points < 0, -1, self.rows[points]))


class GroundData(Struct, frozen=True, kw_only=True, eq=False):
    """What a file, a cloud or a level book says of one surface.

    `xyz` is of shape (n, 3) [m]; `names` are those of its rows, or none at all. `faces` (f, 3) are rows of `xyz` where
    the file brings its own triangles. `remarks` say what was passed over or thinned out on the way in.
    """

    name: str
    xyz: Floats
    names: tuple[str, ...] = ()
    lines: tuple[GroundLine, ...] = ()
    faces: Indices | None = None
    sigma_m: float | None = None  # standard error of one level [m]; None: the default of a shot
    sigmas_m: Floats | None = None  # of each row of `xyz` by itself [m]; 0: as the others
    unit: str = ""  # in which its numbers were read, where a file brought them
    parts: tuple[GroundData, ...] = ()  # of what was joined
    remarks: tuple[str, ...] = ()

    @property
    def error_m(self) -> float:
        """The standard error of one level [m]."""
        return self.sigma_m if self.sigma_m is not None else default("level.sigma_shot").number

    @property
    def errors_m(self) -> Floats:
        """The standard error [m] of each row of `xyz`, then of the lines'."""
        own = np.full(len(self.xyz), self.error_m)
        if self.sigmas_m is not None:
            own = np.where(self.sigmas_m > 0.0, self.sigmas_m, own)
        lines = [np.full(len(line.xyz), self.error_m if line.sigma_m is None else line.sigma_m) for line in self.lines]
        found: Floats = np.concatenate((own, *lines))
        return found

    @property
    def each(self) -> tuple[GroundData, ...]:
        """The sets that were joined, or this one alone."""
        return self.parts or (self,)

    @property
    def called(self) -> Names:
        """What the rows of `xyz`, then those of the lines, are called."""
        lines = tuple((line.id, len(line.xyz)) for line in self.lines)
        count = len(self.xyz)
        rows = np.arange(count + sum(size for _, size in lines))
        return Names(rows=rows, points=self.names, count=count, lines=lines)


def joined(data: Sequence[GroundData]) -> GroundData:
    """Several sets of levels as one surface's; those with faces of their own give their points alone.

    Raises
    ------
    ValueError
        If there is none.
    """
    if len(data) == 1:
        return data[0]
    names = tuple(
        each.names[row] if each.names else f"{each.name} {row + 1}" for each in data for row in range(len(each.xyz))
    )
    sigmas = [each.sigma_m for each in data if each.sigma_m is not None]
    remarks = [remark for each in data for remark in each.remarks]
    remarks += [f"of {each.name} the points are taken, not its faces" for each in data if each.faces is not None]
    return GroundData(
        name=" and ".join(each.name for each in data),
        xyz=np.concatenate([each.xyz for each in data]),
        names=names,
        lines=tuple(
            line if line.sigma_m is not None else replace(line, sigma_m=each.error_m)
            for each in data
            for line in each.lines
        ),
        sigma_m=max(sigmas) if sigmas else None,
        sigmas_m=np.concatenate([each.errors_m[: len(each.xyz)] for each in data]),
        remarks=tuple(remarks),
        parts=tuple(data),
    )
