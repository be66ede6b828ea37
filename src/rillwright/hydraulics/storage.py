"""Volume between levels, from areas at levels."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._roots import bracketed_root


def conical_volume(lower_area_m2: float, upper_area_m2: float, height_m: float) -> float:
    """Volume [m3] between two areas [m2] of the same shape, a height [m] apart: h/3 (A1 + A2 + sqrt(A1 A2)).

    References
    ----------
    Closed form for a frustum of a cone or pyramid.
    """
    _refuse(lower_area_m2, upper_area_m2, height_m)
    return height_m / 3 * (lower_area_m2 + upper_area_m2 + math.sqrt(lower_area_m2 * upper_area_m2))


def prismoidal_volume(lower_area_m2: float, middle_area_m2: float, upper_area_m2: float, *, height_m: float) -> float:
    """Volume [m3] from the areas [m2] at bottom, mid height and top, a height [m] in all: h/6 (A1 + 4 Am + A2).

    Exact while the area is at most cubic in the level. Am is measured, not the mean of the two others.

    References
    ----------
    Closed form: Simpson's rule.
    """
    _refuse(lower_area_m2, upper_area_m2, height_m)
    refuse_unusable(not_negative={"middle_area_m2": middle_area_m2})
    return height_m / 6 * (lower_area_m2 + 4 * middle_area_m2 + upper_area_m2)


def average_end_volume(lower_area_m2: float, upper_area_m2: float, height_m: float) -> float:
    """Volume [m3] from two areas [m2] a height [m] apart: h/2 (A1 + A2). Exact where the area is linear in the level.

    References
    ----------
    Closed form: trapezoidal rule.
    """
    _refuse(lower_area_m2, upper_area_m2, height_m)
    return height_m / 2 * (lower_area_m2 + upper_area_m2)


def _refuse(lower_area_m2: float, upper_area_m2: float, height_m: float) -> None:
    refuse_unusable(not_negative={"lower_area_m2": lower_area_m2, "upper_area_m2": upper_area_m2, "height_m": height_m})


def prismoidal_layers(levels_m: Sequence[float], areas_m2: Sequence[float]) -> float:
    """Volume [m3] of pairs of equal layers by the prismoidal rule, from an odd number of levels [m] and areas [m2].

    Raises
    ------
    InputError
        If the levels do not rise in equal steps two by two, or the numbers cannot be used.

    References
    ----------
    Closed form: Simpson's rule, layer pair by layer pair.
    """
    _refuse_table(levels_m, areas_m2)
    if len(levels_m) % 2 == 0:
        raise InputError(Problem(message="pairs of layers need an odd number of levels", found=str(len(levels_m))))
    total = 0.0
    for i in range(0, len(levels_m) - 2, 2):
        low, middle, high = levels_m[i : i + 3]
        if not math.isclose(middle - low, high - middle, rel_tol=1e-9):
            raise InputError(
                Problem(
                    message="not at mid height",
                    field=f"levels_m[{i + 1}]",
                    found=f"{middle:g}",
                    allowed=f"{(low + high) / 2:g}",
                )
            )
        total += prismoidal_volume(areas_m2[i], areas_m2[i + 1], areas_m2[i + 2], height_m=high - low)
    return total


class StageCurve(Struct, frozen=True, kw_only=True):
    """Areas [m2] and volumes below [m3] at rising levels [m]. Between levels the section keeps its shape."""

    levels_m: tuple[float, ...]
    areas_m2: tuple[float, ...]
    volumes_m3: tuple[float, ...]

    def area(self, level_m: float) -> float:
        """Area [m2] at a level [m]: none below the lowest, that of the top level above it."""
        if level_m < self.levels_m[0]:
            return 0.0
        if level_m >= self.levels_m[-1]:
            return self.areas_m2[-1]
        i = bisect_right(self.levels_m, level_m) - 1
        share = (level_m - self.levels_m[i]) / (self.levels_m[i + 1] - self.levels_m[i])
        side = math.sqrt(self.areas_m2[i]) * (1 - share) + math.sqrt(self.areas_m2[i + 1]) * share
        return side**2

    def volume(self, level_m: float) -> float:
        """Volume [m3] below a level [m]; above the top level as if its sides were upright."""
        if level_m <= self.levels_m[0]:
            return 0.0
        if level_m >= self.levels_m[-1]:
            return self.volumes_m3[-1] + self.areas_m2[-1] * (level_m - self.levels_m[-1])
        i = bisect_right(self.levels_m, level_m) - 1
        return self.volumes_m3[i] + conical_volume(self.areas_m2[i], self.area(level_m), level_m - self.levels_m[i])

    def level(self, volume_m3: float) -> float:
        """Level [m] up to which a volume [m3] fills; the inverse of `volume`.

        Raises
        ------
        InputError
            If the volume is below zero.
        """
        refuse_unusable(not_negative={"volume_m3": volume_m3})
        if volume_m3 >= self.volumes_m3[-1]:
            return self.levels_m[-1] + (volume_m3 - self.volumes_m3[-1]) / self.areas_m2[-1]
        i = bisect_right(self.volumes_m3, volume_m3) - 1
        low, high = self.levels_m[i], self.levels_m[i + 1]
        return bracketed_root(lambda z: self.volume(z) - volume_m3, low, high, what="level of a volume", absolute=1e-12)

    def between(self, low_m: float, high_m: float) -> float:
        """Volume [m3] between two levels [m]; below zero if they are turned round."""
        return self.volume(high_m) - self.volume(low_m)


def stage_curve(levels_m: Sequence[float], areas_m2: Sequence[float]) -> StageCurve:
    """Areas at rising levels, summed layer by layer.

    Parameters
    ----------
    levels_m : sequence of float
        Rising [m].
    areas_m2 : sequence of float
        At each level [m2]; the top one above zero.

    Returns
    -------
    StageCurve
        Area [m2], volume [m3] and level [m] from each other.

    Raises
    ------
    InputError
        If the levels do not rise, or a number cannot be used.

    References
    ----------
    Closed form for similar sections; for others the error of a layer falls with the square of its height.
    """
    _refuse_table(levels_m, areas_m2)
    refuse_unusable(positive={"areas_m2[-1]": areas_m2[-1]})
    layers = [
        conical_volume(areas_m2[i], areas_m2[i + 1], levels_m[i + 1] - levels_m[i]) for i in range(len(levels_m) - 1)
    ]
    return StageCurve(
        levels_m=tuple(float(z) for z in levels_m),
        areas_m2=tuple(float(a) for a in areas_m2),
        volumes_m3=tuple(accumulate(layers, initial=0.0)),
    )


def _refuse_table(levels_m: Sequence[float], areas_m2: Sequence[float]) -> None:
    problems = []
    if len(levels_m) < 2 or len(levels_m) != len(areas_m2):
        found = f"{len(levels_m)} levels, {len(areas_m2)} areas"
        problems.append(Problem(message="as many areas as levels, and at least two", found=found))
    for i in range(1, len(levels_m)):
        if not levels_m[i] > levels_m[i - 1]:
            found = f"{levels_m[i - 1]:g} then {levels_m[i]:g}"
            problems.append(Problem(message="levels must rise", field=f"levels_m[{i}]", found=found))
    problems += [
        Problem(message="cannot be used", field=f"areas_m2[{i}]", found=f"{area:g}", allowed="0 or above")
        for i, area in enumerate(areas_m2)
        if not (area >= 0 and math.isfinite(area))
    ]
    if problems:
        raise InputError(problems)


def caught_rain(rain_m: float, surfaces: Sequence[tuple[float, float]]) -> float:
    """Water [m3] of a rain [m] caught by surfaces, each an area [m2] and its share of runoff [-]."""
    refuse_unusable(not_negative={"rain_m": rain_m})
    return rain_m * sum(area_m2 * share for area_m2, share in surfaces)
