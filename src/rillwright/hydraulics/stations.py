"""Several pumps as one: side by side or one after the other."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._roots import bracketed_root
from rillwright.hydraulics.pumps import HeadCurve, parallel_flow, series_head

ARRANGEMENTS = ("parallel", "series")


def station_head(curves: Sequence[HeadCurve], flow_m3s: float, *, arrangement: str = "parallel") -> float:
    """Head of several pumps together at a flow.

    Parameters
    ----------
    curves : sequence of HeadCurve
        Head [m] against flow [m3/s]; in parallel each has a check valve.
    flow_m3s : float
        Of all together [m3/s].
    arrangement : str
        'parallel' or 'series'.

    Returns
    -------
    float
        [m]; below nought beyond their greatest flow.

    Raises
    ------
    InputError
        If there is no pump, or the arrangement is unknown.
    NoAnswer
        If the head is not found.

    References
    ----------
    Closed form: flows add at one head, heads add at one flow.
    """
    if not curves:
        raise InputError(Problem(message="there is no pump", field="curves"))
    if arrangement not in ARRANGEMENTS:
        allowed = " or ".join(ARRANGEMENTS)
        raise InputError(Problem(message="unknown", field="arrangement", found=arrangement, allowed=allowed))
    if len(curves) == 1:
        return curves[0].head(flow_m3s)
    if arrangement == "series":
        return series_head(curves, flow_m3s)
    high = max(curve.shut_off_m for curve in curves)
    if flow_m3s <= 0.0:
        return high
    low = -high
    while parallel_flow(curves, low) < flow_m3s and low > -1e6 * high:
        low *= 4.0
    return bracketed_root(lambda head: parallel_flow(curves, head) - flow_m3s, low, high, what="head side by side")


def greatest_station_flow(curves: Sequence[HeadCurve], *, arrangement: str = "parallel") -> float:
    """Flow [m3/s] of several pumps together at no head; in series that of the strongest alone is never passed."""
    flows = [curve.greatest_flow_m3s for curve in curves]
    return sum(flows) if arrangement == "parallel" else max(flows)
