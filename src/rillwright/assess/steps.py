"""The steps of an assessment, each with what it reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from rillwright.assess.inputs import Inputs
from rillwright.build import plan_build
from rillwright.containment import contain
from rillwright.earth import move_earth
from rillwright.liner import size_liner
from rillwright.price import price_range
from rillwright.shape import shape
from rillwright.stone import place_stone
from rillwright.takeoff import take_off
from rillwright.water import water

Branches = Mapping[str, Any]


class Step(Struct, frozen=True):
    """One branch: its name, how it is made, the parts of the inputs and the branches that it reads, and its tier."""

    name: str
    make: Callable[[Inputs, Branches], object]
    parts: tuple[str, ...]
    branches: tuple[str, ...]
    tier: str = "quick"


_FORM = ("levels", "liner_kind", "overrides")

STEPS = (
    Step("shape", lambda i, b: shape(i.feature), _FORM, ()),
    Step("water", lambda i, b: water(i.feature, b["shape"]), (*_FORM, "runs"), ("shape",)),
    Step("liner", lambda i, b: size_liner(i.feature, b["shape"]), _FORM, ("shape",)),
    Step("containment", lambda i, b: contain(i.feature, b["water"]), _FORM, ("water",)),
    Step("stone", lambda i, b: place_stone(i.feature, b["shape"]), _FORM, ("shape",)),
    Step("earth", lambda i, b: move_earth(i.feature, b["shape"]), (*_FORM, "site"), ("shape",)),
    Step(
        "takeoff",
        lambda i, b: take_off(i.feature, b["water"], liner=b["liner"], stone=b["stone"], earth=b["earth"]),
        (*_FORM, "runs", "site"),
        ("water", "liner", "stone", "earth"),
    ),
    Step(
        "build",
        lambda i, b: plan_build(i.feature, b["shape"], b["water"], liner=b["liner"], stone=b["stone"]),
        (*_FORM, "runs", "site"),
        ("shape", "water", "liner", "stone"),
    ),
    Step(
        "price",
        lambda i, b: price_range(b["takeoff"], i.prices, crew_people=i.feature.site.crew_people),
        ("site", "prices"),
        ("takeoff",),
    ),
)
