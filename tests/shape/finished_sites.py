"""Made sites whose finished work is known by hand: all invented."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray
from tests.shape import sample

from rillwright.feature import XY, Body, Feature, LinerSpec, Mark, Rim, Stream, Surface
from rillwright.shape import Finished, Mesh, finish, surface
from rillwright.sources import default

CREST = default("earth.berm_crest").number  # [m]
NO_THICKNESS = LinerSpec(
    name="of no thickness", thickness_m=0.0, mass_kgm2=1.0, spare_m=0.3, underlay_m=0.0, underlay_kgm2=0.0
)
KIDNEY: tuple[XY, ...] = (
    (0.0, 0.0), (2.5, -0.4), (4.5, 0.3), (4.8, 2.0), (3.5, 2.8), (2.4, 1.9), (1.0, 2.6), (-0.3, 1.5),
)  # fmt: skip


def rectangle(length_m: float, width_m: float) -> tuple[XY, ...]:
    x, y = 0.5 * length_m, 0.5 * width_m
    return ((-x, -y), (x, -y), (x, y), (-x, y))


def regular(corners: int, radius_m: float) -> tuple[XY, ...]:
    turns = [2.0 * math.pi * i / corners for i in range(corners)]
    return tuple((radius_m * math.cos(turn), radius_m * math.sin(turn)) for turn in turns)


def on_plane(
    *bodies: Body, streams: tuple[Stream, ...] = (), ground_m: float = 0.0, fall: XY = (0.0, 0.0), far_m: float = 20.0
) -> Feature:
    """Bodies and streams on ground that is one plane: `ground_m` [m] at the origin, rising by `fall` [-]."""
    corners = [(x, y) for x in (-far_m, far_m) for y in (-far_m, far_m)]
    marks = tuple(
        Mark(
            id=f"p{i}",
            role="point",
            at=at,
            level=sample.level(ground_m + fall[0] * at[0] + fall[1] * at[1], Surface.GROUND),
        )
        for i, at in enumerate(corners)
    )
    made = sample.feature(bodies=bodies, streams=streams, runs=())
    return replace(made, marks=(*made.marks, *marks), laps=(), liner=NO_THICKNESS)


def pond(
    outline: tuple[XY, ...], *, depth_m: float = 0.6, waterline_m: float = -0.1, side: float = 2.0, berm_m: float = 0.0,
    at: XY | None = None, shelf: tuple[float, float] = (0.0, 0.0), gravel_m: float = 0.0,
) -> Body:  # fmt: skip
    """A pond on level ground at nought, its one rim raised all round by a berm that never settles."""
    made = sample.body(outline, depth_m=depth_m, waterline_m=waterline_m)
    rim = Rim(id="rim", body="pond", ground=sample.level(0.0, Surface.GROUND), berm_m=berm_m, settlement=0.0, at=at)
    return replace(
        made, rims=(rim,), side_up_per_across=side, shelf_width_m=shelf[0], shelf_depth_m=shelf[1], gravel_m=gravel_m
    )


def finished(feature: Feature, *, every_m: float = 0.15) -> Finished:
    return finish(feature, surface(feature), every_m=every_m)


@cache
def kidney(*, every_m: float = 0.15) -> tuple[Feature, Finished]:
    made = on_plane(pond(KIDNEY, shelf=(0.25, 0.3), gravel_m=0.05))
    return made, finished(made, every_m=every_m)


def area_m2(mesh: Mesh) -> float:
    """Of all triangles in plan [m2]; upright ones have none."""
    corners = mesh.xyz[mesh.triangles]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return float(0.5 * (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum())


def below_m3(mesh: Mesh, level_m: float, path: str) -> float:
    """Water [m3] that stands under a level [m] over the parts of that path: cut triangle by triangle."""
    from rillwright.ground import volumes_to_level
    from rillwright.shape import tin_of_mesh
    from rillwright.shape.mesh_reading import lying

    rows = (mesh.part_of == mesh.parts.index(path)) & lying(mesh)
    return volumes_to_level(replace(tin_of_mesh(mesh), triangles=mesh.triangles[rows]), level_m).fill_m3


def edges_of(mesh: Mesh) -> dict[tuple[int, int], int]:
    """How many triangles meet at each edge, by its two rows."""
    t = mesh.triangles
    sides = np.sort(np.concatenate((t[:, (0, 1)], t[:, (1, 2)], t[:, (2, 0)])), axis=1)
    found, count = np.unique(sides, axis=0, return_counts=True)
    return {(int(a), int(b)): int(n) for (a, b), n in zip(found, count, strict=True)}


def moved(outline: tuple[XY, ...], *, turn: float, by: XY) -> tuple[XY, ...]:
    cos, sin = math.cos(turn), math.sin(turn)
    return tuple((by[0] + cos * x - sin * y, by[1] + sin * x + cos * y) for x, y in outline)


def heights(mesh: Mesh) -> NDArray[np.float64]:
    """Height of every upright triangle [m]."""
    found: NDArray[np.float64] = np.ptp(mesh.xyz[mesh.triangles[mesh.upright]][:, :, 2], axis=1)
    return found
