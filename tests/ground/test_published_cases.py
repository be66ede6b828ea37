"""Earthwork, contours, polygons against printed values, closed forms and values computed independently."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from tests.ground.sites import data, grid, line
from tests.published.rows import Row, check

from rillwright.errors import InputError
from rillwright.ground import (
    LineRole,
    Tin,
    contours,
    covered,
    cut_out,
    even_levels,
    footprint,
    levels_at,
    tin_of,
    volumes_between,
    volumes_to_level,
)

FT, CUYD = 0.3048, 27 * 0.3048**3
PLANE = "plane z = 100 + 0.1 x - 0.05 y: closed form"
CELL = "one cell of 50 by 50 ft, public guide to grid volumes; the mean is printed, the volume computed from it"
VOSE = "Vose 1857, Handbook of Railroad Construction, article 108; the exact volume by the prismoidal rule"
SHOELACE = "shoelace, closed form; the five-cornered polygon is a classic example, from memory"


def plane(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    return 100.0 + 0.1 * x - 0.05 * y


def six_points() -> Tin:
    places = np.array(((0, 0), (10, 0), (10, 10), (0, 10), (4, 3), (6.5, 7)), dtype=float)
    return tin_of(data(np.column_stack((places, plane(*places.T)))))


def test_tin_of_a_plane() -> None:
    """Volume above 99: 125; surface 100 sqrt(1 + 0.01 + 0.0025) = 100.6231 (closed form)."""
    tin = six_points()
    assert volumes_to_level(tin, 99.0).cut_m3 == pytest.approx(125.0, abs=1e-9), PLANE
    assert tin.surface_m2 == pytest.approx(100 * math.sqrt(1.0125), abs=1e-9), PLANE
    check(Row(lambda: tin.surface_m2, "100.6231", PLANE))


def test_zero_line_across_a_cell() -> None:
    """Plane z = 0.1 x - 0.5 on 10 by 10: cut = fill = 12.5 (closed form); a mean of corners would say 0 each."""
    found = volumes_to_level(grid(10.0, 10.0, 1, lambda x, y: 0.1 * x - 0.5), 0.0)
    assert found.cut_m3 == pytest.approx(12.5, abs=1e-9)
    assert found.fill_m3 == pytest.approx(12.5, abs=1e-9)
    assert (found.cut_m2, found.fill_m2) == pytest.approx((50.0, 50.0), abs=1e-9)


def test_cut_and_fill_that_means_would_mistake() -> None:
    """Plane z = 0.1 x - 0.3: closed form (0.7^2, 0.3^2) / 2 / 0.1 * 10 = 24.5 and 4.5; four corners' mean: 20, 0."""
    found = volumes_to_level(grid(10.0, 10.0, 1, lambda x, y: 0.1 * x - 0.3), 0.0)
    assert (found.cut_m3, found.fill_m3) == pytest.approx((24.5, 4.5), abs=1e-9)
    assert found.net_m3 == pytest.approx(20.0, abs=1e-9)


@pytest.mark.parametrize(("diagonal", "volume"), [(((0, 0), (10, 10)), 33.33), (((10, 0), (0, 10)), -33.33)])
def test_saddle_depends_on_the_diagonal(diagonal: tuple[tuple[int, int], tuple[int, int]], volume: float) -> None:
    """Corners +1, -1, +1, -1 on 10 by 10: +33.33 or -33.33 by the diagonal (closed form); a break line decides it."""
    corners = [(0, 0, 1), (10, 0, -1), (10, 10, 1), (0, 10, -1)]
    level = 1.0 if diagonal[0] == (0, 0) else -1.0
    tin = tin_of(data(corners, line("diagonal", [(*at, level) for at in diagonal])))
    assert volumes_to_level(tin, 0.0).net_m3 == pytest.approx(volume, abs=0.005)


def test_cells_by_the_grid_rule() -> None:
    """Public guide: corners 87.6, 87.6, 87.6, 88.6, grade 90, 50 by 50 ft: mean 87.85, fill 199.07 cu yd.

    A mean of four corners is the mean of both diagonals' surfaces.
    """
    corners = [(0.0, 0.0, 87.6), (50.0, 0.0, 87.6), (50.0, 50.0, 88.6), (0.0, 50.0, 87.6)]
    fills = []
    for ends in ((0, 2), (1, 3)):
        tin = tin_of(
            data([[FT * x for x in row] for row in corners], line("d", [[FT * x for x in corners[k]] for k in ends]))
        )
        fills.append(volumes_to_level(tin, 90.0 * FT).fill_m3 / CUYD)
    check(Row(lambda: sum(fills) / 2, "199.07", CELL, seen=True))


def test_four_cells_by_shared_corners() -> None:
    """Depths on a 2 by 2 grid of 10 by 10: A / 4 sum(n h) = 522.5 (closed form), as the mean of both diagonals."""
    depth = np.array(((1.0, 1.2, 0.9), (1.4, 1.8, 1.1), (0.8, 1.3, 1.0)))
    found = []
    for rising in (True, False):
        points, lines = [], []
        for i in range(3):
            points += [(10.0 * j, 10.0 * i, -depth[i, j]) for j in range(3)]
        for i in range(2):
            for j in range(2):
                ends = ((i, j), (i + 1, j + 1)) if rising else ((i, j + 1), (i + 1, j))
                lines.append(line(f"{i}{j}", [(10.0 * b, 10.0 * a, -depth[a, b]) for a, b in ends]))
        found.append(volumes_to_level(tin_of(data(points, *lines)), 0.0).fill_m3)
    assert sum(found) / 2 == pytest.approx(522.5, abs=1e-9)


def cutting() -> tuple[Tin, Tin]:
    """Ground and formation of Vose's cutting: base 20 ft, slopes 1 1/2 to 1, cuts 0, 5, 10, 15, 0 ft at 50 ft."""
    stations = list(zip((0.0, 50.0, 100.0, 150.0, 200.0), (0.0, 5.0, 10.0, 15.0, 0.0), strict=True))
    half = 10.0 + 1.5 * 15.0
    ground = [(x, y, cut) for x, cut in stations for y in (-half - 1, half + 1)]
    base = [(x, y, 0.0) for x, _ in stations for y in (-10.0, 10.0)]
    top = [(x, y, 15.0) for x, _ in stations for y in (-half, half)]
    return tin_of(data([[FT * x for x in row] for row in ground])), tin_of(
        data([[FT * x for x in row] for row in base + top])
    )


def test_a_railway_cutting() -> None:
    """End areas give the printed 56,200 cu ft; between straight levels the prismoidal 52,500 is exact."""
    ground, formation = cutting()
    volume = volumes_between(ground, formation).cut_m3 / FT**3
    assert volume == pytest.approx(52_500.0, abs=0.5), VOSE
    rounded = (0, 137, 350, 637, 0)  # as printed
    check(Row(lambda: sum(50 * (a + b) / 2 for a, b in itertools.pairwise(rounded)) / 100, "562", VOSE, seen=True))
    exact = [20 * cut + 1.5 * cut**2 for cut in (0, 5, 10, 15, 0)]
    ends = sum(50 * (a + b) / 2 for a, b in itertools.pairwise(exact))
    assert ends == pytest.approx(56_250.0)
    assert ends > volume, "end areas give too much where the area bends upward"


def test_prismoid() -> None:
    """L 100, areas 150, 190, 250 sq ft: prismoidal 19,333.3 cu ft = 716.05 cu yd; end areas 740.74 (secondary page).

    Those areas are those of a trench of 127.5 sq ft all along and of a V of sides 1.6 to 1, 3.75 to 8.75 ft deep.
    """
    deep = ((0.0, 3.75), (100.0, 8.75))
    level = tin_of(data([(x * FT, y * FT, 0.0) for x, _ in deep for y in (-127.5, 127.5)]))
    slab = tin_of(data([(x * FT, y * FT, -FT) for x, _ in deep for y in (0.0, 127.5)]))
    v = [(x * FT, side * 1.6 * d * FT, 0.0) for x, d in deep for side in (-1.0, 1.0)]
    foot = [(x * FT, 0.0, -d * FT) for x, d in deep]
    edges = [line(f"edge {side}", [v[0 + side], v[2 + side]]) for side in (0, 1)]
    whole = volumes_between(level, slab).cut_m3 + volumes_between(level, tin_of(data([*v, *foot], *edges))).cut_m3
    areas = [127.5 + 1.6 * (3.75 + 0.05 * x) ** 2 for x in (0.0, 50.0, 100.0)]
    assert areas == pytest.approx([150.0, 190.0, 250.0])
    check(Row(lambda: whole / CUYD, "716.05", "prismoidal rule L (A1 + 4 Am + A2) / 6: exact for this solid"))
    check(Row(lambda: 100 * (areas[0] + areas[2]) / 2 / 27, "740.74", "end-area rule: definition"))


def test_cone_contour() -> None:
    """Cone z = 10 - r on a 0.1 grid, level 5: one ring, area 25 pi = 78.5398, length 10 pi (closed form, 1e-4)."""
    tin = grid(20.0, 20.0, 200, lambda x, y: 10.0 - np.hypot(x - 10.0, y - 10.0))
    (ring,) = contours(tin, [5.0])
    assert ring.closed
    assert ring.area_m2 == pytest.approx(78.5398, rel=1e-4)
    assert ring.length_m == pytest.approx(31.41593, rel=1e-4)
    centre = ring.xy - 10.0
    assert np.hypot(*centre.T) == pytest.approx(np.full(len(ring.xy), 5.0), abs=6e-4)


POLYGONS = {
    "L": (((0, 0), (10, 0), (10, 6), (6, 6), (6, 10), (0, 10)), "84"),
    "five corners": (((3, 4), (5, 11), (12, 8), (9, 5), (5, 6)), "30"),
}


@pytest.mark.parametrize("name", POLYGONS)
def test_ground_inside_polygons(name: str) -> None:
    """Areas by the shoelace: 84 and 30; the surface cut by the outline has the same, and every level as it was."""
    outline, printed = POLYGONS[name]
    tin = grid(12.0, 12.0, 7, lambda x, y: np.sin(x) + 0.1 * y)
    part = cut_out(tin, outline)
    check(Row(lambda: part.area_m2, printed, SHOELACE))
    middles = part.xyz[part.triangles][:, :, :2].mean(axis=1)
    assert levels_at(part, middles) == pytest.approx(levels_at(tin, middles), abs=1e-9)


def test_a_hole() -> None:
    """30 by 20 with a hole 10..20 by 5..15: area 500, centroid (15, 10) (closed form)."""
    tin = grid(30.0, 20.0, 4, lambda x, y: 0.0 * x)
    hole = ((10, 5), (20, 5), (20, 15), (10, 15))
    drawn = cut_out(tin, ((0, 0), (30, 0), (30, 20), (0, 20)), holes=[hole])
    given = tin_of(
        data([(0, 0, 0), (30, 0, 0), (30, 20, 0), (0, 20, 0)], line("hole", [(*at, 0) for at in hole], LineRole.HOLE))
    )
    for found in (drawn, given):
        assert found.area_m2 == pytest.approx(500.0, abs=1e-6)
        centre = shapely.get_coordinates(shapely.centroid(footprint(found)))[0]
        assert tuple(centre) == pytest.approx((15.0, 10.0), abs=1e-6)
        assert np.isnan(levels_at(found, np.array([(15.0, 10.0)]))).all()


@pytest.mark.parametrize(("sides", "printed"), [(8, "2.828427"), (16, "3.061467"), (64, "3.136548"), (360, "3.141433")])
def test_drawn_circles(sides: int, printed: str) -> None:
    """A regular polygon in a circle of 1 m: n / 2 sin(2 pi / n) (closed form), as cut out of a plane."""
    ring = [(math.cos(math.tau * k / sides), math.sin(math.tau * k / sides)) for k in range(sides)]
    tin = tin_of(data([(-2, -2, 0), (2, -2, 0), (2, 2, 0), (-2, 2, 0)]))
    check(Row(lambda: cut_out(tin, ring).area_m2, printed, SHOELACE))
    assert not covered(tin, ring).leaves


def test_even_levels_and_their_bounds() -> None:
    tin = six_points()
    assert even_levels(tin, every_m=0.25) == pytest.approx((99.5, 99.75, 100.0, 100.25, 100.5, 100.75, 101.0))
    for every in (0.0, -1.0, math.nan, 1e-6):
        with pytest.raises(InputError, match="interval"):
            even_levels(tin, every_m=every)
