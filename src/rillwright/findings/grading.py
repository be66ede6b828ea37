"""A value with its band against a bound."""

from __future__ import annotations

from rillwright.assessment import Feature, Severity
from rillwright.findings.rule import Bound
from rillwright.sources import limit_as_met
from rillwright.units import Band

_HAIR = 1e-9  # of the larger number: what a sum of typed inches loses on its way through floats


def bound_of(feature: Feature, name: str) -> Bound:
    """The limit of that name as it applies to a feature: its default, or the one figure that the feature gives instead.

    Where people measure in metres, a length in inches on nobody's word but the trade's is taken at 25 mm to the inch,
    as crews do: 24 in is 600 mm. Raises KeyError for an unknown name.
    """
    usual = limit_as_met(name, feature.system)
    said = feature.override_of(name)
    return Bound(
        name=name,
        sense=usual.sense,
        good=usual.good if said is None else said.value,
        bad=usual.bad if said is None else said.value,
        severity=Severity(usual.severity),
        unit=usual.unit,
        source=usual.source,
        origin="default" if said is None else "override",
        reason="" if said is None else said.reason,
        people=usual.people,
    )


def computed(feature: Feature, name: str, good: float) -> Bound:
    """The limit of that name with one figure [its unit] worked out for this place; the feature's own goes before it."""
    usual = bound_of(feature, name)
    if usual.origin == "override":
        return usual
    return Bound(
        name=name,
        sense=usual.sense,
        good=good,
        bad=good,
        severity=usual.severity,
        unit=usual.unit,
        source=usual.source,
        origin="computed",
        people=usual.people,
    )


def margin_of(value: float, limit_value: float, *, sense: str) -> float:
    """How far a value is on the good side of a limit, both in one unit [any]; negative on the bad side."""
    return value - limit_value if sense == "at_least" else limit_value - value


def reaches(value: float, bound: Bound) -> bool:
    """Whether a value [the bound's unit] is at good or beyond: for limits that ask for more from their figure on."""
    return margin_of(value, bound.good, sense=bound.sense) <= _HAIR * max(1.0, abs(bound.good))


def meets(value: Band, bound: Bound) -> bool:
    """Whether all of a band [the bound's unit] is at bad or beyond: for limits whose own figure is too much already."""
    best = value.high if bound.sense == "at_least" else value.low
    return margin_of(best, bound.bad, sense=bound.sense) <= _HAIR * max(1.0, abs(bound.bad))


def likely_beyond(value: Band, bound: Bound) -> bool:
    """Whether the likeliest figure is beyond bad, while the band says that it may not be."""
    best = value.high if bound.sense == "at_least" else value.low
    hair = -_HAIR * max(1.0, abs(bound.bad))
    likeliest = margin_of(value.value, bound.bad, sense=bound.sense)
    return likeliest < hair <= margin_of(best, bound.bad, sense=bound.sense)


def grade(value: Band, bound: Bound) -> Severity:
    """Ok if the whole band is on the good side of good, the bound's severity if all of it is beyond bad, else watch."""
    ends = (value.low, value.high) if bound.sense == "at_least" else (value.high, value.low)
    worst_end = margin_of(ends[0], bound.good, sense=bound.sense)
    best_end = margin_of(ends[1], bound.bad, sense=bound.sense)
    if worst_end >= -_HAIR * max(1.0, abs(bound.good)):
        return Severity.OK
    if best_end < -_HAIR * max(1.0, abs(bound.bad)):
        return bound.severity
    return Severity.WATCH
