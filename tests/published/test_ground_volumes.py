"""Volumes of cells and of solids whose end areas are exact or too low; outlines; a window of real ground.

'Computed independently' rows were worked out by plain arithmetic, or with other software, apart from this code.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely
from matplotlib.cbook import get_sample_data
from tests.ground.sites import data, grid, line
from tests.published.rows import Row, check
from tests.published.test_geometry import pond, with_pond

from rillwright.earth import prismoid_m3
from rillwright.ground import Tin, cut_out, footprint, levels_at, tin_of, volumes_to_level
from rillwright.hydraulics import average_end_volume

FT = 0.3048
CU_YD = 27 * FT**3
COMPUTED = "computed independently"
CELL = "one cell of 2,000 sq ft, grade 83, public guide to grid volumes; the mean is printed, the volume computed"
SOLIDS = "closed form; that end areas always give too much, as a public page has it, is wrong"
SHOELACE = "computed independently, Shapely; the five-cornered polygon is a classic example, from memory"
TERRAIN = "matplotlib's open terrain sample, rows 100..119 and columns 200..219, computed independently"


def cell_yd3() -> float:
    """Fill of the cell as the mean of both diagonals' surfaces, which is what the mean of four corners says."""
    corners = [(0.0, 0.0, 75.4), (50.0, 0.0, 77.5), (50.0, 40.0, 74.6), (0.0, 40.0, 80.5)]
    metres = [[FT * x for x in row] for row in corners]
    fills = []
    for ends in ((0, 2), (1, 3)):
        tin = tin_of(data(metres, line("diagonal", [metres[k] for k in ends])))
        fills.append(volumes_to_level(tin, 83.0 * FT).fill_m3 / CU_YD)
    return sum(fills) / 2


def cell_mean_ft() -> float:
    """Grade less fill over area."""
    return 83.0 - cell_yd3() * 27 / 2000


def ramp() -> Tin:
    """Ground that rises 1 to 6 ft over 100 ft, 20 ft wide: its area across is linear, 20 to 120 sq ft."""
    return grid(100.0 * FT, 20.0 * FT, 1, lambda x, y: FT + 0.05 * x)


def spur() -> Tin:
    """A plane from an edge 30 ft wide at nought to a point 6 ft up, 100 ft on: nought across at either end, and
    180 s (1 - s) sq ft at a share of s between; 180 x 100 / 6 cu ft in all."""
    return tin_of(data([(x * FT, y * FT, z * FT) for x, y, z in ((0, -15, 0), (0, 15, 0), (100, 0, 6))]))


def above_ft3(tin: Tin) -> float:
    return volumes_to_level(tin, 0.0).cut_m3 / FT**3


@cache
def window() -> Tin:
    """The window of the sample, in metres as they are, a step of one metre between."""
    held: Any = get_sample_data("jacksboro_fault_dem.npz")
    with held:
        z = held["elevation"].astype(np.float64)[100:120, 200:220]
    y, x = np.mgrid[0:20, 0:20].astype(np.float64)
    return tin_of(data(np.column_stack((x.ravel(), y.ravel(), z.ravel()))))


def window_levels() -> np.ndarray[Any, np.dtype[np.float64]]:
    y, x = np.mgrid[0:20, 0:20].astype(np.float64)
    return levels_at(window(), np.column_stack((x.ravel(), y.ravel())))


ROWS = {
    "cell": Row(cell_yd3, "444.44", CELL),
    "mean of the cell": Row(cell_mean_ft, "77.00", CELL, seen=True),
    "ramp": Row(lambda: above_ft3(ramp()), "7000.00", SOLIDS),
    "ramp by end areas": Row(lambda: average_end_volume(20, 120, 100), "7000.00", SOLIDS),
    "ramp by prismoids": Row(lambda: prismoid_m3(100, areas_m2=(20, 70, 120)), "7000.00", SOLIDS),
    "spur": Row(lambda: above_ft3(spur()), "3000.00", SOLIDS),
    "spur by prismoids": Row(lambda: prismoid_m3(100, areas_m2=(0, 45, 0)), "3000.00", SOLIDS),
    "spur by three end areas": Row(lambda: 2 * average_end_volume(0, 45, 50), "2250.00", SOLIDS),
    "lowest of the window": Row(lambda: float(window_levels().min()), "487", TERRAIN),
    "highest of the window": Row(lambda: float(window_levels().max()), "652", TERRAIN),
    "mean of the window": Row(lambda: float(window_levels().mean()), "536.4925", TERRAIN),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


def test_end_areas_are_too_low_where_the_area_bends_downward() -> None:
    """A(s) = 180 s (1 - s) is concave: any end areas lie below it, and the more of them the nearer."""
    exact = above_ft3(spur())
    sums = []
    for parts in (2, 4, 10):
        areas = [180 * (k / parts) * (1 - k / parts) for k in range(parts + 1)]
        sums.append(sum(average_end_volume(areas[k], areas[k + 1], 100 / parts) for k in range(parts)))
    assert sums == sorted(sums)
    assert sums[-1] < exact


L_SHAPE = ((0, 0), (10, 0), (10, 6), (6, 6), (6, 10), (0, 10))
FIVE = ((3, 4), (5, 11), (12, 8), (9, 5), (5, 6))


@pytest.mark.parametrize(
    ("corners", "perimeter", "x", "y"),
    [(L_SHAPE, "40.000000", "4.428571", "4.428571"), (FIVE, "26.090056", "7.166667", "7.611111")],
    ids=["L", "five corners"],
)
def test_outlines(corners: tuple[tuple[int, int], ...], perimeter: str, x: str, y: str) -> None:
    """Round of a pond of that outline, and the middle of ground cut out by it."""
    outline = tuple((float(a), float(b)) for a, b in corners)
    made = pond(with_pond(outline, depth_ft=1.0))
    check(Row(lambda: made.perimeter_m, perimeter, SHOELACE))
    part = cut_out(grid(12.0, 12.0, 4, lambda a, b: 0.1 * a), outline)
    middle = shapely.get_coordinates(shapely.centroid(footprint(part)))[0]
    check(Row(lambda: float(middle[0]), x, SHOELACE))
    check(Row(lambda: float(middle[1]), y, SHOELACE))
