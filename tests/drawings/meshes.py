"""Surfaces of triangles made by hand: a hole of level floor in ground that falls, with a bank along its low side."""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.assessment import Assessment, Finished, Mesh, PartEarth

FALL = 0.04  # of the ground, down to the right


def ground_m(x: float, y: float) -> float:
    return 0.3 - FALL * x


def mesh_of(name: str, points: list[tuple[float, float, float]], triangles: list[tuple[int, int, int]]) -> Mesh:
    return Mesh(
        name=name,
        xyz=np.array(points, dtype=np.float64),
        triangles=np.array(triangles, dtype=np.int64),
        parts=("ponds/pond",),
        part_of=np.zeros(len(triangles), dtype=np.int64),
        upright=np.zeros(len(triangles), dtype=np.bool_),
        breaks=np.zeros((0, 2), dtype=np.int64),
    )


def rings(name: str, middle: tuple[float, float], levels: list[tuple[float, float, float]]) -> Mesh:
    """A surface of rings round a middle: (half length, half width, level; nan: that of the ground)."""
    count = 48
    points: list[tuple[float, float, float]] = [(*middle, levels[0][2])]
    for a, b, z in levels:
        for n in range(count):
            angle = math.tau * n / count
            x, y = middle[0] + a * math.cos(angle), middle[1] + b * math.sin(angle)
            points.append((x, y, ground_m(x, y) if math.isnan(z) else z))
    triangles = [(0, 1 + n, 1 + (n + 1) % count) for n in range(count)]
    for ring in range(len(levels) - 1):
        inner, outer = 1 + ring * count, 1 + (ring + 1) * count
        for n in range(count):
            m = (n + 1) % count
            triangles += [(inner + n, outer + n, outer + m), (inner + n, outer + m, inner + m)]
    return mesh_of(name, points, triangles)


def with_finished(assessment: Assessment) -> Assessment:
    """The same with a finished work round its body: floor, side, rim, bank, and the ground beyond."""
    body = assessment.feature.bodies[0]
    xs: NDArray[np.float64] = np.array(body.outline)
    (left, low), (right, high) = xs.min(axis=0), xs.max(axis=0)
    middle = ((left + right) / 2, (low + high) / 2)
    a, b, rim = body.length_m / 2, body.width_m / 2, 0.12
    nan = math.nan
    far = [(2.6 * a, 2.6 * b, nan), (6.0 * a, 6.0 * b, nan)]

    def surface(name: str, up: float) -> Mesh:
        floor = body.waterline.m - body.depth_m + up
        inner = [(0.55 * a, 0.55 * b, floor), (1.08 * a, 1.08 * b, rim + up), (1.3 * a, 1.3 * b, rim + up)]
        return rings(name, middle, [*inner, (1.6 * a, 1.6 * b, nan), *far])

    deepest = ground_m(middle[0] - 0.55 * a, middle[1]) - (body.waterline.m - body.depth_m - 0.05)
    finished = Finished(
        ground=rings("ground", middle, [(0.5 * a, 0.5 * b, nan), *far]),
        dug=surface("dug", -0.05),
        liner=surface("liner", -0.04),
        finished=surface("finished", 0.0),
        earth=(PartEarth(path=f"ponds/{body.id}", cut_m3=6.2, fill_m3=1.4, deepest_m=deepest, highest_m=0.2),),
        digest=f"made for {assessment.feature.name}",
    )
    ground = finished.ground.xyz
    ground[0, 2] = ground_m(ground[0, 0], ground[0, 1])
    return replace(assessment, finished=finished)
