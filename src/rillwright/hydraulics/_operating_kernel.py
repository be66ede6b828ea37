"""The compiled kernel of many operating points: a block of designs at a time, several of them in one instruction.

Imported only by the function that runs it. Logarithms and powers are our own, to 1e-14: those of the system are called
one by one, which forbids that. What is kept on disk is known by this file alone: figures of the twin are compiled in,
so a change to them is to be followed by one here.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import njit

from rillwright.hydraulics._operating_twin import (
    ENOUGH,
    GUESSED_FRICTION,
    MOST_ROUNDS,
    PER_LN10,
    TRICKLE,
    Floats,
    halved,
)
from rillwright.hydraulics.friction import TURBULENT_START

BLOCK = 48  # designs at a time: they fit the nearest cache
STATIC, INSIDE, LENGTH, ROUGH, MINOR, SHUT_OFF, DROP, POWER = (k * BLOCK for k in range(8))
ABOVE, FALLEN, MOST, SMOOTH, SCALE, S, Q, STUCK, MOVED = (k * BLOCK for k in range(8, 17))
_QUANTITIES = 17
_INLINE: dict[str, Any] = {
    "inline": "always",
    "error_model": "numpy",
    "fastmath": {"nnan", "ninf", "nsz", "contract", "arcp"},
}
_HOW: dict[str, Any] = {**_INLINE, "inline": "never", "nogil": True, "cache": True}
_LN2, _LN2_HIGH, _LN2_LOW = math.log(2.0), 6.93147180369123816490e-01, 1.90821492927058770002e-10
_ONE, _BELOW_ROOT = np.uint64(0x3FF0000000000000), np.uint64(0x3FE6A09E00000000)  # 1, and the root of a half
_TOP, _MANTISSA = np.uint64(52), np.uint64(0x000FFFFFFFFFFFFF)
_WHOLE = 4503599627370496.0  # 2^52: added to a small whole number it stands in the last bits
_WHOLE_BITS = np.uint64(0x4330000000000000)
_ROUNDED = 6755399441055744.0  # 1.5 x 2^52
_halved = njit(**_HOW)(halved)


@njit(**_INLINE)
def _log(x):  # type: ignore[no-untyped-def]
    """Natural logarithm of a number of usual size: the exponent, and a series of the mantissa about 1."""
    bits = np.float64(x).view(np.uint64) + (_ONE - _BELOW_ROOT)
    exponent = np.uint64((bits >> _TOP) | _WHOLE_BITS).view(np.float64) - (_WHOLE + 1023.0)
    mantissa = np.uint64((bits & _MANTISSA) + _BELOW_ROOT).view(np.float64)
    t = (mantissa - 1.0) / (mantissa + 1.0)
    z = t * t
    series = 1 / 3 + z * (1 / 5 + z * (1 / 7 + z * (1 / 9 + z * (1 / 11 + z * (1 / 13 + z * (1 / 15 + z * (1 / 17)))))))
    return exponent * _LN2 + 2.0 * t * (1.0 + z * series)


@njit(**_INLINE)
def _exp(x):  # type: ignore[no-untyped-def]
    """e^x for |x| up to 700: a power of two, and a series within half of ln 2."""
    whole = x * (1.0 / _LN2) + _ROUNDED
    k = whole - _ROUNDED
    r = (x - k * _LN2_HIGH) - k * _LN2_LOW
    series = 1 / 362880 + r * (1 / 3628800 + r * (1 / 39916800 + r / 479001600))
    series = 1 / 720 + r * (1 / 5040 + r * (1 / 40320 + r * series))
    series = 1.0 + r * (1.0 + r * (1 / 2 + r * (1 / 6 + r * (1 / 24 + r * (1 / 120 + r * series)))))
    power = np.uint64((np.float64(whole).view(np.uint64) + np.uint64(1023)) << _TOP)
    return series * power.view(np.float64)


@njit(**_INLINE)
def _copied(row, first, size, w, to):  # type: ignore[no-untyped-def]
    """A block of a row of designs into the lanes; the last one is repeated to fill them."""
    for j in range(size):
        w[to + j] = row[first + j]
    for j in range(size, BLOCK):
        w[to + j] = row[first + size - 1]


@njit(**_HOW)  # type: ignore[untyped-decorator]
def by_kernel(
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
    """Fill flows [m3/s] and heads [m]; -1, or the first design that does not settle.

    All that a block needs lies in one flat array, each quantity `BLOCK` apart: so the compiler sees that nothing
    overlaps.
    """
    w = np.empty(_QUANTITIES * BLOCK)
    for first in range(0, flow.size, BLOCK):
        size = min(BLOCK, flow.size - first)
        _copied(static, first, size, w, STATIC)
        _copied(inside, first, size, w, INSIDE)
        _copied(length, first, size, w, LENGTH)
        _copied(roughness, first, size, w, ROUGH)
        _copied(loss_k, first, size, w, MINOR)
        _copied(shut_off, first, size, w, SHUT_OFF)
        _copied(drop, first, size, w, DROP)
        _copied(exponent, first, size, w, POWER)
        for j in range(BLOCK):
            spare = w[SHUT_OFF + j] - w[STATIC + j]
            above = spare if spare > 0.0 else 1.0
            w[ABOVE + j] = above
            fallen = _log(w[DROP + j])
            w[FALLEN + j] = fallen
            most = _exp((_log(w[SHUT_OFF + j]) - fallen) / w[POWER + j])
            w[MOST + j] = most
            d = w[INSIDE + j]
            area = 0.25 * math.pi * d * d
            unit = 1.0 / (2.0 * gravity * area * area)
            minor = w[MINOR + j] * unit
            w[MINOR + j] = minor
            slender = w[LENGTH + j] / d
            root = math.sqrt(2.0 * gravity / slender)
            w[ROUGH + j] = w[ROUGH + j] / (3.7 * d)
            w[SMOOTH + j] = 2.51 * viscosity / (d * root)
            w[SCALE + j] = PER_LN10 * area * root
            along = GUESSED_FRICTION * slender * unit
            w[S + j] = math.sqrt(above * along / (w[SHUT_OFF + j] / (most * most) + minor + along))
        moving = 0.0
        for _ in range(MOST_ROUNDS):
            moving = 0.0
            for j in range(BLOCK):
                n, scale, minor, s = w[POWER + j], w[SCALE + j], w[MINOR + j], w[S + j]
                reach = w[ROUGH + j] * s + w[SMOOTH + j]
                over = 1.0 / (s * reach)  # one division for the two that are needed
                log = _log(reach * reach * over)
                part = w[SMOOTH + j] * s * over
                steep = scale * (log - part)
                bend = -scale * part * part * reach * over
                q = scale * s * log
                slow = steep <= 0.0 or q <= TRICKLE  # slower than Colebrook can be: left where it is
                q = max(q, TRICKLE)
                fall = _exp(w[FALLEN + j] + n * _log(q))
                lost = minor * q * q
                left = w[ABOVE + j] - fall - lost - s * s
                push = n * fall + 2.0 * lost
                slope = push * steep + 2.0 * s * q
                turn = (n * (n - 1.0) * fall + 2.0 * lost) * steep * steep + push * q * bend + 2.0 * q * q
                square = slope * slope
                change = max(left * q * slope / max(square + 0.5 * left * turn, 0.5 * square), -0.5 * s)
                change = 0.0 if slow else change
                w[STUCK + j] = 1.0 if slow else -1.0
                w[S + j] = s + change
                w[Q + j] = q + change * (steep + 0.5 * change * bend)
                w[MOVED + j] = abs(change) - ENOUGH * s
            moving = w[MOVED : MOVED + BLOCK].max()
            if moving <= 0.0:
                break
        for j in range(BLOCK):
            q, s, most = w[Q + j], w[S + j], w[MOST + j]
            fast = 0.25 * TURBULENT_START * math.pi * w[INSIDE + j] * viscosity
            lifts = w[SHUT_OFF + j] > w[STATIC + j]
            head_m = w[STATIC + j] + w[MINOR + j] * q * q + s * s if q < most else 0.0
            w[STUCK + j] = max(w[STUCK + j], fast - q) if lifts else -1.0
            w[Q + j] = min(q, most) if lifts else 0.0
            w[S + j] = head_m if lifts else w[SHUT_OFF + j]
        for j in range(size):
            flow[first + j] = w[Q + j]
        for j in range(size):
            head[first + j] = w[S + j]
        if moving <= 0.0 and w[STUCK : STUCK + BLOCK].max() <= 0.0:
            continue
        for j in range(size):
            i, lifts = first + j, w[SHUT_OFF + j] > w[STATIC + j]
            if lifts and (w[STUCK + j] > 0.0 or w[MOVED + j] > 0.0):
                found = _halved(
                    w[ABOVE + j],
                    w[INSIDE + j],
                    w[LENGTH + j],
                    w[ROUGH + j],
                    w[MINOR + j],
                    w[DROP + j],
                    w[POWER + j],
                    w[MOST + j],
                    viscosity,
                    gravity,
                )
                if found < 0.0:
                    return i
                flow[i] = found
                head[i] = max(w[SHUT_OFF + j] - w[DROP + j] * found ** w[POWER + j], 0.0)
    return -1
