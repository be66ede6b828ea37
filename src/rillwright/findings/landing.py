"""Rules on where a fall lands: the pool that it wants, and the splash beside it."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, Impact, NotRun, Severity
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import where_on
from rillwright.units import Band, parse


def _splash(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for splash in assessment.water.splashes:
        reach = splash.reach_m
        if reach.low <= 0.0:
            continue
        lands = (
            f"{splash.lands_on}" if splash.lands_on != "water" else "water" if splash.pool_m.value > 0.0 else "stone"
        )
        facts = (
            ("lined", splash.lined_m, "m"),
            ("splash_low", _rounded(reach.low, assessment), "m"),
            ("splash_high", _rounded(reach.high, assessment), "m"),
            ("to", _rounded(reach.high, assessment), "m"),
            ("on", _ON[lands], ""),
        )
        share = Band(*(splash.lined_m / each for each in (reach.value, reach.high, reach.low)))
        yield Check(element=splash.path, value=share, facts=facts)


def _rounded(reach_m: float, assessment: Assessment) -> float:
    """To a centimetre or half an inch [m]: no splash is known to more."""
    step = parse("1/2 in" if assessment.feature.system == "us" else "1 cm", "length").si
    return max(round(reach_m / step), 1) * step


_ON = {
    "water": "lands in water",
    "stone": "lands on stone",
    "cover": "lands on the stone that covers its reservoir",
    "stack": "comes down its courses",
}


def _pools(assessment: Assessment) -> Iterator[Check]:
    """The water below a free sheet against the pool that it wants; a cover of stone is meant to be none."""
    if isinstance(assessment.water, NotRun):
        return
    covered = {splash.fall for splash in assessment.water.splashes if splash.lands_on == "cover"}
    for impact in assessment.water.impacts:
        if impact.wanted_depth_m is None or impact.fall in covered:
            continue
        deep, long = _shares(impact)
        facts = (
            ("deep", impact.wanted_depth_m.high, "m"),
            ("long", impact.wanted_length_m.high if impact.wanted_length_m is not None else 0.0, "m"),
            ("water", impact.pool_m.value, "m"),
            ("length", impact.length_m or 0.0, "m"),
            ("at", where_on(impact.at), ""),
        )
        worse = deep if deep.value <= long.value else long
        yield Check(element=impact.path, value=worse, worst=Severity.WATCH, facts=facts)


def _shares(impact: Impact) -> tuple[Band, Band]:
    """What there is over what is wanted: depth, length [-]."""
    there = Band.exact(impact.length_m or 0.0)
    return _over(impact.pool_m, impact.wanted_depth_m), _over(there, impact.wanted_length_m)


def _over(there: Band, wanted: Band | None) -> Band:
    if wanted is None or wanted.low <= 0.0:
        return Band.exact(1.0)
    return Band(there.value / wanted.value, there.low / wanted.high, there.high / wanted.low)


SPLASH = Rule(
    code="splash.narrow",
    area="stream",
    title="Splash comes back onto liner",
    well="{name} {on} and splashes {splash_range} beside itself; it is lined for {lined} there.",
    ill="{name} {on} and splashes {splash_range} beside itself; it is lined for {lined} there, and what "
    "goes beyond is lost.",
    remedy="Line {to} beside {name}, under stone that slopes back to the water; narrow its crest, or lead it farther "
    "from the edge.",
    find=_splash,
    limits=("splash.lined",),
)
POOL = Rule(
    code="fall.pool",
    area="stream",
    title="The pool below a fall is deep and long enough for it",
    well="The sheet of {name}{at} wants a pool {deep} deep and {long} long; {water} of water stands there, over "
    "{length}.",
    ill="The sheet of {name}{at} wants a pool {deep} deep and {long} long, or it shoots on and digs; {water} of water "
    "stands there, over {length}.",
    remedy="Set the next crest higher so that it holds {deep} of water there, dig a plunge pool under the fall, or let "
    "the water land on a stone that is set for it.",
    find=_pools,
    limits=("pool.below",),
    source="rand-1955",
    weight=Weight.STANDING,
)
