"""Rules on fill along the edges of the liner: a bank beside a stream is no less an embankment than a berm at a pond."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, RimFill
from rillwright.findings.grading import bound_of, meets
from rillwright.findings.rule import Check, Fact, Rule
from rillwright.units import Band

_NEAR_M = 0.25  # of the stream head
_HAIR_M = 0.001  # what is less than a millimetre higher is not higher


def _found(assessment: Assessment) -> tuple[RimFill, ...]:
    return () if isinstance(assessment.containment, NotRun) else assessment.containment.fills


def _rims_of(assessment: Assessment, water: str) -> float:
    """The highest berm [m] that the file gives at a body's rims, which is judged by itself; 0 of a reach."""
    bodies = [body for body in assessment.feature.bodies if f"ponds/{body.id}" == water]
    return max((rim.berm_m for body in bodies for rim in body.rims), default=0.0)


def _fills(assessment: Assessment) -> Iterator[Check]:
    for fill in _found(assessment):
        if fill.high_m > _rims_of(assessment, fill.water) + _HAIR_M:
            yield Check(
                element=fill.water,
                value=Band.exact(fill.high_m),
                facts=_station(fill.station_m),
                text=_ROUND if fill.station_m is None else _AT_HEAD if fill.station_m < _NEAR_M else "",
            )


def embankments(assessment: Assessment) -> Iterator[Check]:
    """Water against the fill of banks, and of a rim between the rims that were given."""
    for fill in _found(assessment):
        if fill.held_m.value > 0.0:
            where = _station(fill.held_station_m)
            text = _BANKS_HOLD if where else ""
            yield held(assessment, fill.water, fill.held_m, facts=where, text=text, remedy=_SPREAD)


def held(
    assessment: Assessment, path: str, deep_m: Band, *, facts: tuple[Fact, ...] = (), text: str = "", remedy: str = ""
) -> Check:
    """Water `deep_m` [m] against fill: an embankment from its figure on, as printed, and not only beyond it."""
    bound = bound_of(assessment.feature, "berm.embankment")
    severity = bound.severity if meets(deep_m, bound) else None
    return Check(element=path, value=deep_m, severity=severity, facts=facts, text=text, remedy=remedy)


def _station(station_m: float | None) -> tuple[Fact, ...]:
    return () if station_m is None else (("station", station_m, "m"),)


_ROUND = (
    "Round {name} the fill under the liner's edge stands up to {value} over the ground outside it, before it settles."
)
_AT_HEAD = (
    "At the stream head the fill of the banks of {name} stands up to {value} over the ground outside it, before it "
    "settles; {good} is easily built, {bad} is much."
)
_BANKS_HOLD = (
    "Against the fill of the banks of {name} the water stands {range} over the ground outside, {station} from the "
    "stream head; no more than {good} is wanted, from {bad} it is an embankment."
)
_SPREAD = (
    "Have an engineer design and inspect it, under the rules that hold there; or lead the water where the ground is "
    "higher, or lower it."
)
FILL = Rule(
    code="rim.fill",
    area="falls",
    title="Fill under the liner's edge is no higher than can be built",
    well="The fill of the banks of {name} stands up to {value} over the ground outside it, {station} from the stream "
    "head, before it settles: within {good}.",
    ill="The fill of the banks of {name} stands up to {value} over the ground outside it, {station} from the stream "
    "head, before it settles; {good} is easily built, {bad} is much.",
    remedy="Lead it where the ground is higher, lower it, or spread the fill: a wider crest, flatter sides, in thin "
    "rolled layers, and stone only once it has settled.",
    find=_fills,
    limits=("falls.berm_height",),
)
