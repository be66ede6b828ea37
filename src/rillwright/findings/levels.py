"""Rules on level books and on the levels that come of them."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from rillwright.assessment import READ_ONCE, Assessment, Doubt, Level, Loop, NotRun, Origin, Severity, Survey
from rillwright.findings.grading import computed
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import WHOLE, book_path
from rillwright.sources import limit
from rillwright.units import Band


def _page(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.survey, NotRun):
        return
    for page in assessment.survey.page_checks:
        if not page.sights:
            continue  # nothing was carried on: 0 less 0 checks nothing
        facts = (("backsights", page.backsights, ""), ("foresights", page.foresights, ""), ("rise", page.rise, ""))
        severity = Severity.OK if page.agrees else Severity.WATCH
        yield Check(element=book_path(page.book), severity=severity, facts=facts)


def _loops(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.survey, NotRun):
        return
    for loop in assessment.survey.loops:
        yield _loop(assessment, loop)


def _loop(assessment: Assessment, loop: Loop) -> Check:
    usual = limit("survey.loop")
    bound = computed(assessment.feature, "survey.loop", loop.tolerance_m)
    bound = replace(bound, bad=bound.good * usual.bad / usual.good)
    far = abs(loop.misclosure_m) > bound.bad
    return Check(
        element=book_path(loop.book),
        value=Band.exact(abs(loop.misclosure_m)),
        bound=bound,
        text=_FAR if far else "",
        facts=(("loop", loop.name, ""), ("rule", loop.tolerance_name, ""), ("adjusted", _adjusted(assessment), "")),
    )


def _adjusted(assessment: Assessment) -> str:
    """How the levels were put right, in words."""
    if isinstance(assessment.survey, NotRun) or assessment.survey.adjusted == "none":
        return "nothing was put right"
    return f"it was put right {assessment.survey.adjusted}"


def _doubts(survey: Survey | NotRun, *codes: str) -> tuple[Doubt, ...]:
    return () if isinstance(survey, NotRun) else tuple(doubt for doubt in survey.doubts if doubt.code in codes)


def _benchmark(assessment: Assessment) -> Iterator[Check]:
    survey = assessment.survey
    if isinstance(survey, NotRun):
        return
    moved = _doubts(survey, "benchmark_moved")
    for doubt in moved:
        facts = (("point", doubt.point, ""), ("what", doubt.text, ""))
        yield Check(element=book_path(doubt.book), value=Band.exact(abs(doubt.size_m)), facts=facts)
    for look in survey.looks:
        if look.again and look.book not in {doubt.book for doubt in moved}:
            yield Check(element=book_path(look.book), severity=Severity.OK)


def _looks(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.survey, NotRun):
        return
    for look in assessment.survey.looks:
        facts = (("shots", _counted(look.shots, "shot"), ""), ("setups", _counted(look.setups, "set-up"), ""))
        if look.due:
            yield Check(element=book_path(look.book), severity=Severity.WATCH, facts=facts)
        elif look.again or look.closed:
            yield Check(element=book_path(look.book), severity=Severity.OK, facts=facts)


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _slips(assessment: Assessment) -> Iterator[Check]:
    for doubt in _doubts(assessment.survey, "mistyped_foot"):
        facts = (("point", doubt.point, ""), ("what", doubt.text, ""), ("size", abs(doubt.size_m), "m"))
        yield Check(element=book_path(doubt.book), severity=Severity.WATCH, facts=facts)


def _other_doubts(assessment: Assessment) -> Iterator[Check]:
    for doubt in _doubts(assessment.survey, "shot_outlier", "rod_changed", "collimation"):
        facts = (("point", doubt.point, ""), ("what", doubt.text, ""))
        yield Check(element=book_path(doubt.book), severity=Severity.WATCH, facts=facts)


def _unconfirmed(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.survey, NotRun):
        return
    used = {level.source for level in _levels(assessment)} | {mark.id for mark in assessment.feature.marks}
    for point in assessment.survey.points:
        if point.state in ("held", READ_ONCE):
            continue  # nothing bears them out: no check was made
        if point.id in used or any(point.id in source.split() for source in used):
            severity = Severity.OK if point.state == "confirmed" else Severity.WATCH
            facts = (("state", point.state, ""), ("why", point.why or "no reason given", ""))
            yield Check(element=f"marks/{point.id}", severity=severity, facts=facts)


def _levels(assessment: Assessment) -> Iterator[Level]:
    for body in assessment.feature.bodies:
        yield body.waterline
        yield from (rim.ground for rim in body.rims)
    for stream in assessment.feature.streams:
        yield stream.head
        if stream.head_ground is not None:
            yield stream.head_ground


def _paving(assessment: Assessment) -> Iterator[Check]:
    paving = [mark for mark in assessment.feature.marks if mark.role == "paving"]
    if not paving:
        return
    lowest = min(paving, key=lambda mark: mark.level.m)
    for body in assessment.feature.bodies:
        below = lowest.level.m - body.waterline.m
        yield Check(element=f"ponds/{body.id}", value=Band.exact(below), facts=(("mark", lowest.id, ""),))


def _terrace(assessment: Assessment) -> Iterator[Check]:
    """Between its highest and its lowest shot, where it was shot at several places."""
    paving = [mark for mark in assessment.feature.marks if mark.role == "paving"]
    if len(paving) < 2:
        return
    high, low = (pick(paving, key=lambda mark: mark.level.m) for pick in (max, min))
    fall_m = high.level.m - low.level.m
    facts = (("low", low.id, ""), ("high", high.id, ""))
    yield Check(element=f"marks/{low.id}", value=Band.exact(fall_m), facts=facts)


def _guessed(assessment: Assessment) -> Iterator[Check]:
    for stream in assessment.feature.streams:
        if stream.head_ground is None or stream.head_ground.origin is Origin.DEFAULT:
            yield Check(
                element=f"streams/{stream.id}", severity=Severity.WATCH, facts=(("what", "the ground at its head", ""),)
            )
    for body in assessment.feature.bodies:
        guessed = [rim.id for rim in body.rims if rim.ground.origin is Origin.DEFAULT]
        if guessed or not body.rims:
            what = "the ground at " + ", ".join(f"rim {id}" for id in guessed) if guessed else "any ground round it"
            yield Check(element=f"ponds/{body.id}", severity=Severity.WATCH, facts=(("what", what, ""),))


def _no_book(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.survey, NotRun):
        yield Check(element=WHOLE, severity=Severity.WATCH, facts=(("why", assessment.survey.reason, ""),))


_FAR = (
    "Loop {loop} in {name} misses by {value}; {good} is allowed by the rule '{rule}', and beyond {bad} its levels "
    "cannot be used."
)
PAGE = Rule(
    code="survey.page",
    area="levels",
    title="The page of a level book adds up",
    well="{name} adds up: backsights {backsights} less foresights {foresights} is the rise, {rise}.",
    ill="{name} does not add up: backsights {backsights} less foresights {foresights} is not the rise, {rise}.",
    remedy="Go through the book line by line; a reading stands in the wrong column or a level was copied wrongly.",
    find=_page,
)
LOOP = Rule(
    code="survey.loop",
    area="levels",
    title="A loop of levels closes",
    well="Loop {loop} in {name} closes within {value}; {good} is allowed by the rule '{rule}'; {adjusted}.",
    ill="Loop {loop} in {name} does not close: it is {value} out, and {good} is allowed by the rule '{rule}'.",
    remedy="Level the loop again before anything is set out from it; begin with the longest and the steepest sights.",
    find=_loops,
    limits=("survey.loop",),
)
BENCHMARK = Rule(
    code="survey.benchmark",
    area="levels",
    title="The benchmark, shot again, reads as before",
    well="The benchmark, shot again in {name}, reads as before.",
    ill="Shot again in {name}, {point} reads {value} away from before; {good} is allowed. {what}",
    remedy="Shoot the benchmark again; if it still disagrees, set up anew and repeat every shot taken in between.",
    find=_benchmark,
    limits=("survey.benchmark",),
)
RESHOT = Rule(
    code="survey.reshot",
    area="levels",
    title="A book looks back at its benchmark",
    well="In {name}, {shots} from {setups}, a mark that was known was sighted again.",
    ill="In {name} no benchmark was shot again after {shots} from {setups}: nothing shows that the instrument "
    "stood still.",
    remedy="Shoot the benchmark again before the instrument is moved; in a day's work at start, noon and end.",
    find=_looks,
    weight=Weight.UNSAID,
)
FOOT = Rule(
    code="survey.foot",
    area="levels",
    title="No reading is a foot or a decimetre out",
    well="",
    ill="In {name} a reading at {point} looks mistyped by {size}: {what}",
    remedy="Read the rod at that point again, or look at the note taken on the spot; correct the book.",
    find=_slips,
)
DOUBT = Rule(
    code="survey.doubt",
    area="levels",
    title="A level book raises no doubt",
    well="",
    ill="In {name}, at {point}: {what}",
    remedy="Read that point again from a fresh set-up, with the same rod, before anything is built on it.",
    find=_other_doubts,
)
UNCONFIRMED = Rule(
    code="survey.unconfirmed",
    area="levels",
    title="The points that the feature stands on are confirmed",
    well="The level of {name} is confirmed by its book.",
    ill="The feature uses the level of {name}, which is {state}: {why}.",
    remedy="Shoot {name} again between two readings of the benchmark that agree.",
    find=_unconfirmed,
)
PAVING = Rule(
    code="waterline.paving",
    area="levels",
    title="The waterline lies low enough below the paving",
    well="The water of {name} lies {value} below the paving at {mark}; {good} is wanted.",
    ill="The water of {name} lies {value} below the paving at {mark}; {good} is wanted so that stone covers the rim.",
    remedy="Lower the waterline to {good} below the paving, or raise the edge there.",
    find=_paving,
    limits=("waterline.below_paving",),
)
TERRACE = Rule(
    code="paving.falls",
    area="levels",
    title="The paving is level enough to measure from",
    well="The paving falls {value} from {high} to {low}: a waterline may be told from either.",
    ill="The paving itself falls {value} from {high} to {low}: water that is right at one stands wrong at the other.",
    remedy="Tell the waterline from the lowest paving at the water, and look how much wall or liner shows at {high}.",
    find=_terrace,
    limits=("paving.fall",),
)
GUESSED = Rule(
    code="level.guessed",
    area="levels",
    title="The ground was shot",
    well="",
    ill="At {name} nobody has shot {what}: what is said of its height is a guess.",
    remedy="Take a reading there, at the lowest place, and put it in the level book.",
    find=_guessed,
    weight=Weight.UNSAID,
)
NO_BOOK = Rule(
    code="survey.none",
    area="levels",
    title="The levels come from a book",
    well="",
    ill="No level book was reduced ({why}): the levels stand as they were typed.",
    remedy="Level from the benchmark and back to it, and name the book in the feature file.",
    find=_no_book,
    weight=Weight.UNSAID,
)
