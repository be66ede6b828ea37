"""Pump curves from what people have: three points, a table, or two numbers on a box."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Protocol

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import refuse_unusable

BOX_EXPONENT = 2.0  # common practice, no source; 1.5 to 2.5 is the band
BOX_EXPONENTS = (1.5, 2.0, 2.5)
Point = tuple[float, float]


class HeadCurve(Protocol):
    """What every pump curve answers: head [m] against flow [m3/s] and back, both ends, how steeply it falls."""

    @property
    def shut_off_m(self) -> float: ...
    @property
    def greatest_flow_m3s(self) -> float: ...
    def head(self, flow_m3s: float) -> float: ...
    def flow(self, head_m: float) -> float: ...
    def steepness(self, flow_m3s: float) -> float: ...
    def outside(self, flow_m3s: float) -> str: ...


class PumpCurve(Struct, frozen=True, kw_only=True):
    """Head [m] against flow [m3/s], falling. With points: straight segments, else H = shut_off - drop Q^exponent."""

    shut_off_m: float  # head at no flow
    drop: float = 0.0  # [m/(m3/s)^exponent]
    exponent: float = BOX_EXPONENT
    points: tuple[Point, ...] = ()

    @property
    def greatest_flow_m3s(self) -> float:
        """Flow at no head [m3/s]; a table that ends above it is drawn out along its last segment."""
        if not self.points:
            return float((self.shut_off_m / self.drop) ** (1 / self.exponent))
        (qa, ha), (qb, hb) = self.points[-2:]
        return qb + hb * (qb - qa) / (ha - hb)

    def head(self, flow_m3s: float) -> float:
        """Head [m] at a flow [m3/s]; below zero beyond the greatest flow."""
        if not self.points:
            return float(self.shut_off_m - self.drop * max(flow_m3s, 0.0) ** self.exponent)
        (qa, ha), (qb, hb) = _segment(self.points, flow_m3s)
        return ha + (hb - ha) * (flow_m3s - qa) / (qb - qa)

    def flow(self, head_m: float) -> float:
        """Flow [m3/s] against a head [m]; none at or above shut-off."""
        if head_m >= self.shut_off_m:
            return 0.0
        if not self.points:
            return float(((self.shut_off_m - head_m) / self.drop) ** (1 / self.exponent))
        pairs = list(pairwise(self.points))
        (qa, ha), (qb, hb) = next((pair for pair in pairs if pair[1][1] <= head_m), pairs[-1])
        return qa + (qb - qa) * (ha - head_m) / (ha - hb)

    def steepness(self, flow_m3s: float) -> float:
        """How fast the head falls at a flow [m per m3/s]; infinitely at no flow, of an exponent below one."""
        if self.points:
            (qa, ha), (qb, hb) = _segment(self.points, flow_m3s)
            return (ha - hb) / (qb - qa)
        if flow_m3s <= 0.0:
            return math.inf if self.exponent < 1.0 else (self.drop if self.exponent == 1.0 else 0.0)
        return float(self.exponent * self.drop * flow_m3s ** (self.exponent - 1.0))

    def outside(self, flow_m3s: float) -> str:
        """Empty inside the given points; else says that the flow [m3/s] lies beyond the last."""
        if self.points and flow_m3s > self.points[-1][0] * (1 + 1e-9):
            return "beyond the last point of the pump's curve"
        return ""


def _segment(points: tuple[Point, ...], flow_m3s: float) -> tuple[Point, Point]:
    for a, b in pairwise(points):
        if flow_m3s <= b[0]:
            return a, b
    return points[-2], points[-1]


def box_curve(shut_off_m: float, greatest_flow_m3s: float, *, exponent: float = BOX_EXPONENT) -> PumpCurve:
    """The curve of two numbers on a box: H = H0 (1 - (Q/Qmax)^exponent).

    Parameters
    ----------
    shut_off_m : float
        H0, greatest head [m].
    greatest_flow_m3s : float
        Qmax, at no head [m3/s].
    exponent : float
        1.5 to 2.5 as the band [-].

    Returns
    -------
    PumpCurve
        Head [m] against flow [m3/s].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Common practice, no source.
    """
    refuse_unusable(positive={"shut_off_m": shut_off_m, "greatest_flow_m3s": greatest_flow_m3s, "exponent": exponent})
    return PumpCurve(shut_off_m=shut_off_m, drop=shut_off_m / greatest_flow_m3s**exponent, exponent=exponent)


def power_curve(points: Sequence[Point]) -> PumpCurve:
    """The power law through three points, the first at no flow: H = a - b Q^c.

    Parameters
    ----------
    points : sequence of (float, float)
        Flow and head [m3/s, m], flow rising, head falling.

    Returns
    -------
    PumpCurve
        Head [m] against flow [m3/s].

    Raises
    ------
    InputError
        If the points are not three of that kind, or the exponent comes out above 20.

    References
    ----------
    epanet-source, powerfuncpump: c = ln((h0 - h2)/(h0 - h1)) / ln(q2/q1), b = (h0 - h1)/q1^c.
    """
    _refuse_bad_points(points, least=3)
    if len(points) != 3 or points[0][0] != 0:
        raise InputError(
            Problem(
                message="a power law needs three points, the first at no flow", field="curve", found=str(list(points))
            )
        )
    (_, h0), (q1, h1), (q2, h2) = points
    exponent = math.log((h0 - h2) / (h0 - h1)) / math.log(q2 / q1)
    if not 0 < exponent <= 20:
        raise InputError(
            Problem(
                message="too flat then too steep for a power law",
                field="curve",
                found=f"exponent {exponent:.3g}",
                allowed="up to 20",
            )
        )
    return PumpCurve(shut_off_m=h0, drop=(h0 - h1) / q1**exponent, exponent=exponent)


def segment_curve(points: Sequence[Point]) -> PumpCurve:
    """Straight segments through a table of two or more points, the first at no flow.

    Parameters
    ----------
    points : sequence of (float, float)
        Flow and head [m3/s, m], flow rising, head falling.

    Returns
    -------
    PumpCurve
        Head [m] against flow [m3/s].

    Raises
    ------
    InputError
        If the points are not of that kind.

    References
    ----------
    epanet-2.2, ch. 3: a curve of four and more points is taken as straight segments.
    """
    _refuse_bad_points(points, least=2)
    if points[0][0] != 0:
        raise InputError(
            Problem(
                message="the head at no flow is missing", field="curve", found=f"first point at {points[0][0]:g} m3/s"
            )
        )
    return PumpCurve(shut_off_m=points[0][1], points=tuple((float(q), float(h)) for q, h in points))


def pump_curve(
    points: Sequence[Point] = (), *, shut_off_m: float | None = None, greatest_flow_m3s: float | None = None
) -> PumpCurve:
    """The curve from either a table or the two numbers on a box.

    Three points with the first at no flow give a power law, any other table straight segments.

    Parameters
    ----------
    points : sequence of (float, float)
        Flow and head [m3/s, m], in either order of flow.
    shut_off_m : float or None
        Greatest head [m], on a box.
    greatest_flow_m3s : float or None
        Greatest flow [m3/s], on a box.

    Returns
    -------
    PumpCurve
        Head [m] against flow [m3/s].

    Raises
    ------
    InputError
        If both are given, or only half of one; if there is one point, or the curve rises.

    References
    ----------
    epanet-2.2, ch. 3; box: common practice, no source.
    """
    box = (shut_off_m, greatest_flow_m3s)
    if points and box != (None, None):
        raise InputError(Problem(message="give either points or the two numbers on the box, not both", field="curve"))
    if points:
        ordered = sorted(points, key=lambda point: point[0])
        return power_curve(ordered) if len(ordered) == 3 and ordered[0][0] == 0 else segment_curve(ordered)
    if shut_off_m is None or greatest_flow_m3s is None:
        raise InputError(
            Problem(
                message="a pump needs points, or shut-off head and greatest flow together",
                field="curve",
                found=f"shut-off {shut_off_m}, greatest flow {greatest_flow_m3s}",
            )
        )
    return box_curve(shut_off_m, greatest_flow_m3s)


def scaled(curve: PumpCurve, *, flow_share: float, head_share: float) -> PumpCurve:
    """The curve with every flow times `flow_share` [-] and every head times `head_share` [-]: wear, a maker's spread.

    Parameters
    ----------
    curve : PumpCurve
        Head [m] against flow [m3/s].
    flow_share, head_share : float
        Above nought [-].

    Returns
    -------
    PumpCurve
        Head [m] against flow [m3/s].

    Raises
    ------
    InputError
        If a share is not above nought.

    References
    ----------
    Closed form.
    """
    refuse_unusable(positive={"flow_share": flow_share, "head_share": head_share})
    return replace(
        curve,
        shut_off_m=curve.shut_off_m * head_share,
        drop=curve.drop * head_share / flow_share**curve.exponent,
        points=tuple((q * flow_share, h * head_share) for q, h in curve.points),
    )


def at_speed(curve: PumpCurve, ratio: float) -> PumpCurve:
    """The curve at another speed by affinity, Q ~ N and H ~ N^2, `ratio` of speeds [-]."""
    refuse_unusable(positive={"ratio": ratio})
    return scaled(curve, flow_share=ratio, head_share=ratio**2)


def parallel_flow(curves: Sequence[HeadCurve], head_m: float) -> float:
    """Flow [m3/s] of pumps side by side against a head [m], each with a check valve."""
    return sum(curve.flow(head_m) for curve in curves)


def series_head(curves: Sequence[HeadCurve], flow_m3s: float) -> float:
    """Head [m] of pumps one after the other at a flow [m3/s]."""
    return sum(curve.head(flow_m3s) for curve in curves)


def _refuse_bad_points(points: Sequence[Point], *, least: int) -> None:
    problems = []
    if len(points) < least:
        found = f"{len(points)} point" + ("" if len(points) == 1 else "s")
        problems.append(Problem(message="too few points", field="curve", found=found, allowed=f"{least} or more"))
    for i, (q, h) in enumerate(points):
        if not (math.isfinite(q) and math.isfinite(h) and q >= 0 and h >= 0):
            problems.append(
                Problem(
                    message="not a flow and a head", field=f"curve[{i}]", found=f"{q:g}, {h:g}", allowed="0 or above"
                )
            )
    for i, ((qa, ha), (qb, hb)) in enumerate(pairwise(points), start=1):
        if qb <= qa:
            found = f"{qa:g} then {qb:g} m3/s"
            problems.append(Problem(message="the flow must rise", field=f"curve[{i}]", found=found))
        if hb >= ha:
            found = f"{ha:g} m then {hb:g} m"
            problems.append(Problem(message="the head must fall as the flow rises", field=f"curve[{i}]", found=found))
    if problems:
        raise InputError(problems)
