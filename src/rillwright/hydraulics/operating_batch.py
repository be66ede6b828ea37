"""Operating points of many designs at once: a compiled kernel and its NumPy twin.

What is sought is not the flow but the head lost along the pipe: from that, Colebrook gives the speed in closed form, so
that a round costs one logarithm and one power and friction needs no rounds of its own.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S
from rillwright.hydraulics._operating_twin import MOST_ROUNDS, Floats, by_numpy

_LEAST, _MOST = float(np.nextafter(0.0, 1.0)), float(np.finfo(np.float64).max)


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
    kernel = _by_kernel if compiled else by_numpy
    stuck = int(kernel(columns, float(viscosity_m2s), float(gravity_ms2), flow, head))
    if stuck >= 0:
        raise NoAnswer(f"operating points: design {stuck} does not settle in {MOST_ROUNDS} rounds")
    return OperatingPoints(flow_m3s=flow, head_m=head)


def _by_kernel(columns: Sequence[Floats], viscosity: float, gravity: float, flow: Floats, head: Floats) -> int:
    try:
        from rillwright.hydraulics._operating_kernel import by_kernel
    except ImportError:  # no compiler on this machine
        return by_numpy(columns, viscosity, gravity, flow, head)
    return int(by_kernel(*columns, viscosity, gravity, flow, head))


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
        least = -_MOST if name == "static_m" else 0.0 if name in zero_is_fine else _LEAST
        if not (least <= column.min() and column.max() <= _MOST):  # a nan fails both
            fine = (column >= least) & (column <= _MOST)
            first = int(np.argmin(fine))
            problems.append(Problem(message="cannot be used", field=f"{name}[{first}]", found=f"{column[first]:g}"))
    if problems:
        raise InputError(problems)
    return columns
