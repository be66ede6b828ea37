"""Rules on what was read on built work: what is to be asked, what lies off plan, what is to be read again."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import AS_READ_M, Assessment, ReducedShot, Severity, Surface, newest
from rillwright.feature import spoken
from rillwright.findings.grading import bound_of
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import WHOLE
from rillwright.units import Band

STAKES = ("stake.dig", "stake.liner", "stake.rim", "stake.upturn", "stake.bed", "stake.stone_top", "stake.water")
_OF_COLLECTION = {"rims": "stake.rim", "laps": "stake.upturn"}
_TO_CUT = (Surface.DIG, Surface.GROUND, Surface.BED)
_PLAIN = ("", "crest", "top", "upturn")
_CARRIED = ("rims", "laps")  # what goes down when stone and water come on it


def _element(shot: ReducedShot) -> str:
    return str(shot.path) if shot.path is not None else WHOLE


def _asked(assessment: Assessment) -> Iterator[Check]:
    for shot in assessment.shots.shots:
        if shot.state in ("doubted", "unconfirmed"):
            yield Check(element=_element(shot), severity=Severity.WATCH, facts=_facts(shot, shot.why))
    for question in assessment.shots.about:
        yield Check(element=WHOLE, severity=Severity.WATCH, facts=(("what", _ended(question.text), ""),), text=_LINE)
    for line in assessment.shots.unread:
        why = _ended(f"line {line.line} is no row and was left where it is: {line.why}")
        yield Check(element=WHOLE, severity=Severity.WATCH, facts=(("what", why, ""),), text=_LINE)


def _facts(shot: ReducedShot, why: str) -> tuple[tuple[str, str, str], ...]:
    return (
        ("reading", shot.shot.reading, ""),
        ("setup", shot.shot.setup or "without a name", ""),
        ("where", spoken(shot.shot.path), ""),
        ("state", shot.state, ""),
        ("what", _ended(why or "no reason given"), ""),
    )


def _ended(words: str) -> str:
    return words if words.endswith(("?", ".")) else f"{words}."


def _off(assessment: Assessment) -> Iterator[Check]:
    for shot in newest(assessment.shots.shots):
        off = shot.off_plan_m
        if off is None or shot.path is None or shot.surface is None or shot.path.collection in ("marks", "points"):
            continue
        usual = "stake." + shot.surface.value.replace(" ", "_")
        name = _OF_COLLECTION.get(shot.path.collection, usual)
        if name in STAKES:
            yield _one_off(assessment, shot, off, name)


def _one_off(assessment: Assessment, shot: ReducedShot, off_m: float, name: str) -> Check:
    dug = shot.surface in _TO_CUT
    todo = ("cut" if off_m > 0 else "fill") if dug else ("lower it" if off_m > 0 else "raise it")
    facts = (
        ("surface", str(shot.surface), ""),
        ("side", "above" if off_m > 0 else "below", ""),
        ("todo", todo, ""),
        ("off", abs(off_m), "m"),
        ("spot", _spot(shot), ""),
    )
    spread = 1.96 * shot.sigma_m
    value = Band(abs(off_m), max(0.0, abs(off_m) - spread), abs(off_m) + spread)
    bound = bound_of(assessment.feature, name)
    beyond = abs(off_m) > bound.good + AS_READ_M  # a crew is told by the reading, not by its band
    severity = Severity.WATCH if beyond else Severity.OK
    text = _AT_PLAN if abs(off_m) < AS_READ_M else ""
    return Check(element=_element(shot), value=value, bound=bound, severity=severity, facts=facts, text=text)


def _spot(shot: ReducedShot) -> str:
    """Which part of the element, where that does not go without saying: `, waterline south`, `, left end`."""
    assert shot.path is not None
    said = [] if shot.path.part in _PLAIN else [shot.path.part.replace("_", " ")]
    if shot.path.place:
        said.append(f"{shot.path.place} end" if shot.path.collection == "falls" else shot.path.place)
    return "".join(f", {words}" for words in said)


def _open(assessment: Assessment) -> Iterator[Check]:
    for setup in assessment.shots.setups:
        facts = (("setup", setup.id or "without a name", ""), ("mark", setup.benchmark, ""))
        severity = Severity.OK if setup.closed else Severity.WATCH
        yield Check(element=f"marks/{setup.benchmark}", severity=severity, facts=facts)


def _again(assessment: Assessment) -> Iterator[Check]:
    """A rim or an upturn goes down when stone is set on it and when water comes: what was read before is no more."""
    order = {shot.shot.uuid: number for number, shot in enumerate(assessment.shots.shots)}
    held = newest(assessment.shots.shots)
    stone = max((order[s.shot.uuid] for s in held if s.surface is Surface.STONE_TOP), default=-1)
    water = max((order[s.shot.uuid] for s in held if s.surface is Surface.WATER), default=-1)
    for shot in held:
        if shot.path is None or shot.path.collection not in _CARRIED:
            continue
        since = order[shot.shot.uuid]
        after = [what for what, when in (("stone was set", stone), ("water came", water)) if when > since]
        facts = (("after", " and ".join(after) or "stone and water", ""),)
        yield Check(element=_element(shot), severity=Severity.WATCH if after else Severity.OK, facts=facts)


_LINE = "Among the shots, {what}"
_AT_PLAN = "The {surface} at {name}{spot} lies at plan."
ASKED = Rule(
    code="shot.asked",
    area="shots",
    title="No reading on built work is in question",
    well="",
    ill="The reading {reading} at {where}, set-up {setup}, is {state}: {what}",
    remedy="Read it once more; then say that it holds, or withdraw it. A doubted reading changes no level until then.",
    find=_asked,
)
OFF = Rule(
    code="shot.off",
    area="shots",
    title="What is built lies where it was planned",
    well="The {surface} at {name}{spot} lies {off} {side} plan, within {good}.",
    ill="The {surface} at {name}{spot} lies {off} {side} plan, and {good} is allowed: {todo}.",
    remedy="At {name}{spot}, {todo} {off}; or leave it so and plan what follows anew from there.",
    find=_off,
    limits=STAKES,
)
OPEN = Rule(
    code="shot.open",
    area="shots",
    title="The benchmark was read again at the end of a set-up",
    well="The mark {mark}, read again, agrees in set-up {setup}.",
    ill="In set-up {setup} no mark was read again after the last reading.",
    remedy="Read the mark {mark} again before the instrument is moved: until then nothing shows that it stood still.",
    find=_open,
    weight=Weight.UNSAID,
)
AGAIN = Rule(
    code="shot.again",
    area="shots",
    title="Rims and upturns were read again after stone and water",
    well="The level of {name} was read last: read it again after {after}.",
    ill="The level of {name} was read before {after}: what carries stone or water goes down.",
    remedy="Read the top of {name} again.",
    find=_again,
    weight=Weight.UNSAID,
)
