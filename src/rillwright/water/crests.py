"""Water on every crest, how far it falls, where it lands or what it runs down."""

from __future__ import annotations

from collections.abc import Mapping

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.hydraulics import STRONG_TENSION, Coefficient, Lip, SharedCrest, tilt_flow_ratio, weber_number
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.joints import foot_level_m
from rillwright.water.result import CrestWater, ReachWater, StoneShare
from rillwright.water.sheets import hardest, over_all, sheets, strips
from rillwright.water.spill import Joint, joints, lip_of, on_crest, over_bed_m

_DRY_M = 1e-4  # a high end that runs dry counts as wetted by a film, so that the ratio stays a number


def coefficient_band() -> Band:
    """C of a stone crest [m^0.5/s]."""
    return default("crest.c").band


def crest_water(
    fall: Fall,
    flow: Band,
    below: Band,
    *,
    arriving: Band,
    on_gravel: bool,
    over_bed_m: float,
    cover_m: float | None = None,
) -> CrestWater:
    """Water on one crest, above water that runs at a level [m] below it; it falls as far as that, or as the top of what
    covers it [m]. The crest stands `over_bed_m` [m] over the bed above.

    Of `arriving` [m3/s], the gravel of the bed above brings `flow` up to the crest; where the stone lies on gravel that
    is all that goes over. Where it does not, and nothing seals it, water goes under it by its joint as well.
    """
    lip, (joint, tight, wide) = lip_of(fall, over_bed_m), joints()

    def at(flow_m3s: float, coefficient: Coefficient, joint: Joint, below_m: float) -> SharedCrest:
        leak = None if on_gravel else joint
        return on_crest(fall, flow_m3s, coefficient=coefficient, below_m=below_m, joint=leak)

    usual = at(flow.value, lip.value, joint, below.value)
    ends = at(flow.low, lip.high, wide, below.low), at(flow.high, lip.low, tight, below.high)
    depth = band_of(_depth_m(fall, usual), *(_depth_m(fall, end) for end in ends))
    over = band_of(usual.over_m3s, *(end.over_m3s for end in ends))
    if cover_m is not None:
        below = Band(*(max(level, cover_m) for level in (below.value, below.low, below.high)))
    height = Band.exact(fall.crest.m) - below
    wet = strips(fall, (usual, *ends), (lip.value, lip.high, lip.low))
    found = sheets(fall, wet, height)
    worst = hardest(found)
    notes = _outside(fall, lip, usual) if flow.value > 0.0 else ()
    weber = weber_number(depth.value)
    return CrestWater(
        fall=fall.id,
        path=f"falls/{fall.id}",
        kind=fall.kind.value,
        lip=fall.lip.value,
        method=lip.method,
        coefficient=lip.band(depth.value) if depth.value > 0.0 else None,
        flow_m3s=over,
        width_m=fall.crest_width_m,
        depth_m=depth,
        fall_height_m=height,
        in_range=not notes,
        range_note="; ".join(notes),
        tilt_ratio=_tilt_ratio(fall, depth.value),
        weber=weber,
        stones=_shares(fall, usual, ends),
        dry_share=0.0 if fall.stones or usual.over_m3s <= 0.0 else usual.stones[0].dry_share,
        drowned=usual.over_m3s / free if (free := _free_m3s(usual)) > 0.0 else 1.0,
        under=None if fall.sealed else _under(arriving, usual, ends),
        at=worst.at if worst is not None else "",
        sheets=found,
        impact_ms=worst.impact_ms if worst is not None else None,
        notes=tuple(dict.fromkeys([*notes, *_thin(weber), *(said for sheet in found for said in sheet.notes)])),
        **{name: over_all(found, name) for name in (_OVER_ALL if cover_m is None else _ON_COBBLES)},
    )


_OVER_ALL = (
    "throw_m",
    "throw_low_m",
    "pool_depth_m",
    "pool_length_m",
    "cling_radius_m",
    "tread_m",
    "foot_depth_m",
    "foot_speed_ms",
)


_ON_COBBLES = tuple(name for name in _OVER_ALL if not name.startswith("pool_"))  # no pool is made there


def _outside(fall: Fall, lip: Lip, water: SharedCrest) -> tuple[str, ...]:
    """What of the water on a crest lies outside what its formula was measured for: by the deepest, where most runs."""
    deepest = max((stone.low_end_m for stone in water.stones), default=0.0)
    said = [lip.outside(deepest)] if deepest > 0.0 else []
    if deepest > fall.crest_width_m / 3.0:
        said.append(_NARROW)
    return tuple(note for each in said if each for note in each.split("; "))


def _thin(weber: float) -> tuple[str, ...]:
    return (_TENSION,) if 0.0 < weber < STRONG_TENSION else ()


_NARROW = "the water on the crest is deeper than a third of its width"
_TENSION = "surface tension counts in the sheet, which no formula here has in it"


def water_depth(feature: Feature, stream: Stream, fall: Fall, flow: Band) -> Band:
    """Water on one crest [m] at what the bed above brings up to it [m3/s], nothing standing against it from below."""
    lip, (joint, tight, wide) = lip_of(fall, over_bed_m(feature, fall)), joints()
    on_gravel = _gravel_m(stream, fall) > 0.0
    found = [
        on_crest(fall, flow_m3s, coefficient=coefficient, joint=None if on_gravel else leak)
        for flow_m3s, coefficient, leak in (
            (flow.value, lip.value, joint), (flow.low, lip.high, wide), (flow.high, lip.low, tight),
        )
    ]  # fmt: skip
    return band_of(*(_depth_m(fall, each) for each in found))


def _depth_m(fall: Fall, water: SharedCrest) -> float:
    """Water over the crest's level [m]: over the lowest of several stones, or the middle of one."""
    return max(water.level_m - fall.crest.m, 0.0) if water.over_m3s > 0.0 else 0.0


def _free_m3s(water: SharedCrest) -> float:
    """What would run over at that level with nothing standing below [m3/s]."""
    return sum(one.flow_m3s / one.drowned for one in water.stones if one.drowned > 0.0)


def _tilt_ratio(fall: Fall, depth_m: float) -> float | None:
    if fall.tilt_m is None or fall.stones or depth_m <= 0.0:
        return None
    ratio = tilt_flow_ratio(depth_m, abs(fall.tilt_m))
    return ((depth_m + 0.5 * abs(fall.tilt_m)) / _DRY_M) ** 1.5 if ratio is None else ratio


def _shares(fall: Fall, usual: SharedCrest, ends: tuple[SharedCrest, SharedCrest]) -> tuple[StoneShare, ...]:
    """What each of several stones carries; the little that may run leaves the high ones driest."""

    def share(water: SharedCrest, i: int) -> float:
        return water.stones[i].flow_m3s / water.over_m3s if water.over_m3s > 0.0 else 0.0

    return tuple(
        StoneShare(
            width_m=stone.width_m,
            above_m=stone.above_m,
            depth_m=band_of(usual.stones[i].low_end_m, *(end.stones[i].low_end_m for end in ends)),
            share=band_of(share(usual, i), *(share(end, i) for end in ends)),
        )
        for i, stone in enumerate(fall.stones)
    )


def _under(arriving: Band, usual: SharedCrest, ends: tuple[SharedCrest, SharedCrest]) -> Band:
    """Share of what arrives that does not go over [-]."""
    flows = (arriving.value, arriving.low, arriving.high)
    shares = [
        max(1.0 - water.over_m3s / each, 0.0) if each > 0.0 else 0.0
        for water, each in zip((usual, *ends), flows, strict=True)
    ]
    return band_of(shares[0], *shares[1:])


def crest_waters(
    feature: Feature,
    flows: Mapping[str, Band],
    reaches: Mapping[str, ReachWater],
    running: Mapping[str, Band],
    *,
    arriving: Mapping[str, Band],
) -> tuple[CrestWater, ...]:
    """Water on every crest: from what the bed above brings up to it and what its link carries in all [m3/s], and the
    running levels [m] of reaches and bodies."""
    return tuple(
        crest_water(
            fall,
            flows[fall.id],
            foot_level_m(feature, stream, fall, reaches=reaches, running=running),
            arriving=arriving[fall.id],
            on_gravel=_gravel_m(stream, fall) > 0.0,
            over_bed_m=over_bed_m(feature, fall),
            cover_m=feature.body(stream.into).cover_m if feature.below(stream, fall) is None else None,
        )
        for stream in feature.streams
        for fall in stream.falls
    )


def _gravel_m(stream: Stream, fall: Fall) -> float:
    """In the bed above a fall [m]."""
    above = stream.links[: stream.links.index(fall)]
    return next((link.gravel_m for link in reversed(above) if isinstance(link, Reach)), 0.0)
