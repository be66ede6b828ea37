"""Rules on single readings: which level does not go with its neighbours, and what was read once only."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from rillwright.assessment import READ_ONCE, Assessment, NotRun, Origin, Severity, Stray, SurveyedPoint, strays
from rillwright.findings.grading import bound_of, computed
from rillwright.findings.rule import Bound, Check, Rule, Weight
from rillwright.findings.words import book_path
from rillwright.units import Band

_MOST_NAMED = 8


def read_once(assessment: Assessment) -> dict[str, SurveyedPoint]:
    """Points of the books that were read once, by id."""
    if isinstance(assessment.survey, NotRun):
        return {}
    return {point.id: point for point in assessment.survey.points if point.state == READ_ONCE}


def stray_rims(assessment: Assessment) -> dict[str, Stray]:
    """Of the rims round one body those whose ground was read once and does not go with the others, by id of the rim."""
    once = read_once(assessment)
    found: dict[str, Stray] = {}
    for body in assessment.feature.bodies:
        shot = [rim for rim in body.rims if rim.ground.origin is Origin.MEASURED]
        odd = {stray.id: stray for stray in strays({rim.id: rim.ground.m for rim in shot})}
        found |= {rim.id: odd[rim.id] for rim in shot if rim.id in odd and rim.ground.source in once}
    return found


def _strays(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.survey, NotRun):
        return
    told = set()
    sources = {rim.id: rim.ground.source for body in assessment.feature.bodies for rim in body.rims}
    for id, stray in stray_rims(assessment).items():
        told.add(sources[id])
        facts = (("others", "the other rims of its pond", ""), ("point", sources[id], ""), _side(stray.off_m))
        yield _check(assessment, f"rims/{id}", stray.off_m, stray.allowed_m, facts)
    for doubt in assessment.survey.doubts:
        if doubt.code == "stray" and doubt.point not in told:
            facts = (("others", "its neighbours", ""), ("point", doubt.point, ""), _side(doubt.size_m))
            usual = bound_of(assessment.feature, "survey.neighbours").good
            yield _check(assessment, f"points/{doubt.point}", doubt.size_m, usual, facts)


def _side(off_m: float) -> tuple[str, str, str]:
    return ("side", "above" if off_m > 0 else "below", "")


def _check(
    assessment: Assessment, element: str, off_m: float, allowed_m: float, facts: tuple[tuple[str, str, str], ...]
) -> Check:
    return Check(element=element, value=Band.exact(abs(off_m)), bound=_bound(assessment, allowed_m), facts=facts)


def _bound(assessment: Assessment, allowed_m: float) -> Bound:
    """What the spread of the neighbours lets pass; its bad end as far beyond it as that of the limit."""
    usual = bound_of(assessment.feature, "survey.neighbours")
    bound = computed(assessment.feature, "survey.neighbours", max(allowed_m, usual.good))
    return bound if bound.origin == "override" else replace(bound, bad=bound.good * usual.bad / usual.good)


def _once(assessment: Assessment) -> Iterator[Check]:
    """One for a book: which levels nothing bears out, and whether its benchmark was shot again."""
    if isinstance(assessment.survey, NotRun):
        return
    once = read_once(assessment)
    for look in assessment.survey.looks:
        of_book = [id for id, point in once.items() if point.level.source.startswith(f"{look.book}, line ")]
        said = []
        if not (look.again or look.closed or look.due):
            said.append("that the instrument stood still: no second shot of a benchmark")
        if of_book:
            said.append(f"the rod at {_listed(of_book)}: read once, no second shot")
        if said:
            facts = (("what", "; ".join(said), ""),)
            yield Check(element=book_path(look.book), severity=Severity.WATCH, facts=facts)


def _listed(ids: list[str]) -> str:
    named, more = ids[:_MOST_NAMED], len(ids) - _MOST_NAMED
    return ", ".join(named) + (f" and {more} more" if more > 0 else "")


STRAY = Rule(
    code="survey.stray",
    area="levels",
    title="A level that was read once goes with its neighbours",
    well="",
    ill="The level at {name}, point {point}, was read once and stands {value} {side} {others}.",
    remedy="Read {point} again before anything is dug, built up or ordered by it; if it holds, the second reading "
    "confirms it.",
    find=_strays,
    limits=("survey.neighbours",),
)
ONCE = Rule(
    code="survey.once",
    area="levels",
    title="Not checked: levels that were read once",
    well="",
    ill="Not checked in {name}: {what}.",
    remedy="Read the benchmark and what you build from once more before you set out; a second reading that agrees "
    "confirms a level.",
    find=_once,
    weight=Weight.UNCHECKED,
)
