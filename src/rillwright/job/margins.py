"""What a level found at a place comes to, before anything is judged anew: within tolerance, beyond it, or too low."""

from __future__ import annotations

from msgspec import Struct

from rillwright.assessment import Freeboard, Judged, NotRun, Severity
from rillwright.feature import Feature, Surface
from rillwright.findings import bound_of
from rillwright.survey import whole_nm
from rillwright.units import show, style_for

_FREEBOARD = {"rim": "rim.freeboard", "upturn": "upturn.freeboard"}
_TOO_LOW = {Surface.DIG: "too deep: fill it up, trodden firm", Surface.STONE_TOP: "too low: raise the stone"}
_TOO_HIGH = {Surface.DIG: "not deep enough: cut", Surface.STONE_TOP: "too high: lower the stone"}


class KitMargin(Struct, frozen=True, kw_only=True):
    """What levels up to `up_to_nm` come to; the last one has no end."""

    up_to_nm: int | None
    severity: str
    words: str


def margins_at(judged: Judged, path: str, *, surface: Surface, low_nm: int, high_nm: int) -> tuple[KitMargin, ...]:
    """What each level at a path comes to, from the lowest up: by what stands over water there, else by tolerance.

    Parameters
    ----------
    judged
        The job as it stands.
    path
        Where it is shot.
    surface
        Which surface.
    low_nm
        Least level within tolerance [nm].
    high_nm
        Greatest level within tolerance [nm].
    """
    top = _top(judged, path) if surface in (Surface.LINER, Surface.GROUND) else None
    if top is not None:
        return _over_water(judged.assessment.feature, top)
    return (
        KitMargin(up_to_nm=low_nm - 1, severity=Severity.WATCH.value, words=_TOO_LOW.get(surface, "too low")),
        KitMargin(up_to_nm=high_nm, severity=Severity.OK.value, words="within tolerance"),
        KitMargin(up_to_nm=None, severity=Severity.WATCH.value, words=_TOO_HIGH.get(surface, "too high")),
    )


def _top(judged: Judged, path: str) -> Freeboard | None:
    """The rim or upturn that is shot at this path, with the water that it holds."""
    contained = judged.assessment.containment
    if isinstance(contained, NotRun):
        return None
    element = path.partition(".")[0]
    return next((top for top in contained.tops if top.path == element and top.kind in _FREEBOARD), None)


def _over_water(feature: Feature, top: Freeboard) -> tuple[KitMargin, ...]:
    """By the height above the highest water that it holds back, once its fill has settled."""
    bound = bound_of(feature, _FREEBOARD[top.kind])
    good, bad = bound.good, bound.bad
    rims = [rim for body in feature.bodies for rim in body.rims if f"rims/{rim.id}" == top.path]
    settles = sum(rim.berm_m * rim.settlement for rim in rims)
    water = top.against.level_m.value + settles
    style = style_for(feature.system)
    wanted, least = (show(each, "length", style) for each in (good, bad))
    return (
        KitMargin(
            up_to_nm=whole_nm(water + bad) - 1,
            severity=Severity.STOP.value,
            words=f"less than {least} above the highest water: too low, water can leave here",
        ),
        KitMargin(
            up_to_nm=whole_nm(water + good) - 1,
            severity=Severity.WATCH.value,
            words=f"less than the {wanted} above the highest water that are wanted",
        ),
        KitMargin(up_to_nm=None, severity=Severity.OK.value, words=f"{wanted} or more above the highest water"),
    )
