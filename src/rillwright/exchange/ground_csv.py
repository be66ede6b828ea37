"""A surveyor's CSV as levels of ground: points, and the lines that a column names."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rillwright.errors import InputError, Problem
from rillwright.exchange.point import ExchangePoint
from rillwright.feature import Surface
from rillwright.ground import GroundData, GroundLine, LineRole

OF_GROUND = (Surface.GROUND, Surface.MARK)
_WORDS = (("boundary", LineRole.BOUNDARY), ("hole", LineRole.HOLE))


def ground_of_points(points: Sequence[ExchangePoint], *, file: str) -> GroundData:
    """Levels of ground of exchange points, in the order in which they stand.

    Points that name the same line are joined in that order; several lines are parted by semicolons. A line whose name
    begins with boundary or hole closes and bounds the ground. Points of another surface than ground or mark, and points
    without a level, are passed over, and a remark says so.

    Raises
    ------
    InputError
        If no point is left.
    """
    used = [p for p in points if p.level_m is not None and (p.surface is None or p.surface in OF_GROUND)]
    if not used:
        raise InputError(Problem(message="holds no level of ground", file=file, found=f"{len(points)} points"))
    xyz = np.array([(p.easting_m, p.northing_m, p.level_m) for p in used], dtype=np.float64)
    along: dict[str, list[int]] = {}
    for row, point in enumerate(used):
        for name in filter(None, (part.strip() for part in point.line.split(";"))):
            along.setdefault(name, []).append(row)
    lines = tuple(GroundLine(id=name, xyz=xyz[rows], role=_role(name)) for name, rows in along.items())
    passed = len(points) - len(used)
    remarks = (f"passed over in {file}: {passed} points without a level of ground",) if passed else ()
    return GroundData(name=file, xyz=xyz, names=tuple(p.id for p in used), lines=lines, remarks=remarks)


def _role(name: str) -> LineRole:
    return next((role for word, role in _WORDS if name.casefold().startswith(word)), LineRole.BREAK)
