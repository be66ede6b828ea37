"""Operating points of many designs at once: a compiled kernel and its NumPy twin.

What is sought is not the flow but the head lost along the pipe: from that, Colebrook gives the speed in closed form, so
that a round costs one logarithm and one power and friction needs no rounds of its own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S
from rillwright.hydraulics.friction import LAMINAR_END, TURBULENT_START

Floats = NDArray[np.float64]
MOST_ROUNDS = 60
MOST_HALVINGS = 200
AGREED = 4e-13  # width of the last bracket over the flow [-]
ENOUGH = 1e-4  # last step over what is sought [-]: the error that it leaves is of the order of its cube
NEAR = 0.02  # up to this [-], six terms of a series are exact to 1e-13
BLOCK = 256  # designs at a time: they fit the nearest cache
TRICKLE = 1e-12  # [m3/s]
_LN10 = math.log(10.0)
_FAST: dict[str, Any] = {"error_model": "numpy", "nogil": True, "fastmath": {"nsz", "contract", "arcp", "nnan", "ninf"}}


class OperatingPoints(Struct, frozen=True, kw_only=True):
    """Flow [m3/s] and head [m] of each design; no flow where its lift is at or above shut-off."""

    flow_m3s: Floats
    head_m: Floats


def operating_points(
    *,
    static_m: ArrayLike,
    inside_m: ArrayLike,
    length_m: ArrayLike,
    roughness_m: ArrayLike,
    loss_k: ArrayLike,
    shut_off_m: ArrayLike,
    drop: ArrayLike,
    exponent: ArrayLike = 2.0,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
    compiled: bool = True,
) -> OperatingPoints:
    """Where each of many pumps H = shut-off - drop Q^exponent meets its pipe, friction by Colebrook.

    Parameters
    ----------
    static_m : array_like, shape (n,) or one number
        Lift [m].
    inside_m : array_like, shape (n,) or one number
        Inside diameter [m].
    length_m : array_like, shape (n,) or one number
        [m].
    roughness_m : array_like, shape (n,) or one number
        [m].
    loss_k : array_like, shape (n,) or one number
        Sum of K of the fittings [-].
    shut_off_m : array_like, shape (n,) or one number
        Head at no flow [m].
    drop : array_like, shape (n,) or one number
        [m/(m3/s)^exponent].
    exponent : array_like, shape (n,) or one number
        [-].
    viscosity_m2s : float
        Kinematic [m2/s].
    gravity_ms2 : float
        [m/s2].
    compiled : bool
        By the kernel if the compiler is there, else by NumPy.

    Returns
    -------
    OperatingPoints
        Flow [m3/s] and head [m], shape (n,); a pump that would be driven past its curve runs at no head.

    Raises
    ------
    InputError
        If a number cannot be used, or shapes do not go together.
    NoAnswer
        If a design does not settle in 60 rounds; the text says which.

    References
    ----------
    colebrook-1939, solved for the speed (closed form).
    """
    given = {
        "static_m": static_m,
        "inside_m": inside_m,
        "length_m": length_m,
        "roughness_m": roughness_m,
        "loss_k": loss_k,
        "shut_off_m": shut_off_m,
        "drop": drop,
        "exponent": exponent,
    }
    columns = _columns(given)
    flow, head = np.empty(columns[0].size), np.empty(columns[0].size)
    kernel = _by_kernel if compiled else _by_numpy
    stuck = int(kernel(columns, float(viscosity_m2s), float(gravity_ms2), flow, head))
    if stuck >= 0:
        raise NoAnswer(f"operating points: design {stuck} does not settle in {MOST_ROUNDS} rounds")
    return OperatingPoints(flow_m3s=flow, head_m=head)


def _by_kernel(columns: Sequence[Floats], viscosity: float, gravity: float, flow: Floats, head: Floats) -> int:
    kernel = _compiled()
    if kernel is None:
        return _by_numpy(columns, viscosity, gravity, flow, head)
    return int(kernel(*columns, viscosity, gravity, flow, head))


def _columns(given: dict[str, ArrayLike]) -> list[Floats]:
    said = [np.atleast_1d(np.asarray(values, dtype=np.float64)) for values in given.values()]
    try:
        spread = np.broadcast_arrays(*said)
    except ValueError as reason:
        problem = Problem(message="these do not go together", field=", ".join(given), found=str(reason))
        raise InputError(problem) from None
    columns = [np.ascontiguousarray(column) for column in spread]
    zero_is_fine = {"roughness_m", "loss_k"}
    problems = []
    for name, column in zip(given, columns, strict=True):
        fine = np.isfinite(column)
        if name != "static_m":
            fine &= (column >= 0.0) if name in zero_is_fine else (column > 0.0)
        if not fine.all():
            first = int(np.argmin(fine))
            problems.append(Problem(message="cannot be used", field=f"{name}[{first}]", found=f"{column[first]:g}"))
    if problems:
        raise InputError(problems)
    return columns


@cache
def _compiled() -> Callable[..., Any] | None:
    """The kernel, compiled at its first call and kept on disk; None where there is no compiler."""
    try:
        from numba import njit
    except ImportError:
        return None
    try:
        compiled: Callable[..., Any] = njit(cache=True, **_FAST)(_kernel)
    except RuntimeError:  # nowhere to keep it
        compiled = njit(**_FAST)(_kernel)
    return compiled


def _kernel(
    static: Floats,
    inside: Floats,
    length: Floats,
    roughness: Floats,
    loss_k: Floats,
    shut_off: Floats,
    drop: Floats,
    exponent: Floats,
    viscosity: float,
    gravity: float,
    flow: Floats,
    head: Floats,
) -> int:
    """Fill `flow` [m3/s]; -1, or the first design that does not settle.

    A block of designs at a time, one short loop for each part of a round, so that several designs share an instruction.
    Halley's step triples the digits; logarithms and powers are taken anew only where a series from the last ones would
    not be exact.
    """
    count = flow.size
    above, area, minor, rough = np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK)
    smooth, scale, most, s = np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK)
    q, log, fall, near = np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK)
    q_at, log_at, fall_at, near_at = np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK), np.empty(BLOCK)
    for first in range(0, count, BLOCK):
        size = min(BLOCK, count - first)
        for j in range(size):
            most[j] = (shut_off[first + j] / drop[first + j]) ** (1.0 / exponent[first + j])
        for j in range(size):
            i = first + j
            spare = shut_off[i] - static[i]
            above[j] = spare if spare > 0.0 else 1.0
            area[j] = 0.25 * math.pi * inside[i] * inside[i]
            unit = 1.0 / (2.0 * gravity * area[j] * area[j])
            minor[j] = loss_k[i] * unit
            driven = 2.0 * gravity * inside[i] / length[i]
            root = math.sqrt(driven)
            rough[j] = roughness[i] / (3.7 * inside[i])
            smooth[j] = 2.51 * viscosity / (inside[i] * root)
            scale[j] = -2.0 / _LN10 * area[j] * root
            # A first guess with f = 0.02 and a curve that is a parabola.
            along = 0.02 * length[i] / inside[i] * unit
            s[j] = math.sqrt(above[j] * along / (shut_off[i] / (most[j] * most[j]) + minor[j] + along))
        for j in range(size):
            near_at[j], q_at[j] = 1.0, 1.0
            log_at[j], fall_at[j] = 0.0, 1.0
        for _ in range(MOST_ROUNDS):
            far = 0
            for j in range(size):
                near[j] = rough[j] + smooth[j] / s[j]
                e = near[j] / near_at[j] - 1.0
                log[j] = log_at[j] + e * (
                    1.0 - e * (1 / 2 - e * (1 / 3 - e * (1 / 4 - e * (1 / 5 - e * (1 / 6 - e / 7)))))
                )
                far += 1 if abs(e) > NEAR else 0
            if far:
                for j in range(size):
                    log[j] = math.log(near[j])
                    near_at[j], log_at[j] = near[j], log[j]
            far = 0
            for j in range(size):
                n = exponent[first + j]
                q[j] = max(scale[j] * s[j] * log[j], TRICKLE)
                e = q[j] / q_at[j] - 1.0
                more = 1.0 + e * (n - 3.0) / 4.0 * (1.0 + e * (n - 4.0) / 5.0 * (1.0 + e * (n - 5.0) / 6.0))
                fall[j] = fall_at[j] * (1.0 + e * n * (1.0 + e * (n - 1.0) / 2.0 * (1.0 + e * (n - 2.0) / 3.0 * more)))
                far += 1 if abs(e) > NEAR else 0
            if far:
                for j in range(size):
                    fall[j] = drop[first + j] * q[j] ** exponent[first + j]
                    q_at[j], fall_at[j] = q[j], fall[j]
            moving = 0
            for j in range(size):
                n = exponent[first + j]
                part = smooth[j] / (s[j] * near[j])
                steep = scale[j] * (log[j] - part)
                bend = -scale[j] * part * part / s[j]
                left = above[j] - fall[j] - minor[j] * q[j] * q[j] - s[j] * s[j]
                push = n * fall[j] / q[j] + 2.0 * minor[j] * q[j]
                slope = push * steep + 2.0 * s[j]
                turn = (n * (n - 1.0) * fall[j] / (q[j] * q[j]) + 2.0 * minor[j]) * steep * steep + push * bend + 2.0
                change = left / slope
                change = max(change / max(1.0 + 0.5 * change * turn / slope, 0.5), -0.5 * s[j])
                slow = steep <= 0.0 or q[j] <= TRICKLE  # slower than Colebrook can be: left where it is
                change = 0.0 if slow else change
                s[j] += change
                q[j] += change * (steep + 0.5 * change * bend)
                moving += 1 if abs(change) > ENOUGH * s[j] else 0
            if moving == 0:
                break
        for j in range(size):
            i = first + j
            flow[i] = min(q[j], most[j])
            head[i] = static[i] + minor[j] * q[j] * q[j] + s[j] * s[j] if q[j] < most[j] else 0.0
            if shut_off[i] <= static[i]:
                flow[i], head[i] = 0.0, shut_off[i]
                continue
            fast = 0.25 * TURBULENT_START * math.pi * inside[i] * viscosity  # from this flow on Colebrook holds
            if moving == 0 and q[j] >= fast:
                continue
            # Laminar, or between, or not settled: halving of the flow; Colebrook by putting the answer back.
            driven = 2.0 * gravity * inside[i] / length[i] * area[j] * area[j]
            start, x = 64.0 / LAMINAR_END, 5.0
            for _ in range(MOST_ROUNDS):
                before = x
                x = -2.0 * math.log(rough[j] + 2.51 / TURBULENT_START * x) / _LN10
                if abs(x - before) <= 1e-15 * x:
                    break
            end = 1.0 / (x * x)
            n, c = exponent[i], drop[i]
            low, high = 0.0, min(fast, most[j])
            if above[j] - c * fast**n - (minor[j] + end / driven) * fast * fast > 0.0 and fast < most[j]:
                low, high = fast, most[j]
            narrow = False
            for _ in range(MOST_HALVINGS):
                middle = 0.5 * (low + high)
                reynolds = 4.0 * middle / (math.pi * inside[i] * viscosity)
                factor = end
                if reynolds <= LAMINAR_END:
                    factor = 64.0 / reynolds
                elif reynolds < TURBULENT_START:
                    factor = start + (end - start) * (reynolds - LAMINAR_END) / (TURBULENT_START - LAMINAR_END)
                else:
                    for _ in range(MOST_ROUNDS):
                        before = x
                        x = -2.0 * math.log(rough[j] + 2.51 / reynolds * x) / _LN10
                        if abs(x - before) <= 1e-15 * x:
                            break
                    factor = 1.0 / (x * x)
                if above[j] - c * middle**n - (minor[j] + factor / driven) * middle * middle > 0.0:
                    low = middle
                else:
                    high = middle
                narrow = high - low <= AGREED * high
                if narrow:
                    break
            if not narrow:
                return i
            flow[i] = 0.5 * (low + high)
            head[i] = max(shut_off[i] - c * flow[i] ** n, 0.0)
    return -1


def _by_numpy(columns: Sequence[Floats], viscosity: float, gravity: float, flow: Floats, head: Floats) -> int:
    """As the kernel, over all designs at once; what Colebrook does not reach goes to the kernel, uncompiled."""
    static, inside, length, roughness, loss_k, shut_off, drop, exponent = columns
    spare = shut_off - static
    lifts = spare > 0.0
    above = np.where(lifts, spare, 1.0)
    area = 0.25 * math.pi * inside * inside
    minor = loss_k / (2.0 * gravity * area * area)
    driven = 2.0 * gravity * inside / length
    root = np.sqrt(driven)
    rough, smooth = roughness / (3.7 * inside), 2.51 * viscosity / (inside * root)
    scale = -2.0 / _LN10 * area * root
    most = (shut_off / drop) ** (1.0 / exponent)
    along = 0.02 / (driven * area * area)
    s = np.sqrt(above * along / (shut_off / (most * most) + minor + along))
    bad = np.zeros(flow.size, dtype=bool)
    q = np.zeros(flow.size)
    for _ in range(MOST_ROUNDS):
        near = rough + smooth / s
        log = np.log(near)
        q = scale * s * log
        part = smooth / (s * near)
        steep, bend = scale * (log - part), -scale * part * part / s
        bad |= (steep <= 0.0) | (q <= 0.0)
        q = np.where(bad, 1e-3, q)
        fall = drop * q**exponent
        left = above - fall - minor * q * q - s * s
        push = exponent * fall / q + 2.0 * minor * q
        slope = push * steep + 2.0 * s
        turn = (exponent * (exponent - 1.0) * fall / (q * q) + 2.0 * minor) * steep * steep + push * bend + 2.0
        change = left / slope
        change = np.maximum(change / np.maximum(1.0 + 0.5 * change * turn / slope, 0.5), -0.5 * s)
        change[bad] = 0.0
        s = s + change
        if np.all(np.abs(change) <= ENOUGH * s):
            q = q + change * (steep + 0.5 * change * bend)
            break
    else:
        bad |= np.abs(change) > ENOUGH * s
    np.minimum(q, most, out=flow)
    head[:] = np.where(q < most, static + minor * q * q + s * s, 0.0)
    flow[~lifts], head[~lifts] = 0.0, shut_off[~lifts]
    slow = np.flatnonzero(lifts & (bad | (4.0 * q < TURBULENT_START * math.pi * inside * viscosity)))
    if slow.size:
        some, heads = np.empty(slow.size), np.empty(slow.size)
        stuck = _kernel(*[column[slow] for column in columns], viscosity, gravity, some, heads)  # type: ignore[call-arg, arg-type]
        if stuck >= 0:
            return int(slow[stuck])
        flow[slow], head[slow] = some, heads
    return -1
