"""Made sites: planes, cones, cells, rough ground with break lines. All invented."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from rillwright.ground import GroundData, GroundLine, LineRole, Tin, tin_of
from rillwright.ground.data import Floats

Height = Callable[[Floats, Floats], Floats]


def data(
    points: Sequence[Sequence[float]] | Floats, *lines: GroundLine, names: tuple[str, ...] = (), name: str = "site"
) -> GroundData:
    return GroundData(name=name, xyz=np.array(points, dtype=np.float64).reshape(-1, 3), lines=lines, names=names)


def line(id: str, points: Sequence[Sequence[float]] | Floats, role: LineRole = LineRole.BREAK) -> GroundLine:
    return GroundLine(id=id, xyz=np.array(points, dtype=np.float64).reshape(-1, 3), role=role)


def on(places: Floats, height: Height) -> Floats:
    return np.column_stack((places, height(*places.T)))


def grid(wide: float, high: float, cells: int, height: Height) -> Tin:
    """A square grid of levels [m], `cells` a side."""
    x, y = np.meshgrid(np.linspace(0.0, wide, cells + 1), np.linspace(0.0, high, cells + 1))
    return tin_of(data(on(np.column_stack((x.ravel(), y.ravel())), height)))


def rough(seed: int, *, count: int = 200, wide: float = 20.0) -> Floats:
    """Points of ground that is smooth with a roughness on it, corners included (n, 3) [m]."""
    rng = np.random.default_rng(seed)
    corners = np.array(((0.0, 0.0), (wide, 0.0), (wide, wide), (0.0, wide)))
    places = np.concatenate((corners, rng.random((count, 2)) * wide))
    height = 0.05 * places[:, 0] + 0.4 * np.sin(places[:, 1] / 3.0) + rng.normal(0.0, 0.05, len(places))
    return np.column_stack((places, height))


def bank(seed: int, *, count: int = 150) -> GroundData:
    """Rough ground with a ditch along two break lines of its own levels [m]."""
    x = np.linspace(1.0, 19.0, 24)
    top = np.column_stack((x, 9.0 + np.sin(x / 2.0), 0.3 + 0.05 * x))
    foot = np.column_stack((x, 10.2 + np.sin(x / 2.0), 0.05 * x - 0.6))
    points = rough(seed, count=count)
    ditch = 9.0 + np.sin(points[:, 0] / 2.0)
    away = (points[:, 1] < ditch - 0.2) | (points[:, 1] > ditch + 1.4)
    return data(points[away], line("top", top), line("foot", foot))
