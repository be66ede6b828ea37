"""Slips of the hand: which single reading, put right by a foot or a decimetre, explains what does not agree."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct

from rillwright.survey.chain import Shot
from rillwright.survey.lengths import unit_m

_FOOT_STEPS = (("one foot", "1 ft"), ("ten feet", "10 ft"), ("one tenth of a foot", "0.1 ft"))
_INCH_STEPS = (("one foot", "1 ft"), ("ten inches", "10 in"), ("one inch", "1 in"))
_METRE_STEPS = (("one metre", "1 m"), ("one decimetre", "0.1 m"))
_STEPS = {"ft-in": _INCH_STEPS, "inches": _INCH_STEPS, "tenths": _FOOT_STEPS, "metric": _METRE_STEPS}
_TENTHS = re.compile(r"\s*\d+\.(\d{1,2})\s*")


class Slip(Struct, frozen=True):
    """A reading and the change [m] that would put it right, in words."""

    shot: Shot
    change_m: Fraction
    words: str


class Gap(Struct, frozen=True):
    """A disagreement [m] that should be nothing, how each shot bears on it, and how near to nothing is enough [m]."""

    gap_m: Fraction
    effect: dict[int, int]
    shots: dict[int, Shot]
    near_m: float
    allowed_m: float

    def after(self, slip: Slip) -> Fraction:
        """The disagreement [m] left once the slip is put right."""
        return self.gap_m + self.effect.get(slip.shot.number, 0) * slip.change_m


def _step_m(text: str) -> Fraction:
    number, unit = text.split(" ")
    return Fraction(number) * unit_m(unit)


def _changes(shot: Shot) -> Iterator[tuple[Fraction, str]]:
    division = shot.reading.rod.division
    for words, text in _STEPS[division]:
        step = _step_m(text)
        yield step, words
        yield -step, words
    yield from _inches_and_tenths(shot)


def _inches_and_tenths(shot: Shot) -> Iterator[tuple[Fraction, str]]:
    """5.7 written for 5 ft 7 in on a rod in tenths, or 5' 7" read where 5.7 ft stood on the rod."""
    foot = unit_m("ft")
    division = shot.reading.rod.division
    if division == "tenths" and (match := _TENTHS.fullmatch(shot.reading.text)):
        inches, typed = int(match[1]), Fraction(int(match[1]), 10 ** len(match[1]))
        if 1 <= inches <= 11 and not match[1].startswith("0"):
            yield (Fraction(inches, 12) - typed) * foot, f"{inches} in written as tenths"
    elif division == "ft-in":
        rest = shot.reading.value_m % foot / foot * 12
        if rest.denominator == 1 and 1 <= rest <= 9:
            yield rest * (Fraction(1, 10) - Fraction(1, 12)) * foot, f"{rest} tenths read as inches"


def explain(gap: Gap) -> list[Slip]:
    """All single slips that bring the disagreement to nothing, nearly, in order of the readings."""
    found = []
    for number in sorted(gap.effect):
        best: tuple[float, Slip] | None = None
        for change, words in _changes(gap.shots[number]):
            slip = Slip(gap.shots[number], change, words)
            left = abs(float(gap.after(slip)))
            tight = left <= gap.near_m and abs(float(change)) > 2 * gap.near_m
            if tight and (best is None or left < best[0]):
                best = (left, slip)
        if best is not None:
            found.append(best[1])
    return found


def suspects(slips: Sequence[Slip], others: Mapping[int, Sequence[Gap]]) -> list[Slip]:
    """The slips that mend most of the other disagreements and make fewest; `others` by the shots they hang on."""
    if len(slips) < 2:
        return list(slips)
    worse = [
        sum(abs(float(o.after(slip))) > o.allowed_m for o in others.get(slip.shot.number, ()))
        - sum(abs(float(o.gap_m)) > o.allowed_m for o in others.get(slip.shot.number, ()))
        for slip in slips
    ]
    return [slip for slip, count in zip(slips, worse, strict=True) if count == min(worse)]
