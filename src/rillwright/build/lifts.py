"""Loads against what the machine on site lifts, or hands carry; and whether the machine comes in."""

from __future__ import annotations

from rillwright.build.result import AccessCheck, Lift
from rillwright.feature import Access, Feature
from rillwright.liner import Liner
from rillwright.sources import default, limit
from rillwright.stone import Stone


def lifts_of(feature: Feature, stone: Stone, liner: Liner) -> tuple[Lift, ...]:
    """Of every crest the heaviest spill stone as a flat slab, and the heaviest piece of liner, against what lifts best.

    A machine's figure is taken as it was given, at its radius: derated once, by its maker's chart or by the person.
    """
    machine, allowed = _best(feature)
    heaviest: dict[str, float] = {}
    for one in stone.spill_stones:
        heaviest[one.fall] = max(heaviest.get(one.fall, 0.0), one.heaviest_kg)
    loads = [(f"falls/{fall}", "spill stone", load) for fall, load in heaviest.items()]
    if liner.pieces:
        roll = max(liner.pieces, key=lambda sheet: sheet.mass_kg)
        loads.append((roll.path, f"liner piece {roll.id}, folded", roll.mass_kg))
    return tuple(
        Lift(path=path, what=what, load_kg=load, allowed_kg=allowed, machine=machine) for path, what, load in loads
    )


def hands_kg(feature: Feature) -> float:
    """What the crew carries together [kg], by the limit for each person or the figure that the file sets instead."""
    said = feature.override_of("liner.hand_mass")
    return feature.site.crew_people * (limit("liner.hand_mass").good if said is None else said.value)


def _best(feature: Feature) -> tuple[str | None, float]:
    """The machine that lifts most of those that fit through their access, or None and what the crew carries."""
    best: tuple[str | None, float] = (None, hands_kg(feature))
    for access in feature.site.accesses:
        machine = access.machine
        if machine is not None and fits(access) and machine.lift_kg > best[1]:
            best = (machine.name, machine.lift_kg)
    return best


def fits(access: Access) -> bool:
    """Whether its machine is no wider than the access; hands always pass."""
    return access.machine is None or access.machine.width_m <= access.width_m


def access_checks(feature: Feature) -> tuple[AccessCheck, ...]:
    """Every access against the machine that is meant to pass it."""
    return tuple(
        AccessCheck(
            access=access.id,
            width_m=access.width_m,
            machine=access.machine.name if access.machine is not None else None,
            machine_width_m=access.machine.width_m if access.machine is not None else None,
            fits=fits(access),
        )
        for access in feature.site.accesses
    )


def rated_lift_kg(tipping_kg: float, hydraulic_kg: float, *, on_hook_kg: float) -> float:
    """What a machine may lift by its maker's two figures; only for figures that nobody has derated yet.

    Parameters
    ----------
    tipping_kg : float
        Static tipping load at that radius and height [kg].
    hydraulic_kg : float
        What its hydraulics lift there [kg].
    on_hook_kg : float
        Bucket, coupler, hook and slings that hang there as well [kg].

    Returns
    -------
    float
        Load that is left for a stone [kg], not below nought.

    References
    ----------
    iso-10567 as quoted in machine manuals: the lower of 75 % of tipping load and 87 % of hydraulic capacity.
    """
    tipping, hydraulic = default("lift.tipping_share").number, default("lift.hydraulic_share").number
    return max(0.0, min(tipping * tipping_kg, hydraulic * hydraulic_kg) - on_hook_kg)
