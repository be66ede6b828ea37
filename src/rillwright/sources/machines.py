"""Machines for a first answer: invented, until a person gives theirs."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import listed, picked


class MachineRow(Struct, frozen=True, kw_only=True):
    """A machine: width and reach [m], load [kg] on its hook at `lift_radius_m` [m], derated as its chart is."""

    name: str
    width_m: float
    reach_m: float
    lift_kg: float
    lift_radius_m: float
    invented: bool
    note: str


@cache
def _table() -> dict[str, MachineRow]:
    return {
        row["name"]: MachineRow(
            name=row["name"],
            width_m=float(row["width_m"]),
            reach_m=float(row["reach_m"]),
            lift_kg=float(row["lift_kg"]),
            lift_radius_m=float(row["lift_radius_m"]),
            invented=row["invented"] == "yes",
            note=row["note"],
        )
        for row in listed("machines.csv")
    }


def machines() -> tuple[MachineRow, ...]:
    """All machines of the table, narrowest first."""
    return tuple(sorted(_table().values(), key=lambda row: row.width_m))


def machine(name: str) -> MachineRow:
    """The machine of that name. Raises KeyError with near matches."""
    return picked(_table(), name, "machine")
