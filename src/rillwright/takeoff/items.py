"""The things that are counted: keys of the price book, their words, and the SI unit in which each is taken off."""

from __future__ import annotations

from msgspec import Struct


class Item(Struct, frozen=True, kw_only=True):
    """One key of the price book."""

    key: str
    text: str
    unit: str


ITEMS = tuple(
    Item(key=key, text=text, unit=unit)
    for key, unit, text in (
        ("liner_m2", "m2", "liner"),
        ("underlay_m2", "m2", "underlay"),
        ("pad_m2", "m2", "pads under bearing stone"),
        ("spill_stone_each", "each", "spill stones"),
        ("edge_stone_kg", "kg", "edge stone"),
        ("face_stone_kg", "kg", "stone in fall faces"),
        ("gravel_kg", "kg", "gravel"),
        ("reservoir_stone_kg", "kg", "stone in the reservoir"),
        ("reservoir_block_m3", "m3", "void blocks"),
        ("dig_m3", "m3", "dig, in the bank"),
        ("soil_out_m3", "m3", "soil out, loose"),
        ("soil_in_m3", "m3", "soil brought in, loose"),
        ("berm_m3", "m3", "fill in berms and banks, placed"),
        ("pump_each", "each", "pumps"),
        ("pipe_m", "m", "pipe"),
        ("fittings_lot", "each", "fittings of a pipe run"),
        ("skimmer_each", "each", "skimmers"),
        ("pit_each", "each", "pump pits"),
        ("electric_allowance", "each", "electric work, allowance"),
        ("set_out", "each", "setting out"),
        ("start_up", "each", "starting up"),
        ("hand_over", "each", "handing over"),
    )
)
_UNITS = {item.key: item.unit for item in ITEMS}


def unit_of(key: str) -> str:
    """The SI unit in which an item is taken off. Raises KeyError."""
    return _UNITS[key]
