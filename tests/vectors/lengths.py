"""Cases of typed lengths and rod readings, of levels shown, and of slips: what Python says of each."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import partial
from random import Random
from typing import Any

from rillwright.errors import InputError
from rillwright.feature import Surface
from rillwright.survey.book import Reading, Rod, Sight
from rillwright.survey.chain import Shot, Spot
from rillwright.survey.lengths import exact_decimal, reading_m
from rillwright.survey.read import read_rod
from rillwright.survey.slips import Gap, explain
from rillwright.units import RODS, Quantity, feet_inches, inches_only, parse, rod_reading, show_rod
from rillwright.units.table import unit

Json = dict[str, Any]

ODD_TEXTS = (
    "", "   ", "\t", "five", "5", "5.", ".5", "5.7", "5.7'", "5'7", "5'-7\"", "5' 7 3/8\"", "5′ 7⅜″", "5’7”", "5''",
    "67 3/8 in", "67-3/8\"", "3/8\"", "9/8\"", "1/0 in", "5' 12\"", "5.5' 6\"", "5 1/2' 6\"", "-4' 7\"", "- 4 in",
    "+0.35 m", "−0.35", "1e3 mm", "1e-3 m", "1.5e1ft", "1,234", "1,5 m", "1.234,5", "1_000", "nan", "-inf",
    "1 234 mm", "12.5 cm", "1406 mm", "1406", "9.999", "10", "4 furlongs", "4 Ft.", "4 FEET", "4 Inches", "4 ft 6",
    "4 ft 6 in", "4ft6in", "4 ft. 6 in.", "4' 0\"", "0", "0 ft", "00.50", "1\u00a0m", "1\u2003m", "4\u200b'", "½ in",
    "4½", "4½\"", "1⅓ ft", "5ft 7'", "5\" 7'", "5' -7\"", "5'–7 1/2\"", "m", "'", "7/8", "5' 7.5\"", "5' 7.25 in",
    "1e99 m", "9" * 81, "5 '7\"", "4.61 ft ", " 4.61 tenths", "3 yd", "45 mil", "0.02 km", "4 per ft", "4'6''",
    "4' 6'", "12 in 3", "1/2/3 in", "2 1/2 1/2 in", "５ ft", "5\x00 ft", "5 ft\n", "1.2.3", "--1 m", "1²",
    "it's \"5\"",
)  # fmt: skip


def _answer(reader: Callable[[], Quantity]) -> Json:
    """What was read, or the one problem with which it was refused."""
    try:
        read = reader()
    except InputError as error:
        (problem,) = error.problems
        return {"refused": {"message": problem.message, "found": problem.found, "allowed": problem.allowed}}
    return {"unit": read.unit, "exact": exact_decimal(read.exact), "m": exact_decimal(_metres(read))}


def _metres(read: Quantity) -> Fraction:
    return read.exact * unit("length", read.unit).size


def _typed(rng: Random) -> str:
    """A reading as somebody might write it, mostly right."""
    feet, inches, eighths = rng.randint(0, 14), rng.randint(0, 12), rng.randint(0, 15)
    fraction = rng.choice([f" {eighths}/16", f" {eighths}/8", " 1/2", "-3/4", ".25", "⅜", ""])
    foot, inch = rng.choice(["'", "′", " ft", "ft.", " feet ", "’"]), rng.choice(['"', "″", " in", "in.", "''", ""])
    forms = (
        f"{feet}{foot}{rng.choice(['', ' ', '-', ' - '])}{inches}{fraction}{inch}",
        f"{inches}{fraction}{inch}",
        f"{feet}.{rng.randint(0, 99):02}{rng.choice(['', foot, ' m', 'cm'])}",
        f"{rng.choice(['', '-', '+'])}{rng.randint(0, 2400)}{rng.choice([' mm', 'mm', ' cm', ''])}",
        f"{rng.randint(0, 3)}.{rng.randint(0, 999):03}{rng.choice(['', ' m', ' metres', ' M'])}",
    )
    return rng.choice(forms)


def rods(rng: Random) -> list[Json]:
    texts = [*ODD_TEXTS, *(_typed(rng) for _ in range(120))]
    pairs = [(text, rod) for text in ODD_TEXTS for rod in RODS] + [
        (text, rng.choice(list(RODS))) for text in texts[len(ODD_TEXTS) :] for _ in range(2)
    ]
    return [{"text": text, "rod": rod, **_answer(partial(rod_reading, text, rod))} for text, rod in pairs]


def lengths(rng: Random) -> list[Json]:
    texts = [*ODD_TEXTS, *(_typed(rng) for _ in range(150))]
    return [{"text": text, **_answer(partial(parse, text, "length"))} for text in texts]


def shown(rng: Random) -> list[Json]:
    """Levels as the eye reads them: every millionth of a metre may come, halves of a step among them."""
    steps = [Fraction(1, 16), Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), Fraction(1)]
    values = [Fraction(rng.randint(-9_000_000, 9_000_000), 10**6) for _ in range(200)]
    values += [Fraction(254, 10000) * Fraction(rng.randint(-3000, 3000), 32) for _ in range(150)]  # halves of 1/16 in
    values += [Fraction(rng.randint(-5000, 5000), 2000) for _ in range(50)] + [Fraction(0), Fraction(1, 3)]
    return [
        {
            "m": exact_decimal(value),
            "step": str(step),
            "feet_inches": feet_inches(value, step),
            "on_rod": feet_inches(value, step, short=False),
            "inches": inches_only(value, step),
            "rods": {rod: show_rod(float(value), rod) for rod in RODS},
        }
        for value in values
        for step in [rng.choice(steps)]
    ]


def reading_text(rng: Random, division: str, metres: Fraction) -> str:
    """A reading near to so many metres, as that rod would have it written."""
    size = abs(metres)
    if division == "metric":
        return f"{float(size):.3f}"
    if division == "tenths":
        return f"{float(size / Fraction(3048, 10000)):.2f}"
    step = rng.choice([Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), Fraction(1)])
    return (inches_only(size, step) if division == "inches" else feet_inches(size, step, short=False)).removesuffix(
        " in" if division == "inches" else ""
    )


def slips(rng: Random) -> list[Json]:
    """Disagreements made by slips of every kind, and some by nothing at all."""
    cases = []
    changes = [Fraction(3048, 10000), Fraction(3048, 100000), Fraction(254, 10000), Fraction(1), Fraction(1, 10)]
    for _ in range(300):
        near = rng.choice([Fraction(3175, 10**6), Fraction(635, 10**5), Fraction(3, 1000)])
        texts = [(rod := rng.choice(["ft-in", "tenths", "inches", "metric", "laser tenths", "laser ft-in"]),
                  reading_text(rng, rod.removeprefix("laser "), Fraction(rng.randint(200, 3400), 1000)))
                 for _ in range(rng.randint(1, 4))]  # fmt: skip
        gap = rng.choice([-1, 1]) * rng.choice([*changes, Fraction(rng.randint(1, 900), 1000)])
        if rng.random() < 0.3:  # inches written as tenths, or read where tenths stood
            gap = Fraction(rng.randint(1, 11), 60) * Fraction(3048, 10000) * rng.choice([-1, 1])
        gap += Fraction(rng.randint(-20, 20), 10_000)
        effects = [rng.choice([-1, 1]) for _ in texts]
        cases.append(_slip_case(gap, near, list(zip(texts, effects, strict=True))))
    return cases


def _slip_case(gap: Fraction, near: Fraction, bearings: list[tuple[tuple[str, str], int]]) -> Json:
    shots = {index: _shot(index, rod, text) for index, ((rod, text), _) in enumerate(bearings)}
    effect = {index: effect for index, (_, effect) in enumerate(bearings)}
    found = explain(Gap(gap, effect, shots, float(near), float(near)))
    return {
        "gap": exact_decimal(gap),
        "near": exact_decimal(near),
        "bearings": [{"rod": rod, "reading": text, "effect": effect} for (rod, text), effect in bearings],
        "slips": [
            {"index": slip.shot.number, "change": exact_decimal(slip.change_m), "words": slip.words} for slip in found
        ],
    }


def _shot(number: int, words: str, text: str) -> Shot:
    rod = read_rod(words, None)
    assert isinstance(rod, Rod)
    reading = Reading(
        line=number + 2, setup="1", point=f"P{number}", sight=Sight.BETWEEN, value_m=reading_m(text, rod), text=text,
        rod=rod, surface=Surface.GROUND,
    )  # fmt: skip
    return Shot(number, reading, Spot(f"P{number}", Surface.GROUND))
