"""Friction factor of a full pipe: laminar, between, turbulent. Darcy's f, four times Fanning's."""

from __future__ import annotations

import math

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.hydraulics._checks import refuse_unusable

LAMINAR_END = 2000.0  # Reynolds number
TURBULENT_START = 4000.0
TURBULENT_METHODS = ("Colebrook", "Swamee-Jain")


def laminar_friction(reynolds: float) -> float:
    """Friction factor [-] of laminar flow, 64/Re, by Reynolds number [-]."""
    refuse_unusable(positive={"reynolds": reynolds})
    return 64 / reynolds


def colebrook(reynolds: float, relative_roughness: float) -> float:
    """Colebrook's friction factor to machine precision: 1/sqrt(f) = -2 log10(e/3.7 + 2.51/(Re sqrt(f))).

    Parameters
    ----------
    reynolds : float
        [-].
    relative_roughness : float
        e, roughness over inside diameter [-].

    Returns
    -------
    float
        [-].

    Raises
    ------
    InputError
        If a number cannot be used.
    NoAnswer
        If Newton's iteration does not settle.

    References
    ----------
    colebrook-1939.
    """
    refuse_unusable(positive={"reynolds": reynolds}, not_negative={"relative_roughness": relative_roughness})
    a, b = relative_roughness / 3.7, 2.51 / reynolds
    x = 1 / math.sqrt(swamee_jain(reynolds, relative_roughness))
    slope = 2 * b / math.log(10)
    for _ in range(50):
        inside = a + b * x
        change = (x + 2 * math.log10(inside)) / (1 + slope / inside)
        x -= change
        if abs(change) <= 4e-16 * x:
            return float(x**-2)
        if abs(change) <= 1e-15 * x:  # the last bit may swing
            return float(x**-2)
    raise NoAnswer(f"Colebrook: not settled at Re {reynolds:g}, relative roughness {relative_roughness:g}")


def swamee_jain(reynolds: float, relative_roughness: float) -> float:
    """Swamee and Jain's friction factor: 0.25 / log10(e/3.7 + 5.74/Re^0.9)^2.

    Parameters
    ----------
    reynolds : float
        [-].
    relative_roughness : float
        e, roughness over inside diameter [-].

    Returns
    -------
    float
        [-].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    swamee-jain-1976; epanet-2.2, ch. 12.
    """
    refuse_unusable(positive={"reynolds": reynolds}, not_negative={"relative_roughness": relative_roughness})
    return float(0.25 / math.log10(relative_roughness / 3.7 + 5.74 / reynolds**0.9) ** 2)


def dunlop_cubic(reynolds: float, relative_roughness: float) -> float:
    """Friction factor between laminar and turbulent flow, meeting 64/Re at 2000 and Swamee-Jain at 4000.

    Parameters
    ----------
    reynolds : float
        2000 to 4000 [-].
    relative_roughness : float
        [-].

    Returns
    -------
    float
        [-].

    References
    ----------
    epanet-2.2, ch. 12 (Dunlop 1991).
    """
    at_end = relative_roughness / 3.7 + 5.74 / float(TURBULENT_START**0.9)
    y3 = -2 * math.log10(at_end)
    fa = 1 / y3**2
    # 0.00514215 in the manual: the derivative of 5.74/Re^0.9 at 4000, so that the slopes meet as well.
    fb = fa * (2 - 0.00514215 / (at_end * y3))
    r = reynolds / 2000
    x1, x2 = 7 * fa - fb, 0.128 - 17 * fa + 2.5 * fb
    x3, x4 = -0.128 + 13 * fa - 2 * fb, r * (0.032 - 3 * fa + 0.5 * fb)
    return x1 + r * (x2 + r * (x3 + x4))


def friction_factor(reynolds: float, relative_roughness: float, *, method: str = "Colebrook") -> float:
    """Friction factor at any Reynolds number: 64/Re up to 2000, the chosen method from 4000, joined between.

    Between, Swamee-Jain is joined by Dunlop's cubic as in EPANET; Colebrook by a straight line in Re, which is
    continuous and no more uncertain than the flow itself there.

    Parameters
    ----------
    reynolds : float
        [-].
    relative_roughness : float
        Roughness over inside diameter [-].
    method : str
        'Colebrook' or 'Swamee-Jain'.

    Returns
    -------
    float
        [-].

    Raises
    ------
    InputError
        If a number cannot be used, or the method is unknown.

    References
    ----------
    colebrook-1939, swamee-jain-1976, epanet-2.2; the straight line is common practice, no source.
    """
    if method not in TURBULENT_METHODS:
        allowed = " or ".join(TURBULENT_METHODS)
        raise InputError(Problem(message="unknown", field="method", found=method, allowed=allowed))
    if reynolds <= LAMINAR_END:
        return laminar_friction(reynolds)
    turbulent = colebrook if method == "Colebrook" else swamee_jain
    if reynolds >= TURBULENT_START:
        return turbulent(reynolds, relative_roughness)
    if method == "Swamee-Jain":
        return dunlop_cubic(reynolds, relative_roughness)
    share = (reynolds - LAMINAR_END) / (TURBULENT_START - LAMINAR_END)
    start = laminar_friction(LAMINAR_END)
    return start + share * (colebrook(TURBULENT_START, relative_roughness) - start)
