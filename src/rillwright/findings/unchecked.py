"""What this check did not look at, said so."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, Severity
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import WHOLE

_BRANCHES = {
    "shape": "the long section and the shape of the pond",
    "surface": "the liner's edge as it runs, and the ground round it",
    "water": "flow, pump, crests and water levels",
    "liner": "pieces of liner",
    "containment": "rims, banks and upturns against the highest water",
    "stone": "stone",
    "earth": "digging and footings",
    "takeoff": "quantities",
    "build": "access, lifts and stakes",
    "price": "the price range",
}
_BEYOND = (
    "walls and what bears the stone; roots, ice and animals that dig; how seams and seals are made; the order of work"
)


_OF_WATER = {"shape", "water", "containment"}


def _stopped(assessment: Assessment) -> dict[str, list[str]]:
    """Branches that were not run, by their reason: what one failure takes with it is told once."""
    found: dict[str, list[str]] = {}
    for branch in _BRANCHES:
        made = getattr(assessment, branch)
        if isinstance(made, NotRun):
            found.setdefault(made.reason.rstrip("."), []).append(branch)
    return found


def _check(why: str, branches: list[str]) -> Check:
    what = "; ".join(_BRANCHES[branch] for branch in branches)
    return Check(element=WHOLE, severity=Severity.WATCH, facts=(("what", what, ""), ("why", why, "")))


def _branches(assessment: Assessment) -> Iterator[Check]:
    for why, branches in _stopped(assessment).items():
        if not _OF_WATER & set(branches):
            yield _check(why, branches)


def _water(assessment: Assessment) -> Iterator[Check]:
    for why, branches in _stopped(assessment).items():
        if _OF_WATER & set(branches):
            yield _check(why, branches)


def _cases(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for case in assessment.water.cases_not_run:
        what, _, why = case.partition(": ")
        facts = (("what", what, ""), ("why", why.rstrip(".") or "no reason given", ""))
        yield Check(element=WHOLE, severity=Severity.WATCH, facts=facts)


def _beyond(_: Assessment) -> Iterator[Check]:
    yield Check(element=WHOLE, severity=Severity.WATCH, facts=(("what", _BEYOND, ""),))


BRANCH = Rule(
    code="unchecked.part",
    area="not checked",
    title="Not checked: a part of the feature",
    well="",
    ill="Not checked: {what} ({why}).",
    remedy="Mend what it says is missing and check again; until then nothing is known of this part.",
    find=_branches,
    weight=Weight.UNCHECKED,
)
WATER = Rule(
    code="unchecked.water",
    area="not checked",
    title="What the water does was worked out",
    well="",
    ill="What the water does is not known ({why}). Not checked: {what}.",
    remedy="Mend what it says and check again; set nothing out and order nothing before.",
    find=_water,
    weight=Weight.LEADS,
)
CASE = Rule(
    code="unchecked.case",
    area="not checked",
    title="Not checked: a case of the water",
    well="",
    ill="Not checked: {what} ({why}).",
    remedy="Judge this case by eye and experience, and leave room for it.",
    find=_cases,
    weight=Weight.UNCHECKED,
)
BEYOND = Rule(
    code="unchecked.matters",
    area="not checked",
    title="Not checked: matters that this check does not work out",
    well="",
    ill="Not checked: {what}.",
    remedy="Judge these by eye and experience.",
    find=_beyond,
    weight=Weight.UNCHECKED,
)
