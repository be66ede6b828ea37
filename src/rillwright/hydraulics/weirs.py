"""Flow over a crest from the water on it, by author. Sister functions take the same arguments in the same order."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._printed import read_between, thin_water
from rillwright.hydraulics._roots import bracketed_root
from rillwright.sources import STANDARD_GRAVITY_MS2, contracted_crest_table

FRANCIS_C = 1.84  # [m^0.5/s]; 3.33 ft^0.5/s

# kb [m] by notch width over channel width, of ISO 1438, from memory; the first also for narrower notches.
_KB_M = ((0.2, 0.0024), (0.4, 0.0027), (0.6, 0.0036), (0.8, 0.0042), (1.0, -0.0009))


class WeirFlow(Struct, frozen=True, kw_only=True):
    """Flow over a crest [m3/s]; `outside` says which published range the case leaves, empty inside."""

    flow_m3s: float
    method: str
    outside: str


def francis(
    head_m: float,
    width_m: float,
    *,
    contractions: int = 0,
    crest_height_m: float | None = None,
    coefficient: float = FRANCIS_C,
) -> WeirFlow:
    """Flow over a sharp ventilated crest, Q = C (b - 0.1 n h) h^1.5.

    Parameters
    ----------
    head_m : float
        Still water above the crest, measured well upstream of it [m].
    width_m : float
        Crest width [m].
    contractions : int
        Ends at which the sheet draws in: 0, 1 or 2.
    crest_height_m : float or None
        Crest above the bed upstream [m]; None leaves that limit unchecked.
    coefficient : float
        C [m^0.5/s].

    Returns
    -------
    WeirFlow
        Flow [m3/s]. Range: head 0.06 m and more, head up to a third of the width, crest at least twice the head high.

    Raises
    ------
    InputError
        If a number cannot be used, or the contractions eat up the whole width.

    References
    ----------
    francis-1883; C = 3.33 ft^0.5/s: swmm-2, sec. 6.3.2. Limits from memory.
    """
    refuse_unusable(not_negative={"head_m": head_m}, positive={"width_m": width_m, "coefficient": coefficient})
    refuse_outside("contractions", contractions, -1, 3)
    effective_m = width_m - 0.1 * contractions * head_m
    refuse_unusable(positive={"width_m less the contractions": effective_m})
    return WeirFlow(
        flow_m3s=coefficient * effective_m * head_m**1.5,
        method="Francis",
        outside=notes(
            thin_water(head_m, 0.06),
            (head_m > width_m / 3, "water deeper than a third of the width"),
            (crest_height_m is not None and crest_height_m < 2 * head_m, "crest lower than twice the water on it"),
        ),
    )


def kindsvater_carter_coefficients(width_ratio: float) -> tuple[float, float, float]:
    """c1 [-], c2 [-] and kb [m] of Kindsvater-Carter for notch width over channel width [-], read between the rows.

    References
    ----------
    swmm-2, table 6-2, made dimensionless by (2/3) sqrt(2 g); kb: iso-1438, from memory.
    """
    refuse_outside("width_ratio", width_ratio, 0.0, 1.0 + 1e-12)
    table = contracted_crest_table()
    factor = 2 / 3 * math.sqrt(2 * STANDARD_GRAVITY_MS2)
    c1 = read_between([(row.width_share, row.c1) for row in table], width_ratio)
    c2 = read_between([(row.width_share, row.c2) for row in table], width_ratio)
    return c1 / factor, c2 / factor, read_between(_KB_M, width_ratio)


def kindsvater_carter(
    head_m: float,
    width_m: float,
    *,
    crest_height_m: float,
    width_ratio: float = 1.0,
    width_correction_m: float | None = None,
    gravity_ms2: float = GRAVITY_MS2,
) -> WeirFlow:
    """Flow over a thin-plate rectangular weir, Q = (2/3) sqrt(2g) (c2 + c1 h/P)(b + kb)(h + kh)^1.5.

    Parameters
    ----------
    head_m : float
        Still water above the crest [m].
    width_m : float
        Crest width [m].
    crest_height_m : float
        P, crest above the bed upstream [m].
    width_ratio : float
        Crest width over channel width [-]; 1 takes ISO 1438's 0.602 and 0.075.
    width_correction_m : float or None
        kb [m]; None takes ISO 1438's.
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    WeirFlow
        Flow [m3/s]. Range: head 0.03 m and more, h/P up to 2.5, width 0.15 m, crest 0.10 m and more.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    iso-1438 (form and limits; kb from memory); usbr-wmm, ch. 7 sec. 6.
    """
    h, b, P = head_m, width_m, crest_height_m
    refuse_unusable(not_negative={"head_m": h}, positive={"width_m": b, "crest_height_m": P})
    c1, c2, kb = kindsvater_carter_coefficients(width_ratio)
    if width_ratio == 1.0:
        c1, c2 = 0.075, 0.602
    kb = kb if width_correction_m is None else width_correction_m
    flow_m3s = 2 / 3 * math.sqrt(2 * gravity_ms2) * (c2 + c1 * h / P) * (b + kb) * (h + 0.001) ** 1.5 if h else 0.0
    return WeirFlow(
        flow_m3s=flow_m3s,
        method="Kindsvater-Carter",
        outside=notes(
            thin_water(h, 0.03),
            (h > 2.5 * P, "water deeper than 2.5 times the crest height"),
            (b < 0.15, "crest narrower than 0.15 m"),
            (P < 0.10, "crest less than 0.10 m above the bed upstream"),
        ),
    )


def rehbock(head_m: float, width_m: float, *, crest_height_m: float, gravity_ms2: float = GRAVITY_MS2) -> WeirFlow:
    """Flow over a full-width thin-plate weir, Q = (2/3) sqrt(2g) (0.602 + 0.0832 h/P) b (h + 0.00125)^1.5.

    Parameters
    ----------
    head_m : float
        Still water above the crest [m].
    width_m : float
        Crest width [m].
    crest_height_m : float
        P, crest above the bed upstream [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    WeirFlow
        Flow [m3/s]. Range: head 0.03 to 0.75 m, h/P up to 1, width and crest height 0.3 m and more.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    blevins-1984 (Rehbock 1929).
    """
    h, b, P = head_m, width_m, crest_height_m
    refuse_unusable(not_negative={"head_m": h}, positive={"width_m": b, "crest_height_m": P})
    flow_m3s = 2 / 3 * math.sqrt(2 * gravity_ms2) * (0.602 + 0.0832 * h / P) * b * (h + 0.00125) ** 1.5 if h else 0.0
    return WeirFlow(
        flow_m3s=flow_m3s,
        method="Rehbock",
        outside=notes(
            thin_water(h, 0.03),
            (h > 0.75, "more than 0.75 m of water"),
            (h > P, "water deeper than the crest is high"),
            (b < 0.3, "crest narrower than 0.3 m"),
            (P < 0.3, "crest less than 0.3 m above the bed upstream"),
        ),
    )


def submerged_share(downstream_head_m: float, upstream_head_m: float) -> float:
    """Flow over a drowned crest over its free flow [-], by heads above the crest [m]: (1 - (H2/H1)^1.5)^0.385.

    References
    ----------
    villemonte-1947; swmm-2, eq. 6-26.
    """
    refuse_unusable(positive={"upstream_head_m": upstream_head_m})
    ratio = min(max(downstream_head_m / upstream_head_m, 0.0), 1.0)
    return float((1 - ratio**1.5) ** 0.385)


def head_for_flow(weir: Callable[[float], WeirFlow], flow_m3s: float, *, most_head_m: float = 10.0) -> float:
    """The water on a crest [m] at which `weir` (head [m] -> WeirFlow) carries `flow_m3s` [m3/s].

    Parameters
    ----------
    weir : callable
        Rising with the head, for instance `lambda h: rehbock(h, 1.0, crest_height_m=0.3)`.
    flow_m3s : float
        [m3/s].
    most_head_m : float
        Where the search ends [m].

    Returns
    -------
    float
        [m].

    Raises
    ------
    NoAnswer
        If more than `most_head_m` would be needed, or less than the formula's own offset.

    References
    ----------
    Closed form: the inverse of whatever is handed in.
    """
    refuse_unusable(not_negative={"flow_m3s": flow_m3s})
    if flow_m3s == 0.0:
        return 0.0
    return bracketed_root(lambda h: weir(h).flow_m3s - flow_m3s, 0.0, most_head_m, what="water on the crest")
