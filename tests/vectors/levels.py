"""Cases of whole days of levelling and of the verdict on a level."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from typing import Any

from rillwright.survey import Book, read_book
from rillwright.survey.chain import Chain, Repeat, build_chain
from rillwright.survey.lengths import exact_decimal
from tests.published.test_levelling import LEVEL_BOOK, LEVELS
from tests.vectors.lengths import Json, reading_text

FOOT = Fraction(3048, 10000)
SURFACES = ("dig", "liner", "bed", "stone top", "water", "ground")


def days(rng: Random) -> list[Json]:
    """Books of one to four set-ups that hang on each other, with marks read again and points read twice."""
    return [_day(rng, number) for number in range(60)]


def _day(rng: Random, number: int) -> Json:
    rod = rng.choice(["ft-in", "tenths", "inches", "metric", "laser tenths", "laser metric", "laser ft-in"])
    division = rod.removeprefix("laser ")
    level = {"metric": "10.000", "tenths": "100.00", "inches": "120", "ft-in": "100'"}[division]
    rows = ["setup,point,surface,backsight,intermediate,foresight,rod,level"]
    marks = ["BM"]
    for setup in range(1, rng.randint(1, 4) + 1):
        mark = rng.choice(marks)
        rows.append(_row(setup, mark, "", "backsight", division, rng, rod, level if mark == "BM" else ""))
        for _ in range(rng.randint(1, 5)):
            point = rng.choice([f"s{rng.randint(1, 4)}", rng.choice(marks)])
            surface = "" if point in marks else rng.choice(["", *SURFACES])
            rows.append(_row(setup, point, surface, "intermediate", division, rng, rod, ""))
        turning = f"TP{setup}"
        rows.append(_row(setup, turning, "", "foresight", division, rng, rod, ""))
        marks.append(turning)
    book = read_book("\n".join(rows) + "\n", file=f"day-{number}.csv")
    return {"name": f"day {number}, {rod}", **day_of(book)}


def _row(setup: int, point: str, surface: str, column: str, division: str, rng: Random, rod: str, level: str) -> str:
    text = reading_text(rng, division, Fraction(rng.randint(150, 2900), 1000)).replace('"', '""')
    cells = {"backsight": ",,", "intermediate": ",,", "foresight": ",,"}
    place = list(cells).index(column)
    readings = ",".join(f'"{text}"' if index == place else "" for index in range(3))
    return f"{setup},{point},{surface},{readings},{rod},{level}"


def day_of(book: Book) -> Json:
    """A book's rows as a phone has them, and what they come to."""
    chain = build_chain([book], datum=None, datum_level_m=Fraction(0))
    return {
        "rows": [
            {
                "setup": r.setup,
                "point": r.point,
                "surface": r.surface.value if r.surface else None,
                "sight": r.sight.value,
                "rod": str(r.rod),
                "reading": r.text,
            }
            for r in book.readings
        ],
        "held": {known.point: exact_decimal(known.level_m) for known in book.known},
        "result": _reduced(chain),
    }


def _reduced(chain: Chain) -> Json:
    levels = {
        shot.number: (shot.spot, exact_decimal(station.level_m(shot)))
        for station in chain.stations
        for shot in station.shots
    }
    repeats = (("again", chain.again), ("closing", chain.closings), ("check", chain.checks))
    return {
        "setups": [
            {
                "name": station.name,
                "height": exact_decimal(station.height_m or Fraction(0)),
                "benchmark": station.anchor.spot.id if station.anchor else None,
            }
            for station in chain.stations
        ],
        "rows": [
            {"point": spot.id, "surface": spot.surface.value, "level": level}
            for _, (spot, level) in sorted(levels.items())
        ],
        "levels": [
            {"point": spot.id, "surface": spot.surface.value, "level": exact_decimal(level)}
            for spot, level in chain.level_m.items()
        ],
        "gaps": [_gap(kind, repeat) for kind, found in repeats for repeat in found],
    }


def _gap(kind: str, repeat: Repeat) -> Json:
    earlier = repeat.earlier.number if repeat.earlier else None
    return {"kind": kind, "row": repeat.shot.number, "earlier": earlier, "gap": exact_decimal(repeat.gap_m)}


def published() -> list[Json]:
    """The printed level book of tests/published, each printed value as it is printed, in feet."""
    open_book, closed_book = (
        read_book(LEVEL_BOOK.format(level=level), file="book.csv", rod="tenths") for level in ("", "94.91")
    )
    printed: list[Json] = []
    for name, row in LEVELS.items():
        if name.endswith("adjusted"):
            continue
        what = {"setup": int(name.removeprefix("HI ")) - 1} if name.startswith("HI ") else {"point": name}
        what = {"gap": 0} if name == "misclosure" else what
        printed.append({"name": name, **what, "printed": row.printed, "source": row.source})
    gap = [row for row in printed if "gap" in row]
    return [
        {"name": "level book", **day_of(open_book), "printed": [row for row in printed if "gap" not in row]},
        {"name": "level book, closed on 94.91", **day_of(closed_book), "printed": gap},
    ]


def verdicts(rng: Random) -> list[Json]:
    """A level against its band: what lies above it is to be cut, what lies below it to be filled."""
    cases = []
    for number in range(200):
        planned, low, high, level = (Fraction(rng.randint(-40_000, 40_000), 10_000) for _ in range(4))
        low, high = planned - abs(low) / 100, planned + abs(high) / 100
        level = rng.choice([level, planned, low, high, low - Fraction(1, 10**6), high + Fraction(1, 10**6)])
        state = "too high" if level > high else "too low" if level < low else "met"
        beyond = max(level - high, low - level, Fraction(0))
        cases.append(
            {
                "name": f"verdict {number}",
                "level": exact_decimal(level),
                "planned": {"level": exact_decimal(planned), "low": exact_decimal(low), "high": exact_decimal(high)},
                "verdict": {"state": state, "off": exact_decimal(level - planned), "beyond": exact_decimal(beyond)},
            }
        )
    return cases


def all_of(rng: Random) -> dict[str, Any]:
    return {
        "days": days(rng),
        "published-levelling": published(),
        "verdicts": verdicts(rng),
    }
