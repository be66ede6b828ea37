"""Cases of the height budget, small and large, in both units; some cannot be asked."""

from __future__ import annotations

from random import Random
from typing import Any

from rillwright.errors import InputError
from rillwright.fit import CHARACTERS, KINDS, FitProblem, fit
from tests.vectors.lengths import Json


def _span(rng: Random, low: int, high: int, wide: int) -> list[int]:
    start = rng.randint(low, high)
    return [start, start + rng.randint(0, wide)]


def _maybe(rng: Random, value: Any, share: float = 0.5) -> Any:
    return value if rng.random() < share else None


def _wishes(rng: Random, most: int, tallest: int) -> list[Json]:
    return [
        {
            "at": rng.choice(["last", rng.randint(1, most)]),
            "drop": _maybe(rng, _span(rng, 1, tallest, tallest // 2)),
            "kind": _maybe(rng, rng.choice(KINDS)),
        }
        for _ in range(rng.choice([0, 0, 0, 1, 2]))
    ]


def small(rng: Random) -> Json:
    """Few steps, everything odd at once: pitches back, built beds, wishes that contradict."""
    step, most = rng.randint(1, 4), rng.randint(1, 5)
    built: list[Json] = [{"pitch": rng.randint(-1, 3), "drop": rng.randint(1, 9)} for _ in range(rng.randint(0, 2))]
    if rng.random() < 0.3:
        built.append({"pitch": rng.randint(0, 3), "drop": None})
    return {
        "unit": "1 mm",
        "height": rng.randint(-5, 60),
        "step": step,
        "pitch_step": rng.randint(1, 3),
        "pitch": _span(rng, -2, 4, 4),
        "ripple": _span(rng, 1, 8, 2 * step),
        "fall": _span(rng, 1, 14, 4 * step),
        "lively_fall": rng.randint(0, 12),
        "grade": _maybe(rng, rng.choice([[0, 60], [20, 90]])),
        "beds": [
            {"length": _maybe(rng, rng.randint(1, 60)), "pitch": _maybe(rng, _span(rng, -2, 4, 3), 0.3)}
            for _ in range(rng.randint(0, 4))
        ],
        "built": built,
        "wishes": _wishes(rng, most, 14),
        "drops": [rng.randint(1, most), most],
        "least_last": rng.choice([0, rng.randint(1, 14)]),
        "spill_stone": rng.randint(0, 3),
        "running_below_held": rng.randint(0, 2),
        "most_left": _maybe(rng, rng.randint(0, 6)),
        "character": rng.choice(CHARACTERS),
    }


def on_site(rng: Random) -> Json:
    """Heights, spill stones and wishes as they come on a site; what is left out is the unit's own."""
    unit, inch = rng.choice([("1/16 in", 16), ("1 mm", 25)])
    problem: Json = {"unit": unit, "height": rng.randint(8, 75) * inch + rng.randint(0, inch - 1)}
    problem["character"] = rng.choice(CHARACTERS)
    problem["spill_stone"] = rng.choice([0, 2, 3]) * inch
    problem["running_below_held"] = rng.choice([0, 0, 1]) * inch
    if rng.random() < 0.5:
        problem["least_last"] = rng.randint(6, 14) * inch
    if rng.random() < 0.3:
        problem["drops"] = _span(rng, 1, 5, 5)
    if rng.random() < 0.3:
        problem["most_left"] = rng.randint(0, inch)
    if rng.random() < 0.3:
        problem["beds"] = [{"length": rng.randint(3, 14) * 12 * inch} for _ in range(3)]
        problem["grade"] = [0, 20]
    return problem


def tall(rng: Random) -> Json:
    """A hillside: more arrangements than a double can count."""
    drops = rng.randint(16, 22)
    height = drops * rng.randint(120, 150)
    return {"unit": "1/16 in", "height": height, "drops": [drops - 2, drops], "character": rng.choice(CHARACTERS)}


def _case(name: str, problem: Json, best: int) -> Json:
    case: Json = {"name": name, "problem": problem, "best": best}
    try:
        return case | {"result": fit(FitProblem.from_json(problem), best=best).to_json()}
    except InputError as error:
        fields = [{"message": p.message, "field": p.field, "allowed": p.allowed} for p in error.problems]
        return case | {"refused": fields}


def all_of(rng: Random) -> dict[str, Any]:
    cases = [_case(f"small {number}", small(rng), rng.choice([0, 3, 6])) for number in range(220)]
    cases += [_case(f"site {number}", on_site(rng), 5) for number in range(45)]
    cases += [_case(f"twenty best {number}", on_site(rng), 20) for number in range(6)]
    cases += [_case(f"hillside {number}", tall(rng), 2) for number in range(4)]
    return {"arrangements": cases}
