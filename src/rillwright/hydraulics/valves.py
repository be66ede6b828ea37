"""Valves: flow coefficients and loss coefficients, and what a valve must take away."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._roots import bracketed_root

_BAR_PA = 1e5
_THOUSAND_KGM3 = 1000.0  # of the water by which the coefficients are defined
_PSI_PA = 6894.757293168
_GAL_PER_MIN_M3S = 3.785411784e-3 / 60.0


def loss_coefficient_of_kv(kv_m3h: float, *, inside_m: float) -> float:
    """The K of a valve of flow coefficient Kv: 2 x 1 bar / 1000 kg/m3 x (A / Kv)^2.

    Parameters
    ----------
    kv_m3h : float
        Kv, flow at a loss of 1 bar [m3/h].
    inside_m : float
        Inside diameter of the pipe on whose speed K is meant [m].

    Returns
    -------
    float
        K [-].

    Raises
    ------
    InputError
        If a number is not above nought.

    References
    ----------
    Definition of Kv, as in IEC 60534 (from memory); the form with K = 891 d^4 / Cv^2, d in inches, was seen on the page
    of a maker of pipe programs.
    """
    refuse_unusable(positive={"kv_m3h": kv_m3h, "inside_m": inside_m})
    area = math.pi * inside_m**2 / 4
    return 2 * _BAR_PA / _THOUSAND_KGM3 * (area * 3600 / kv_m3h) ** 2


def kv_of_loss_coefficient(loss_k: float, *, inside_m: float) -> float:
    """Kv [m3/h] of a valve of that K [-] in a pipe of inside diameter [m]: the inverse of `loss_coefficient_of_kv`."""
    refuse_unusable(positive={"loss_k": loss_k, "inside_m": inside_m})
    return math.pi * inside_m**2 / 4 * 3600 * math.sqrt(2 * _BAR_PA / _THOUSAND_KGM3 / loss_k)


def kv_of_cv(cv: float) -> float:
    """Kv [m3/h] of a US flow coefficient Cv, gal/min at a loss of 1 psi: 0.865 Cv."""
    refuse_unusable(positive={"cv": cv})
    return cv * _GAL_PER_MIN_M3S * 3600 * math.sqrt(_BAR_PA / _PSI_PA)


def throttle(head_m: float, *, flow_m3s: float, inside_m: float, gravity_ms2: float = GRAVITY_MS2) -> float:
    """The K [-] that takes away a head [m] at a flow [m3/s] in a pipe of inside diameter [m]: 2 g h A^2 / Q^2."""
    refuse_unusable(
        positive={"flow_m3s": flow_m3s, "inside_m": inside_m, "gravity_ms2": gravity_ms2},
        not_negative={"head_m": head_m},
    )
    area = math.pi * inside_m**2 / 4
    return 2 * gravity_ms2 * head_m * (area / flow_m3s) ** 2


class Branch(Struct, frozen=True, kw_only=True):
    """One way out of a branching main: the flow wanted there, its level, its own loss [m] by its flow [m3/s]."""

    id: str
    wanted_m3s: float
    level_m: float
    inside_m: float
    loss: Callable[[float], float]

    def head(self, flow_m3s: float) -> float:
        """Head [m] that it needs where it branches off, valve open, at a flow [m3/s]."""
        return self.level_m + self.loss(flow_m3s)


class ValveSetting(Struct, frozen=True, kw_only=True):
    """What one branch gets [m3/s], and what its valve takes away: head [m], and K [-] on the speed in its pipe."""

    flow_m3s: float
    spare_m: float
    valve_k: float


class ValveSettings(Struct, frozen=True, kw_only=True):
    """Valve settings of all branches. `share` is of the flows wanted [-]; `open_branch` keeps its valve fully open.

    Head that every branch could spare is `common_m` [m]: a valve on the main takes it as well as each one's own.
    """

    share: float
    head_m: float  # where they branch off
    common_m: float
    open_branch: str
    branches: Mapping[str, ValveSetting]
    outside: str


def valve_settings(
    head_at: Callable[[float], float], branches: Sequence[Branch], *, gravity_ms2: float = GRAVITY_MS2
) -> ValveSettings:
    """The valve settings at which every branch gets the flow wanted, or if that is too much, the same share of it.

    Parameters
    ----------
    head_at : callable
        Total flow [m3/s] -> head [m] left where the branches part, falling.
    branches : sequence of Branch
        Flows wanted [m3/s] and levels [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    ValveSettings
        Flows [m3/s], heads [m], K [-].

    Raises
    ------
    InputError
        If there is no branch, or one wants nothing.
    NoAnswer
        If the share is not found.

    References
    ----------
    Closed form: balance of heads.
    """
    if not branches:
        raise InputError(Problem(message="nothing branches off", field="branches"))
    refuse_unusable(positive={f"branches[{branch.id}].wanted_m3s": branch.wanted_m3s for branch in branches})
    total = sum(branch.wanted_m3s for branch in branches)

    def spare(share: float) -> float:
        return head_at(share * total) - max(branch.head(share * branch.wanted_m3s) for branch in branches)

    share, outside = 1.0, ""
    if spare(1.0) < 0.0:
        if spare(0.0) <= 0.0:
            high = max(branches, key=lambda branch: branch.level_m)
            share, outside = 0.0, f"no water is lifted to {high.id}"
        else:
            share = bracketed_root(spare, 0.0, 1.0, what="share of the flows wanted")
            outside = f"only {share:.0%} of the flows wanted can be had together"
    head = head_at(share * total)
    needs = {branch.id: branch.head(share * branch.wanted_m3s) for branch in branches}
    left = {id: max(head - need, 0.0) for id, need in needs.items()}
    return ValveSettings(
        share=share,
        head_m=head,
        common_m=min(left.values()),
        open_branch=max(branches, key=lambda branch: needs[branch.id]).id,
        branches={branch.id: _setting(branch, share, left[branch.id], gravity_ms2) for branch in branches},
        outside=outside,
    )


def _setting(branch: Branch, share: float, spare_m: float, gravity_ms2: float) -> ValveSetting:
    flow = share * branch.wanted_m3s
    k = throttle(spare_m, flow_m3s=flow, inside_m=branch.inside_m, gravity_ms2=gravity_ms2) if flow > 0.0 else 0.0
    return ValveSetting(flow_m3s=flow, spare_m=spare_m, valve_k=k)
