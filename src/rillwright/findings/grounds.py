"""The rules on what files of ground say against the job's own levels, and on two levels of one place."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, GroundAmiss, NotRun, Severity
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.findings.words import WHOLE, spoken

MOST_TOLD = 5
_UNCERTAIN = ("no pattern",)  # what is amiss is not known


def _agree(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.surface, NotRun):
        return
    found = sorted(assessment.surface.ground_agreed, key=lambda each: -abs(each.levels_m[0] - each.levels_m[1]))
    for each in found[:MOST_TOLD]:
        a, b = each.levels_m
        facts: tuple[Fact, ...] = (
            ("first", spoken(each.first), ""),
            ("second", spoken(each.second), ""),
            ("x", each.at[0], "m"),
            ("y", each.at[1], "m"),
            ("a", a, "m"),
            ("b", b, "m"),
            ("taken", each.taken_m, "m"),
            ("apart", f"{1000.0 * abs(a - b):.1f} mm", ""),  # finer than people's marks
            ("count", str(len(found)), ""),
        )
        yield Check(element=WHOLE, severity=Severity.WATCH, facts=facts, text=_MANY if len(found) > MOST_TOLD else "")


def _amiss(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.surface, NotRun):
        return
    for each in assessment.surface.ground_amiss:
        text, remedy = _TEXTS[each.kind]
        severity = Severity.WATCH if each.kind in _UNCERTAIN else Severity.STOP
        yield Check(element=WHOLE, severity=severity, facts=_facts(each), text=text, remedy=remedy)


def _facts(each: GroundAmiss) -> tuple[Fact, ...]:
    return (
        ("file", each.file, ""),
        ("read_in", each.read_in, ""),
        ("unit", each.unit, ""),
        ("off", abs(each.off_m), "m"),
        ("way", "above" if each.off_m > 0.0 else "below", ""),
        ("agree", str(each.agree), ""),
        ("known", str(each.known), ""),
        ("most", each.most_m, "m"),
    )


_PLACES = "at {agree} of the {known} places that both know"
_UNIT_REMEDY = (
    "Type unit: {unit} beside the file's name under ground. Where the file names a unit itself, that name is wrong: "
    "have the file written anew."
)
_SWAP_REMEDY = (
    "In a CSV with a header mend the names of its columns; in one without type order: P,E,N,Z,D or P,N,E,Z,D, the one "
    "by which it is not read now; any other file, have written anew."
)
_MARK_REMEDY = (
    "Ask which mark the file goes by, and shoot that mark; then have the file written on the job's own benchmark."
)
_TEXTS = {
    "unit": (
        "{file} was read in {read_in}; in {unit} it would agree with the job's own levels " + _PLACES + ".",
        _UNIT_REMEDY,
    ),
    "swapped": (
        "{file} reads as if its northings were eastings: the other way round it would agree with the job's own levels "
        + _PLACES
        + ".",
        _SWAP_REMEDY,
    ),
    "unit of levels": (
        "{file} reads as if its levels, but not its places, were in {unit}: so it would agree with the job's own "
        "levels " + _PLACES + ".",
        "Have the file written anew, places and levels in one unit.",
    ),
    "unit and swapped": (
        "{file} was read in {read_in}; in {unit}, and with northings and eastings the other way round, it would agree "
        "with the job's own levels " + _PLACES + ".",
        _UNIT_REMEDY + " " + _SWAP_REMEDY,
    ),
    "mark": (
        "{file} stands {off} {way} the job's own levels, alike " + _PLACES + ": it goes by another mark.",
        _MARK_REMEDY,
    ),
    "unit and mark": (
        "{file} was read in {read_in}; in {unit} it would stand {off} {way} the job's own levels, alike "
        + _PLACES
        + ": it goes by another unit and by another mark.",
        _UNIT_REMEDY + " " + _MARK_REMEDY,
    ),
    "swapped and mark": (
        "{file} reads as if its northings were eastings; the other way round it would stand {off} {way} the job's own "
        "levels, alike " + _PLACES + ": it goes by another mark as well.",
        _SWAP_REMEDY + " " + _MARK_REMEDY,
    ),
    "elsewhere": (
        "{file} has no level anywhere near the job's own: the nearest lies {most} away. Its grid may have another "
        "origin, or its numbers may be in another unit than {read_in}.",
        "Give the file in the job's own grid, or the job's places in that of the file; look at its unit.",
    ),
    "no pattern": (
        "{file} differs from the job's own levels by up to {most}, and agrees with them only " + _PLACES + ". No other "
        "unit, order or mark explains it.",
        "Shoot two or three of its points again, and see which of the two is right.",
    ),
}
_ONE = (
    "{first} and {second} give one place two levels, {a} and {b}, at x {x}, y {y}: {apart} apart, no more than such "
    "shots may be off. Their mean, weighted by how well each is known, is taken: {taken}."
)
_MANY = _ONE + " There are {count} such places."
AGREES = Rule(
    code="ground.agrees",
    area="levels",
    title="No two levels of one place had to be taken for one",
    well="",
    ill=_ONE,
    remedy="Shoot the place again where it matters, and withdraw the level that is off.",
    find=_agree,
    weight=Weight.UNSAID,
)
AMISS = Rule(
    code="ground.amiss",
    area="levels",
    title="Files of ground agree with the job's own levels",
    well="",
    ill="{file} does not agree with the job's own levels.",
    remedy="Look at its unit, at the order of its columns and at the mark that it goes by.",
    find=_amiss,
)
