"""Water over the sill of an overflow: how high it stands for what it must carry."""

from __future__ import annotations

import math

from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._roots import bracketed_root

ORIFICE_C = 0.6  # of a square-edged opening under water, from memory


def pipe_entry_head(flow_m3s: float, inside_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """Water over the invert of a level pipe that a flow runs into freely [m].

    Part full it passes critical depth at its mouth, and its energy there stands before it; once that would rise over
    its top the mouth is an opening under water. The higher of the two holds.

    Parameters
    ----------
    flow_m3s : float
        [m3/s].
    inside_m : float
        Inside diameter [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    float
        [m].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    chow-1959, from memory: critical flow, Q^2 T = g A^3, in a circle; opening: Q = 0.6 A sqrt(2 g h) about its middle.
    """
    refuse_unusable(not_negative={"flow_m3s": flow_m3s}, positive={"inside_m": inside_m})
    if flow_m3s == 0.0:
        return 0.0
    opening = 0.25 * math.pi * inside_m**2
    under = 0.5 * inside_m + (flow_m3s / (ORIFICE_C * opening)) ** 2 / (2.0 * gravity_ms2)
    radius = 0.5 * inside_m

    def wet(angle: float) -> tuple[float, float, float]:
        """Depth, area and width of the surface, by the half angle that the water fills [rad]."""
        area = radius**2 * (angle - math.sin(angle) * math.cos(angle))
        return radius * (1.0 - math.cos(angle)), area, 2.0 * radius * math.sin(angle)

    def spare(angle: float) -> float:
        _, area, width = wet(angle)
        return gravity_ms2 * area**3 - flow_m3s**2 * width

    depth, area, _ = wet(bracketed_root(spare, 1e-4, math.pi, what="critical depth in a pipe"))
    return max(depth + (flow_m3s / area) ** 2 / (2.0 * gravity_ms2), under if depth > 0.5 * inside_m else 0.0)


def pipe_entry_flow(head_m: float, inside_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """The most that runs freely into a level pipe before which water stands so high over its invert [m3/s].

    Parameters
    ----------
    head_m : float
        [m].
    inside_m : float
        Inside diameter [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    float
        [m3/s]; none for no water over the invert.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: the inverse of `pipe_entry_head`.
    """
    refuse_unusable(not_negative={"head_m": head_m}, positive={"inside_m": inside_m})
    if head_m == 0.0:
        return 0.0
    most = 0.25 * math.pi * inside_m**2 * math.sqrt(2.0 * gravity_ms2 * head_m)  # no opening lets more through
    short = pipe_entry_head(most, inside_m, gravity_ms2=gravity_ms2) - head_m
    if short <= 0.0:
        return most
    return bracketed_root(
        lambda flow: pipe_entry_head(flow, inside_m, gravity_ms2=gravity_ms2) - head_m,
        0.0,
        most,
        what="flow into a pipe",
        relative=1e-9,
    )
