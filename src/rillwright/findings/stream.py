"""Rules on the beds and banks of a stream."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, FallKind, NotRun
from rillwright.findings.falls import fall_height
from rillwright.findings.rule import Check, Rule
from rillwright.units import Band


def _hidden(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for reach in assessment.water.reaches:
        if reach.flow_m3s.value > 0.0:
            yield Check(element=reach.path, value=reach.hidden)


def _splash(assessment: Assessment) -> Iterator[Check]:
    for stream in assessment.feature.streams:
        heights = [
            (fall.id, height)
            for fall in stream.falls
            if fall.kind is not FallKind.SLIDE and (height := fall_height(assessment, fall)) and height.value > 0.0
        ]
        if heights:
            id, height = max(heights, key=lambda pair: pair[1].value)
            share = _share(stream.splash_m, height.value)
            facts = (("lined", stream.splash_m, "m"), ("fall", id, ""), ("height", height.value, "m"))
            yield Check(element=f"streams/{stream.id}", value=share, facts=facts)


def _share(lined_m: float, height_m: float) -> Band:
    return Band.exact(lined_m / height_m)


HIDDEN = Rule(
    code="stream.hidden",
    area="stream",
    title="The flow is seen, not hidden in the gravel",
    well="{range} of the flow runs hidden in the gravel of {name}; up to {good} is hardly missed.",
    ill="{range} of the flow runs hidden in the gravel of {name}; above {good} it is missed, above {bad} the bed looks "
    "starved.",
    remedy="Lay less or finer gravel, flatten the bed, or send more water.",
    find=_hidden,
    limits=("hidden.share",),
)
SPLASH = Rule(
    code="splash.narrow",
    area="stream",
    title="Splash comes back onto liner",
    well="{name} is lined {lined} beyond its banks, about one height of its highest fall, {fall}, or more.",
    ill="{name} is lined {lined} beyond its banks; its highest fall, {fall}, drops {height} and splashes that far.",
    remedy="Line {height} to each side of {fall}, under stone that slopes back to the stream.",
    find=_splash,
    limits=("splash.lined",),
)
