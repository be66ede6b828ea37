"""Operating points of many designs over whole arrays: the twin of the compiled kernel, and what both use one by one."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rillwright.hydraulics.friction import LAMINAR_END, TURBULENT_START

Floats = NDArray[np.float64]
MOST_ROUNDS = 60
MOST_HALVINGS = 200
AGREED = 4e-13  # width of the last bracket over the flow [-]
ENOUGH = 5e-4  # last step over what is sought [-]: it leaves an error of about half of its cube
TRICKLE = 1e-12  # [m3/s]
GUESSED_FRICTION = 0.018
PER_LN10 = -2.0 / math.log(10.0)


def by_numpy(columns: Sequence[Floats], viscosity: float, gravity: float, flow: Floats, head: Floats) -> int:
    """Fill flows [m3/s] and heads [m]; -1, or the first design that does not settle."""
    static, inside, length, roughness, loss_k, shut_off, drop, exponent = columns
    spare = shut_off - static
    lifts = spare > 0.0
    above = np.where(lifts, spare, 1.0)
    area = 0.25 * math.pi * inside * inside
    minor = loss_k / (2.0 * gravity * area * area)
    driven = 2.0 * gravity * inside / length
    root = np.sqrt(driven)
    rough, smooth = roughness / (3.7 * inside), 2.51 * viscosity / (inside * root)
    scale = PER_LN10 * area * root
    most = (shut_off / drop) ** (1.0 / exponent)
    along = GUESSED_FRICTION / (driven * area * area)
    s = np.sqrt(above * along / (shut_off / (most * most) + minor + along))
    slow = np.zeros(flow.size, dtype=bool)
    q = np.zeros(flow.size)
    for _ in range(MOST_ROUNDS):
        near = rough + smooth / s
        log = np.log(near)
        q = scale * s * log
        part = smooth / (s * near)
        steep, bend = scale * (log - part), -scale * part * part / s
        slow |= (steep <= 0.0) | (q <= TRICKLE)  # slower than Colebrook can be: left where it is
        q = np.maximum(q, TRICKLE)
        fall = drop * q**exponent
        left = above - fall - minor * q * q - s * s
        push = exponent * fall / q + 2.0 * minor * q
        slope = push * steep + 2.0 * s
        turn = (exponent * (exponent - 1.0) * fall / (q * q) + 2.0 * minor) * steep * steep + push * bend + 2.0
        change = left / slope
        change = np.maximum(change / np.maximum(1.0 + 0.5 * change * turn / slope, 0.5), -0.5 * s)
        change[slow] = 0.0
        s = s + change
        q = q + change * (steep + 0.5 * change * bend)
        moving = np.abs(change) > ENOUGH * s
        if not moving.any():
            break
    np.minimum(q, most, out=flow)
    head[:] = np.where(q < most, static + minor * q * q + s * s, 0.0)
    flow[~lifts], head[~lifts] = 0.0, shut_off[~lifts]
    fast = 0.25 * TURBULENT_START * math.pi * inside * viscosity
    for i in np.flatnonzero(lifts & (slow | moving | (q < fast))):
        found = halved(
            spare[i], inside[i], length[i], rough[i], minor[i], drop[i], exponent[i], most[i], viscosity, gravity
        )
        if found < 0.0:
            return int(i)
        flow[i], head[i] = found, max(shut_off[i] - drop[i] * found ** exponent[i], 0.0)
    return -1


def halved(
    spare: float,
    inside: float,
    length: float,
    rough: float,
    minor: float,
    drop: float,
    exponent: float,
    most: float,
    viscosity: float,
    gravity: float,
) -> float:
    """Flow [m3/s] by halving, in any regime, Colebrook by putting the answer back; below nought if it is not found."""
    area = 0.25 * math.pi * inside * inside
    driven = 2.0 * gravity * inside / length * area * area
    fast = 0.25 * TURBULENT_START * math.pi * inside * viscosity  # from this flow on Colebrook holds
    start, x = 64.0 / LAMINAR_END, 5.0
    for _ in range(MOST_ROUNDS):
        before = x
        x = PER_LN10 * math.log(rough + 2.51 / TURBULENT_START * x)
        if abs(x - before) <= 1e-15 * x:
            break
    end = 1.0 / (x * x)
    low, high = 0.0, min(fast, most)
    if spare - drop * fast**exponent - (minor + end / driven) * fast * fast > 0.0 and fast < most:
        low, high = fast, most
    for _ in range(MOST_HALVINGS):
        middle = 0.5 * (low + high)
        reynolds = 4.0 * middle / (math.pi * inside * viscosity)
        if reynolds <= LAMINAR_END:
            factor = 64.0 / reynolds
        elif reynolds < TURBULENT_START:
            factor = start + (end - start) * (reynolds - LAMINAR_END) / (TURBULENT_START - LAMINAR_END)
        else:
            for _ in range(MOST_ROUNDS):
                before = x
                x = PER_LN10 * math.log(rough + 2.51 / reynolds * x)
                if abs(x - before) <= 1e-15 * x:
                    break
            factor = 1.0 / (x * x)
        if spare - drop * middle**exponent - (minor + factor / driven) * middle * middle > 0.0:
            low = middle
        else:
            high = middle
        if high - low <= AGREED * high:
            return 0.5 * (low + high)
    return -1.0
