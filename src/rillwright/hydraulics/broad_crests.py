"""Flow over a crest that is long along the flow: ideal, square-edged, and by a printed table."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._printed import read_between, thin_water
from rillwright.hydraulics.weirs import WeirFlow
from rillwright.sources import broad_crest_table

IDEAL_BROAD_C = (2 / 3) ** 1.5 * math.sqrt(GRAVITY_MS2)  # 1.705 [m^0.5/s], critical depth on the crest


class CrestCoefficient(Struct, frozen=True, kw_only=True):
    """C in Q = C b h^1.5 [m^0.5/s]; `outside` is empty inside the table."""

    c: float
    outside: str


def broad_crest_ideal(head_m: float, width_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> WeirFlow:
    """Flow over a long smooth crest on which the water is critical, Q = (2/3)^1.5 sqrt(g) b H^1.5.

    Parameters
    ----------
    head_m : float
        Total head above the crest, still water plus V^2/2g [m].
    width_m : float
        Crest width [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    WeirFlow
        Flow [m3/s]; a closed form without losses, flagged only for thin water.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: specific energy at critical depth.
    """
    refuse_unusable(not_negative={"head_m": head_m}, positive={"width_m": width_m})
    flow_m3s = (2 / 3) ** 1.5 * math.sqrt(gravity_ms2) * width_m * head_m**1.5
    return WeirFlow(flow_m3s=flow_m3s, method="ideal broad crest", outside=notes(thin_water(head_m, 0.06)))


def broad_crest_square_edge(
    head_m: float,
    width_m: float,
    *,
    crest_length_m: float,
    crest_height_m: float,
    gravity_ms2: float = GRAVITY_MS2,
) -> WeirFlow:
    """Flow over a broad crest with a square upstream edge: 0.864 of the ideal one.

    Parameters
    ----------
    head_m : float
        Total head above the crest [m].
    width_m : float
        Crest width, across the flow [m].
    crest_length_m : float
        Crest length, along the flow [m].
    crest_height_m : float
        Crest above the bed upstream [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    WeirFlow
        Flow [m3/s]. Range: h/L 0.1 to 0.33, h/(h + P) up to 0.35, head 0.06 m and more.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    iso-3846, from memory.
    """
    refuse_unusable(positive={"crest_length_m": crest_length_m, "crest_height_m": crest_height_m})
    ideal = broad_crest_ideal(head_m, width_m, gravity_ms2=gravity_ms2)
    return WeirFlow(
        flow_m3s=0.864 * ideal.flow_m3s,
        method="square-edged broad crest",
        outside=notes(
            (bool(ideal.outside), ideal.outside),
            (not 0.1 <= head_m / crest_length_m <= 0.33, "water over crest length outside 0.1 to 0.33"),
            (head_m / (head_m + crest_height_m) > 0.35, "water over its depth upstream above 0.35"),
        ),
    )


def broad_crest_coefficient(head_m: float, breadth_m: float) -> CrestCoefficient:
    """C of a broad crest by Brater and King's table, read between its rows and columns.

    Parameters
    ----------
    head_m : float
        Water above the crest [m].
    breadth_m : float
        Of the crest along the flow [m].

    Returns
    -------
    CrestCoefficient
        C [m^0.5/s]; outside the table (0.061 to 0.305 m of water, 0.15 to 1.52 m of crest) that of its edge, noted.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    swmm-2, table 6-3.
    """
    refuse_unusable(positive={"head_m": head_m, "breadth_m": breadth_m})
    table = broad_crest_table()
    columns = [
        (breadth, read_between([(head, row[j]) for head, row in zip(table.heads_m, table.c, strict=True)], head_m))
        for j, breadth in enumerate(table.breadths_m)
    ]
    low, high = table.heads_m[0], table.heads_m[-1]
    short, long = table.breadths_m[0], table.breadths_m[-1]
    return CrestCoefficient(
        c=read_between(columns, breadth_m),
        outside=notes(
            (
                not _within(head_m, low, high),
                f"{head_m * 1000:.1f} mm of water is outside the table's {low:.3f} to {high:.3f} m",
            ),
            (
                not _within(breadth_m, short, long),
                f"a crest {breadth_m:.2f} m long is outside the table's {short:.2f} to {long:.2f} m",
            ),
        ),
    )


def _within(value: float, low: float, high: float) -> bool:
    return low * (1 - 1e-9) <= value <= high * (1 + 1e-9)
