"""Water falling from a crest: where it lands, how fast, the pool and the jump below it."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2

BRINK_OVER_CRITICAL = 0.715  # Rouse, from memory
_LEAST_DROP_NUMBER = 5.4e-4  # below it Rand's length falls short of a free fall


class RandDrop(Struct, frozen=True, kw_only=True):
    """A sheet falling on a level apron, by Rand. Depths and length [m]."""

    drop_number: float  # q^2 / (g h^3) [-]
    critical_depth_m: float
    length_m: float  # crest to where the sheet meets the apron
    pool_depth_m: float  # behind the sheet
    toe_depth_m: float  # where it has turned
    sequent_depth_m: float  # after a jump
    toe_loss: float  # share of h + 1.5 yc lost at the toe [-]
    outside: str


class FreeFall(Struct, frozen=True, kw_only=True):
    """A sheet thrown from the brink without resistance: distances from the crest [m], speeds [m/s]."""

    brink_depth_m: float
    brink_speed_ms: float
    lower_m: float  # underside of the sheet
    centre_m: float
    upper_m: float
    impact_ms: float


class Landing(Struct, frozen=True, kw_only=True):
    """How far from the crest the sheet lands [m]: the larger of Rand and the free fall."""

    throw_m: float
    lower_m: float  # underside of the sheet, thrown free
    method: str
    impact_ms: float
    outside: str


class PoolWanted(Struct, frozen=True, kw_only=True):
    """The pool that a falling sheet wants below it [m], and by which methods."""

    depth_m: float
    length_m: float  # from the crest's face
    lands: Landing  # where the sheet comes down in it
    drop_number: float  # q^2 / (g h^3) [-]
    method: str
    outside: str


class Jump(Struct, frozen=True, kw_only=True):
    """A hydraulic jump on a level rectangular bed."""

    froude: float  # before it [-]
    sequent_depth_m: float
    loss_m: float  # energy lost; negative would mean that there is no jump


def critical_depth(unit_flow_m2s: float, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """Critical depth [m] in a rectangle: yc = (q^2/g)^(1/3), q [m2/s], g [m/s2].

    Parameters
    ----------
    unit_flow_m2s : float
        [m2/s].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    float
        [m].

    References
    ----------
    Closed form: least specific energy.
    """
    refuse_unusable(not_negative={"unit_flow_m2s": unit_flow_m2s}, positive={"gravity_ms2": gravity_ms2})
    return float((unit_flow_m2s**2 / gravity_ms2) ** (1 / 3))


def rand_drop(unit_flow_m2s: float, drop_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> RandDrop:
    """Length, pool and toe of a free ventilated fall on a level apron.

    Parameters
    ----------
    unit_flow_m2s : float
        q, flow per width [m2/s].
    drop_m : float
        h, crest to apron [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    RandDrop
        Lengths [m]. Flagged below D = 5.4e-4, where a free fall lands farther out, and above D = 1.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    rand-1955: Ld = 4.30 h D^0.27, y1 = 0.54 h D^0.425, y2 = 1.66 h D^0.27;
    yp = h D^0.22 from memory. The range of his data was not seen.
    """
    refuse_unusable(positive={"unit_flow_m2s": unit_flow_m2s, "drop_m": drop_m, "gravity_ms2": gravity_ms2})
    q, h, g = unit_flow_m2s, drop_m, gravity_ms2
    D = q**2 / (g * h**3)
    yc = critical_depth(q, gravity_ms2=g)
    y1 = 0.54 * h * D**0.425
    return RandDrop(
        drop_number=D,
        critical_depth_m=yc,
        length_m=4.30 * h * D**0.27,
        pool_depth_m=h * D**0.22,
        toe_depth_m=y1,
        sequent_depth_m=1.66 * h * D**0.27,
        toe_loss=1 - (y1 + (q / y1) ** 2 / (2 * g)) / (h + 1.5 * yc),
        outside=notes(
            (D < _LEAST_DROP_NUMBER, "the drop number is below 5.4e-4, where Rand's length falls short of a free fall"),
            (D > 1, "the drop number is above 1: the water on the crest is deeper than the drop"),
        ),
    )


def free_fall(unit_flow_m2s: float, drop_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> FreeFall:
    """Throw of a sheet that leaves the brink level at 0.715 of the critical depth and falls freely.

    Parameters
    ----------
    unit_flow_m2s : float
        q, flow per width [m2/s].
    drop_m : float
        Crest to the water or stone it lands on [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    FreeFall
        Throw of the lower, middle and upper side [m]; speed on landing, of the middle [m/s].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    rouse-1936: brink depth, from memory; davis-1999: the parabola is adequate for the upper side.
    """
    refuse_unusable(positive={"unit_flow_m2s": unit_flow_m2s, "drop_m": drop_m, "gravity_ms2": gravity_ms2})
    yb = BRINK_OVER_CRITICAL * critical_depth(unit_flow_m2s, gravity_ms2=gravity_ms2)
    Vb = unit_flow_m2s / yb
    lower, centre, upper = (Vb * math.sqrt(2 * (drop_m + share * yb) / gravity_ms2) for share in (0.0, 0.5, 1.0))
    return FreeFall(
        brink_depth_m=yb,
        brink_speed_ms=Vb,
        lower_m=lower,
        centre_m=centre,
        upper_m=upper,
        impact_ms=math.sqrt(Vb**2 + 2 * gravity_ms2 * (drop_m + yb / 2)),
    )


def landing(unit_flow_m2s: float, drop_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> Landing:
    """How far out a basin must reach: the larger of Rand's length and the free fall's upper side.

    Parameters
    ----------
    unit_flow_m2s : float
        q, flow per width [m2/s].
    drop_m : float
        Crest to the water or stone it lands on [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    Landing
        Throw [m], method, speed on landing [m/s], range note. Spray and water clinging to stone are in neither.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    rand-1955, rouse-1936; taking the larger is common practice, no source.
    """
    rand = rand_drop(unit_flow_m2s, drop_m, gravity_ms2=gravity_ms2)
    return _farther(rand, free_fall(unit_flow_m2s, drop_m, gravity_ms2=gravity_ms2))


def _farther(rand: RandDrop, fall: FreeFall) -> Landing:
    by_rand = rand.length_m >= fall.upper_m
    return Landing(
        throw_m=rand.length_m if by_rand else fall.upper_m,
        lower_m=fall.lower_m,
        method="Rand" if by_rand else "free fall",
        impact_ms=fall.impact_ms,
        outside=rand.outside,
    )


def pool_wanted(unit_flow_m2s: float, drop_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> PoolWanted:
    """Pool below a free fall: deep enough that no shooting water runs out of it, as long as the sheet flies and on.

    Depth: the larger of Rand's pool behind the sheet and of the depth after the jump, which drowns the jump where the
    sheet lands. Length: the larger of Rand's and the free fall's, and that depth beyond it, in which the water turns.

    Parameters
    ----------
    unit_flow_m2s : float
        q, flow per width [m2/s].
    drop_m : float
        Crest to the water or stone it lands on [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    PoolWanted
        Depth and length [m], drop number [-], range note.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    rand-1955 (pool depth from memory), rouse-1936; one depth more beyond the sheet is common practice, no source.
    """
    rand = rand_drop(unit_flow_m2s, drop_m, gravity_ms2=gravity_ms2)
    lands = _farther(rand, free_fall(unit_flow_m2s, drop_m, gravity_ms2=gravity_ms2))
    depth = max(rand.pool_depth_m, rand.sequent_depth_m)
    return PoolWanted(
        depth_m=depth,
        length_m=lands.throw_m + depth,
        drop_number=rand.drop_number,
        lands=lands,
        method=f"depth Rand, length {lands.method}",
        outside=rand.outside,
    )


def jump(depth_m: float, speed_ms: float, *, gravity_ms2: float = GRAVITY_MS2) -> Jump:
    """Sequent depth and loss of a jump on a level rectangular bed.

    Parameters
    ----------
    depth_m : float
        Before the jump [m].
    speed_ms : float
        Before the jump [m/s].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    Jump
        Froude number [-], sequent depth [m], energy lost [m]; a Froude number below 1 gives the depth before
        the jump that ends here, and a negative loss.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    chow-1959, from memory (Belanger): y2/y1 = (sqrt(1 + 8 F1^2) - 1)/2; loss (y2 - y1)^3/(4 y1 y2).
    """
    refuse_unusable(positive={"depth_m": depth_m, "speed_ms": speed_ms, "gravity_ms2": gravity_ms2})
    y1 = depth_m
    F1 = speed_ms / math.sqrt(gravity_ms2 * y1)
    y2 = y1 * (math.sqrt(1 + 8 * F1**2) - 1) / 2
    return Jump(froude=F1, sequent_depth_m=y2, loss_m=(y2 - y1) ** 3 / (4 * y1 * y2))
