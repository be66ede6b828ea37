"""Rules on what lies over and under an edge of liner, on laps laid the wrong way round, on what goes through."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from rillwright.assessment import Assessment, BodyKind, Containment, NotRun, Severity
from rillwright.findings.grading import bound_of, computed
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.findings.words import WHOLE
from rillwright.sources import cover


def _contained(assessment: Assessment) -> Containment | None:
    return None if isinstance(assessment.containment, NotRun) else assessment.containment


def _reversed(assessment: Assessment) -> Iterator[Check]:
    for lap in assessment.feature.laps:
        if lap.sealed:
            continue
        severity = Severity.STOP if lap.on_top == "lower" else Severity.OK
        yield Check(element=f"laps/{lap.id}", severity=severity)


def _wicks(assessment: Assessment) -> Iterator[Check]:
    found = _contained(assessment)
    for wick in () if found is None else found.wicks:
        bound = replace(computed(assessment.feature, "edge.wicking", wick.rise_m), source=wick.source)
        facts: tuple[Fact, ...] = (("cover", wick.cover, ""),)
        if wick.rise_m <= 0.0:
            yield Check(element=wick.path, severity=Severity.OK, facts=facts, text=_LIFTS_NOTHING)
        else:
            yield Check(element=wick.path, value=wick.spare_m, bound=bound, facts=facts)


def _uncovered(assessment: Assessment) -> Iterator[Check]:
    """Nobody said what lies over any of the edges."""
    feature = assessment.feature
    edges = [rim.cover for body in feature.bodies if body.kind is BodyKind.POND for rim in body.rims]
    edges += [lap.cover for lap in feature.laps if not lap.sealed]
    if edges and not all(edges):
        facts: tuple[Fact, ...] = tuple((key, cover(key).rise_m, "m") for key in ("felt", "sand", "soil"))
        yield Check(element=WHOLE, severity=Severity.WATCH, facts=facts)


def _through(assessment: Assessment) -> Iterator[Check]:
    found = _contained(assessment)
    for each in () if found is None else found.throughs:
        against = each.against
        facts: tuple[Fact, ...] = (
            ("kind", each.kind if each.kind != "other" else "penetration", ""),
            ("case", against.case, ""),
            ("holding", against.holding, ""),
        )
        if each.flange:
            yield Check(
                element=each.path,
                value=each.above_m,
                bound=bound_of(assessment.feature, "penetration.above"),
                severity=Severity.OK,
                facts=facts,
                text=_FLANGED,
            )
        else:
            under = each.above_m.high < 0.0
            text = _UNDER if under else ""
            facts += (("under", max(-each.above_m.value, 0.0), "m"),)
            worst = Severity.WATCH if each.flange is None else Severity.STOP  # said to have none: it leaks
            yield Check(element=each.path, value=each.above_m, worst=worst, facts=facts, text=text)


def _settles(assessment: Assessment) -> Iterator[Check]:
    found = _contained(assessment)
    for berm in () if found is None else found.settles:
        facts: tuple[Fact, ...] = (
            ("fill", berm.fill, ""),
            ("share_low", round(100.0 * berm.share.low), ""),
            ("share_high", round(100.0 * berm.share.high), ""),
        )
        yield Check(element=berm.path, value=berm.spare_m, facts=facts, worst=Severity.WATCH)


_LIFTS_NOTHING = "Over the edge at {name} lies {cover}: nothing there lifts water."
_FLANGED = "The {kind} {name} goes through the liner and is said to be sealed to it by a flange; shoot and test it."
_UNDER = (
    "The {kind} {name} goes through the liner {under} below the highest water ({case}, topped up {holding}): it leaks "
    "unless a flange seals it."
)
REVERSED = Rule(
    code="lap.reversed",
    area="containment",
    title="At a lap the upper piece lies over the lower one",
    well="At {name} the upper piece lies over the lower one: water runs over the edge, not under it.",
    ill="At {name} the lower piece lies over the upper one: water that comes down the stream runs in between them.",
    remedy="Lay the upper piece over the lower one's upturn. Where the access allows the reverse order only, fold the "
    "upper piece back until the lower one is in; or have the lap sealed by its maker's method.",
    find=_reversed,
)
WICKS = Rule(
    code="edge.wicks",
    area="containment",
    title="Nothing lifts water over an edge of liner",
    well="Over the edge at {name} lies {cover}, in which water climbs no higher than {good}; the edge stands {range} "
    "above it.",
    ill="Over the edge at {name} lies {cover}, in which water may climb up to {good}, a ceiling and no prediction; "
    "the edge stands {range} above the highest water: where it touches the water it may draw it over.",
    remedy="Keep a bare strip of liner at {name}, or stone with gaps, between the water and what lies outside; cut "
    "felt back from the edge, and turn the liner's edge up behind the stone.",
    find=_wicks,
    limits=("edge.wicking",),
)
COVER = Rule(
    code="edge.cover",
    area="containment",
    title="What lies over the edges of the liner lifts no water",
    well="",
    ill="Not said of every edge: what lies over it. Felt may lift water up to {felt}, sand {sand}, soil or silt "
    "{soil}: ceilings, no predictions. What reaches from the water over the edge empties a pond slowly.",
    remedy="Keep the edge bare or under stone with gaps, with soil, turf, felt and gravel that silts up kept apart "
    "from the water; say what lies there as its cover.",
    find=_uncovered,
    weight=Weight.STANDING,
    source="heath-1982",
)
THROUGH = Rule(
    code="penetration.wet",
    area="containment",
    title="What goes through the liner does so above the highest water, or is sealed",
    well="The {kind} {name} goes through the liner {range} above the highest water ({case}, topped up {holding}).",
    ill="The {kind} {name} goes through the liner no more than {range} above the highest water ({case}, topped up "
    "{holding}): it may leak unless a flange seals it.",
    remedy="Lead it over the rim instead; or have it sealed by a clamped flange made for that liner, and fill and "
    "watch it before it is covered.",
    find=_through,
    limits=("penetration.above",),
)
SETTLES = Rule(
    code="berm.settles",
    area="containment",
    title="A berm stands high enough even where its fill settles most",
    well="The berm at {name} keeps {range} to spare, should its fill settle {share_low} to {share_high} % ({fill}).",
    ill="The berm at {name} may keep no more than {range} to spare, should its fill settle {share_low} to {share_high} "
    "% ({fill}); {good} is wanted.",
    remedy="Build the berm in damp thin layers, each compacted, or higher by what it may settle; shoot its top again "
    "before the edge is finished.",
    find=_settles,
    limits=("rim.freeboard",),
    source="nrcs-ah-590",
)
