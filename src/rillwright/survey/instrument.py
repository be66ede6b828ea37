"""What the instrument itself adds: a line of sight that is not level, and the curve of the earth."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.errors import InputError, Problem

EARTH_RADIUS_M = 6_371_000.0  # mean radius


class TwoPeg(Struct, frozen=True, kw_only=True):
    """What a two-peg test says. `tilt` is positive when the line of sight rises, in metres a metre [-]."""

    tilt: float
    true_difference_m: float  # reading on B less reading on A, free of the tilt
    error_m: float  # apparent less true difference at the second set-up
    corrected_a_m: float
    corrected_b_m: float


def two_peg(
    middle: tuple[float, float],
    end: tuple[float, float],
    *,
    end_sights_m: tuple[float, float],
    middle_sights_m: tuple[float, float] = (1.0, 1.0),
) -> TwoPeg:
    """Tilt of the line of sight from readings on two pegs A and B, taken from their middle and from one end.

    A line of sight that rises makes the farther reading too high; so the tilt is the error divided by the
    *difference* of the sight lengths, neither by the distance between the pegs nor by the sum.

    Parameters
    ----------
    middle : pair of float
        Readings [m] on A and B from the middle.
    end : pair of float
        Readings [m] on A and B from the second set-up.
    end_sights_m : pair of float
        Sight lengths [m] to A and B at the second set-up.
    middle_sights_m : pair of float
        Sight lengths [m] to A and B at the first set-up; equal ones need not be given.

    Returns
    -------
    TwoPeg
        Tilt [-], true difference [m], error [m] and the readings of the second set-up as they should be [m].

    Raises
    ------
    InputError
        If both set-ups have the same difference of sight lengths, so that nothing can be told, or a number is
        not finite.

    References
    ----------
    Engineering Aid training manual 14070, fig. 6-3 (two-peg test).
    """
    numbers = (*middle, *end, *end_sights_m, *middle_sights_m)
    if not all(math.isfinite(x) for x in numbers):
        raise InputError(Problem(message="a two-peg test needs numbers", found=str(numbers)))
    if min(*end_sights_m, *middle_sights_m) < 0:
        raise InputError(Problem(message="a sight length is never negative", found=str(numbers[4:])))
    span = (end_sights_m[1] - end_sights_m[0]) - (middle_sights_m[1] - middle_sights_m[0])
    if span == 0:
        raise InputError(
            Problem(
                message="the sights differ by as much in both set-ups: the tilt cannot be told",
                found=f"{end_sights_m[0]:g} m and {end_sights_m[1]:g} m",
                allowed="one set-up in the middle, the other near one peg",
            )
        )
    tilt = ((end[1] - end[0]) - (middle[1] - middle[0])) / span
    true = (middle[1] - middle[0]) - tilt * (middle_sights_m[1] - middle_sights_m[0])
    return TwoPeg(
        tilt=tilt,
        true_difference_m=true,
        error_m=(end[1] - end[0]) - true,
        corrected_a_m=end[0] - tilt * end_sights_m[0],
        corrected_b_m=end[1] - tilt * end_sights_m[1],
    )


def curvature_and_refraction_m(distance_m: float, *, refraction: float = 1 / 7) -> float:
    """How much too high a rod reads for the curve of the earth less refraction [m]: 0.04 mm at 25 m, so it is left out.

    Parameters
    ----------
    distance_m : float
        Length of the sight [m].
    refraction : float
        Radius of the earth over that of the line of sight [-]; 1/7 in surveying texts.

    Returns
    -------
    float
        D^2 (1 - k) / 2R [m]; 0.0673 m at 1 km.

    References
    ----------
    Common practice, no source: the rounded forms 0.0673 D^2 and 0.0675 K^2 m of surveying texts, D and K in km.
    """
    return distance_m * distance_m * (1 - refraction) / (2 * EARTH_RADIUS_M)
