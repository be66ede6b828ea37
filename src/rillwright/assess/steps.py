"""The steps of an assessment, each with what it reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assess.inputs import Inputs
from rillwright.assessment import NotRun
from rillwright.build import plan_build
from rillwright.containment import Odds, SpiltWays, contain
from rillwright.earth import Earth, move_earth
from rillwright.liner import size_liner
from rillwright.price import price_range
from rillwright.progress import Progress
from rillwright.shape import Finished, LongSection, Surface, shape, surface
from rillwright.stone import place_stone
from rillwright.takeoff import take_off
from rillwright.water import OverTime, Water, over_time, water

Branches = Mapping[str, Any]


class Step(Struct, frozen=True):
    """One branch: its name, how it is made, the parts of the inputs and the branches that it reads, and its tier.

    `also` are branches that it reads where they were made, and does without where they were not.
    """

    name: str
    make: Callable[[Inputs, Branches, Progress], object]
    parts: tuple[str, ...]
    branches: tuple[str, ...]
    tier: str = "quick"
    also: tuple[str, ...] = ()


_FORM = ("levels", "liner_kind", "overrides")


def _highest(branches: Branches) -> Water:
    """The water with the highest levels that it reaches over time, where that was followed."""
    found: Water = branches["water"]
    followed = branches["over_time"]
    return replace(found, highest=found.highest + followed.highest) if isinstance(followed, OverTime) else found


def _there(found: Surface | NotRun) -> Surface | None:
    """The rims as they run, where they were followed."""
    return found if isinstance(found, Surface) else None


def _odds(inputs: Inputs, branches: Branches, progress: Progress) -> Odds:
    from rillwright.containment import spill_odds

    return spill_odds(inputs.feature, _highest(branches), surface=branches["surface"], progress=progress)


def _surveyed(branches: Branches) -> tuple[LongSection, ...]:
    """Long sections on the ground as it was surveyed, where it was; else as they are drawn by what the file knows."""
    earth = branches["earth"]
    found: tuple[LongSection, ...] = earth.sections if isinstance(earth, Earth) else ()
    return found or branches["shape"].sections


def _spilt(inputs: Inputs, branches: Branches, progress: Progress) -> SpiltWays:
    from rillwright.containment import spilt_ways

    return spilt_ways(
        inputs.feature,
        branches["water"],
        branches["containment"],
        surface=branches["surface"],
        finished=branches["finished"],
        ground=inputs.ground,
    )


def _finished(inputs: Inputs, rims: Surface) -> Finished:
    from rillwright.shape import finish

    return finish(inputs.feature, rims, inputs.ground)


STEPS = (
    Step("shape", lambda i, b, p: shape(i.feature), (*_FORM, "filled"), ()),
    Step("surface", lambda i, b, p: surface(i.feature, i.ground), ("levels", "ground", "site"), ()),
    Step("water", lambda i, b, p: water(i.feature, b["shape"]), (*_FORM, "runs", "climate", "filled"), ("shape",)),
    Step(
        "over_time",
        lambda i, b, p: over_time(i.feature, b["shape"], b["water"], progress=p),
        (*_FORM, "runs"),
        ("shape", "water"),
        tier="full",
    ),
    Step("liner", lambda i, b, p: size_liner(i.feature, b["shape"]), _FORM, ("shape",)),
    Step(
        "containment",
        lambda i, b, p: contain(i.feature, _highest(b), surface=_there(b["surface"]), ground=i.ground),
        (*_FORM, "site", "ground"),
        ("water",),
        also=("over_time", "surface"),
    ),
    Step("odds", _odds, _FORM, ("water", "surface"), tier="full", also=("over_time",)),
    Step("stone", lambda i, b, p: place_stone(i.feature, b["shape"]), _FORM, ("shape",)),
    Step(
        "earth",
        lambda i, b, p: move_earth(i.feature, b["shape"], surface=_there(b["surface"]), ground=i.ground),
        (*_FORM, "site", "ground"),
        ("shape",),
        also=("surface",),
    ),
    Step(
        "takeoff",
        lambda i, b, p: take_off(i.feature, b["water"], liner=b["liner"], stone=b["stone"], earth=b["earth"]),
        (*_FORM, "runs", "site"),
        ("water", "liner", "stone", "earth"),
    ),
    Step(
        "build",
        lambda i, b, p: plan_build(
            i.feature, b["shape"], b["water"], liner=b["liner"], stone=b["stone"], sections=_surveyed(b)
        ),
        (*_FORM, "runs", "site"),
        ("shape", "water", "liner", "stone"),
        also=("earth",),
    ),
    Step(
        "price",
        lambda i, b, p: price_range(
            b["takeoff"], i.prices, crew_people=i.feature.site.crew_people, pumps=b["water"].circuit.pumps
        ),
        ("site", "prices"),
        ("takeoff", "water"),
    ),
    Step(
        "finished",
        lambda i, b, p: _finished(i, b["surface"]),
        ("levels", "liner_kind", "site", "ground"),
        ("surface",),
        tier="surface",
    ),
    Step("spilt", _spilt, (*_FORM, "site", "ground"), ("water", "containment", "surface", "finished"), tier="surface"),
)
