"""The piece that lines a pond or a buried reservoir."""

from __future__ import annotations

import itertools
import math

from rillwright.feature import Body, Feature, LinerSpec
from rillwright.liner.result import Sheet
from rillwright.liner.rolls import sheets_of
from rillwright.shape import Line, PondShape
from rillwright.sources import default
from rillwright.units import Term


def body_sheets(feature: Feature, body: Body, pond: PondShape) -> tuple[Sheet, ...]:
    """Liner and underlay of one body: its developed profiles up to the rim, and the spare on every side."""
    rise = rise_m(feature, body)
    plan = sorted((body.length_m, body.width_m), reverse=True)
    length, length_terms = _across(body, pond.profile_along, "length", plan[0], rise, feature.liner)
    width, width_terms = _across(body, pond.profile_across, "width", plan[1], rise, feature.liner)
    return sheets_of(
        feature,
        id=f"l-{body.id}",
        path=f"ponds/{body.id}",
        length_m=length,
        width_m=width,
        because=(*length_terms, *width_terms),
    )


def rise_m(feature: Feature, body: Body) -> float:
    """Height of the liner's edge above the waterline [m]: the highest rim before it settles, or a lap's upturn.

    Where no rim is known, the berm's spare above the water.
    """
    tops = [rim.ground.m + rim.berm_m for rim in body.rims] or [body.waterline.m + default("rim.berm_spare").number]
    tops += [lap.upturn.m for lap in feature.laps if lap.body == body.id]
    return max(0.0, *(top - body.waterline.m for top in tops))


def developed_m(profile: Line) -> float:
    """Length of a profile along its own surface [m]."""
    return sum(math.dist(a, b) for a, b in itertools.pairwise(profile))


def _across(
    body: Body, profile: Line, way: str, plan_m: float, rise_m: float, spec: LinerSpec
) -> tuple[float, tuple[Term, ...]]:
    """One way of the sheet [m], and its terms.

    What the surface is longer than its plan is taken from the profile through the middle; the plan is the whole
    length or width, so that an outline with an inlet is covered too. Never above L + 2 D and the spare.
    """
    extent = profile[-1][0] - profile[0][0] if profile else 0.0
    deep = body.waterline.m - min((level for _, level in profile), default=body.waterline.m)
    more = developed_m(profile) - extent
    plan = max(plan_m, extent)
    run = rise_m / body.side_up_per_across  # none where the sides are upright
    side = math.hypot(rise_m, run)
    most = (plan + 2.0 * run) + 2.0 * (deep + rise_m)
    surface = min(plan + more + 2.0 * side, most)
    terms = (
        Term(name=f"{way} at the waterline", value=plan, unit="m"),
        Term(name=f"{way}: sides and floor beyond the plan", value=surface - plan - 2.0 * side, unit="m"),
        Term(name=f"{way}: waterline to rim, both sides", value=2.0 * side, unit="m"),
        Term(name=f"{way}: spare, both sides", value=2.0 * spec.spare_m, unit="m"),
    )
    return surface + 2.0 * spec.spare_m, terms
