"""Cross profiles, completed: the sides of banks, and the plunge pools at the foot of falls."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from rillwright.feature.filling import Filling
from rillwright.feature.model import Fall, Plunge, Reach
from rillwright.feature.schema import FallSaid
from rillwright.feature.yaml_text import Location


def side_of(said: float | Literal["vertical"] | None) -> float | None:
    """Sides as up to one across [-]; infinite where they are vertical, nothing where nobody has said."""
    return math.inf if said == "vertical" else said


def plunge_of(row: FallSaid) -> Plunge | None:
    """The plunge pool of a fall, if one is said."""
    if row.plunge is None:
        return None
    return Plunge(depth_m=row.plunge.depth.si, length_m=row.plunge.length.si)


def refuse_profiles(links: Sequence[Reach | Fall], location: Location, filling: Filling) -> None:
    """Notes banks that meet above the liner, and plunge pools that have no bed to lie in."""
    for index, link in enumerate(links):
        place = (*location, "course", index)
        if isinstance(link, Reach) and _refuse_dish(link, place, filling):
            continue
        if isinstance(link, Reach) and link.floor_width_m <= 0.0:
            assert link.side_up_per_across is not None
            filling.wrong(
                (*place, "side"),
                "banks so flat meet in the gravel, above the liner",
                found=f"{link.side_up_per_across:g} up to one across under {link.gravel_m:.3f} m of gravel",
                allowed=f"steeper than {2.0 * link.gravel_m / link.width_m:.3g} in a bed {link.width_m:.3f} m wide",
            )
        if isinstance(link, Fall) and link.plunge is not None:
            below, after = (*links[index + 1 :], None, None)[:2]
            _refuse_plunge(link.plunge, below, after, place=(*place, "plunge"), filling=filling)


def _refuse_dish(reach: Reach, place: Location, filling: Filling) -> bool:
    """Notes a bed whose edges lie as high as its banks end, or whose banks are no steeper than it is."""
    if reach.dish_m <= 0.0:
        return False
    side = math.inf if reach.side_up_per_across is None else reach.side_up_per_across
    most = min(reach.bank_m, 0.5 * side * reach.width_m)
    if reach.dish_m < most:
        return False
    filling.wrong(
        (*place, "dish"),
        "the edges of the bed lie as high as its banks end, or its banks are no steeper than the bed itself",
        found=f"{reach.dish_m:.3f} m",
        allowed=f"less than {most:.3f} m",
    )
    return True


def _refuse_plunge(
    plunge: Plunge, bed: Reach | Fall | None, after: Reach | Fall | None, *, place: Location, filling: Filling
) -> None:
    if not isinstance(bed, Reach):
        filling.wrong(
            place,
            "the last fall lands in what the stream runs into, not in a bed of its own",
            allowed="no 'plunge' here; the depth of the pond is its own",
        )
        return
    back = min(after.stone_depth_m, 0.5 * bed.length_m) if isinstance(after, Fall) else 0.0
    room = bed.length_m - back
    if plunge.length_m >= room:
        filling.wrong(
            (*place, "length"),
            f"the plunge pool is as long as bed {bed.id} up to the stones of its next fall, or longer",
            found=f"{plunge.length_m:.3f} m",
            allowed=f"less than {room:.3f} m",
        )
    falls = bed.pitch_m * plunge.length_m / bed.length_m
    if plunge.depth_m <= falls:
        filling.wrong(
            (*place, "depth"),
            f"bed {bed.id} falls as far along the plunge pool as it is deep, or farther: no water would stand in it",
            found=f"{plunge.depth_m:.3f} m",
            allowed=f"more than {falls:.3f} m",
        )
