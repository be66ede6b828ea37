"""Cases of days on built work: levels, states and what is asked, as the service answers them.

What is asked is held by its code and by whether it doubts; the words are each side's own.
"""

from __future__ import annotations

from fractions import Fraction
from random import Random

from rillwright.feature import ElementPath, Level, Origin, Place, Surface
from rillwright.sources import default
from rillwright.survey import Shot, SiteShots, reduce_shots
from rillwright.survey.nanometres import PER_M, whole_nm
from tests.vectors.lengths import Json, reading_text

MARKS = {"bm": Fraction(0), "kerb": Fraction(762, 1000)}
PLACES = (
    ("falls/f1.crest", Surface.STONE_TOP, Fraction(889, 1000)),
    ("falls/f1.crest", Surface.WATER, None),
    ("falls/f2.crest", Surface.STONE_TOP, Fraction(6096, 10000)),
    ("rims/r1.top", Surface.LINER, Fraction(127, 1000)),
    ("rims/r1.top", Surface.GROUND, Fraction(1016, 10000)),
    ("reaches/s1.bed", Surface.BED, Fraction(508, 1000)),
    ("reaches/s1.bed", Surface.DIG, Fraction(4064, 10000)),
    ("laps/l1.upturn", Surface.LINER, Fraction(7112, 10000)),
)
SLIPS = (Fraction(3048, 10000), Fraction(254, 10000), Fraction(3048, 100_000), Fraction(1), Fraction(1, 10))


def days(rng: Random) -> list[Json]:
    return [_day(rng, number) for number in range(60)]


def asking() -> list[Json]:
    """When a reading is asked about, by name of the default, in nanometres and in minutes."""
    lengths = ("small_off", "large_off", "near_plan", "least_slip")
    found: Json = {f"{name}_nm": whole_nm(default(f"survey.{name}").number) for name in lengths}
    return [{"name": "asking", **found, "twice_min": int(default("survey.twice").number)}]


def _day(rng: Random, number: int) -> Json:
    rod = rng.choice(["ft-in", "tenths", "metric", "inches", "laser tenths", "laser metric"])
    rows: list[Json] = []
    minutes = 0
    for setup in range(1, rng.randint(1, 3) + 1):
        height = Fraction(rng.randint(1600, 2400), 1000) * (-1 if rod.startswith("laser") else 1)
        for index in range(rng.randint(3, 9)):
            minutes += rng.choice([0, 1, 3, 4]) if rng.random() < 0.95 else -7
            if rng.random() < 0.1:  # the tripod is kicked
                height += Fraction(rng.choice([-80, -12, 4, 5, 6, 30]), 1000)
            benchmark = index == 0 or rng.random() < 0.25
            row = _benchmark(rng, rod, height) if benchmark else _reading(rng, rod, height)
            stood = setup - 1 if setup > 1 and rng.random() < 0.08 else setup  # the one that was left
            row |= {"setup": f"2026-05-04/{stood}", "who": rng.choice(["lead", "lead", "mason"])}
            row |= {"time": f"2026-05-04T{9 + minutes // 60:02}:{minutes % 60:02}:00+02:00"}
            rows.append(row)
            if rng.random() < 0.06:
                rows.append(dict(row))  # sent twice under another uuid
    if rng.random() < 0.1:
        rng.choice(rows)["time"] = "noon"
    if rng.random() < 0.2:
        rows = [row for row in rows if row["path"] != "marks/bm" or row["setup"] != "2026-05-04/1"]
    shots = [Shot(**{"uuid": f"{number}-{index}", **row}) for index, row in enumerate(rows)]
    return _case(f"day {number}, {rod}", [*shots, *_later(rng, shots)])


def _benchmark(rng: Random, rod: str, height: Fraction) -> Json:
    mark = rng.choice(["bm", "bm", "kerb", "tp1"])
    level = MARKS.get(mark, Fraction(3, 10))
    path = f"points/{mark}" if mark == "tp1" else f"marks/{mark}"
    slip = rng.choice([*SLIPS, *(-slip for slip in SLIPS)]) if rng.random() < 0.12 else Fraction(0)
    return _row(rng, rod, path, surface="mark", value=height - level + slip)


def _reading(rng: Random, rod: str, height: Fraction) -> Json:
    path, surface, planned = rng.choice(PLACES)
    level = (planned or Fraction(1, 2)) + Fraction(rng.choice([0, 0, 1, -2, 5, -9, 20, 60, -300]), 1000)
    slip = rng.choice([*SLIPS, *(-slip for slip in SLIPS)]) if rng.random() < 0.25 else Fraction(0)
    odd = rng.random()
    said = surface.value
    if odd < 0.05:
        path = rng.choice(["falls/f9.crest", "nowhere", "points/p1", "falls/f1.crest@left"])
    elif odd < 0.1:
        said = rng.choice(["", "stone_top", "grass", "dig"])
    return _row(rng, rod, path, surface=said, value=height - level + slip)


def _row(rng: Random, rod: str, path: str, *, surface: str, value: Fraction) -> Json:
    division = rod.removeprefix("laser ")
    written = reading_text(rng, division, abs(value))
    said = rod
    if rng.random() < 0.08:
        said = rng.choice(["ft-in", "tenths", "metric", "inches", "cubits", "r2/" + rod])
    return {"rod": said, "path": path, "surface": surface, "reading": written}


def _later(rng: Random, shots: list[Shot]) -> list[Shot]:
    """Rows that speak of earlier ones."""
    said = []
    for shot in shots:
        if rng.random() < 0.1:
            state = rng.choice(["kept", "doubted", "withdrawn"])
            said.append(Shot(uuid=f"{shot.uuid}-re", time=shot.time, who=shot.who, state=state, re=shot.uuid))
    return said


def _case(name: str, shots: list[Shot]) -> Json:
    marks = {
        id: Level(m=float(level), surface=Surface.MARK, origin=Origin.MEASURED, source="typed", sigma_m=0.0)
        for id, level in MARKS.items()
    }
    expected = [
        Place(path=ElementPath.parse(path), surface=surface, planned_m=None if planned is None else float(planned))
        for path, surface, planned in PLACES
    ]
    cells = ("uuid", "time", "who", "setup", "rod", "path", "surface", "reading", "state", "re", "note")
    return {
        "name": name,
        "shots": [{cell: getattr(shot, cell) for cell in cells} for shot in shots],
        "plan": {
            "marks": [{"id": id, "level_nm": whole_nm(level)} for id, level in MARKS.items()],
            "places": [
                {"path": path, "surface": surface.value, "planned_nm": None if planned is None else whole_nm(planned)}
                for path, surface, planned in PLACES
            ],
            "benchmark": {"good": "0.003175", "bad": "0.00635"},
        },
        "day": _answer(reduce_shots(shots, marks=marks, expected=expected)),
    }


def _answer(site: SiteShots) -> Json:
    return {
        "setups": [
            {
                "id": setup.id,
                "rod": setup.rod,
                "height_nm": round(setup.height_of_instrument_m * PER_M),
                "benchmark": setup.benchmark,
                "closed": setup.closed,
                "moved": setup.moved,
            }
            for setup in site.setups
        ],
        "shots": [
            {
                "uuid": shot.shot.uuid,
                "level_nm": shot.level_nm,
                "planned_nm": None if shot.planned_m is None else whole_nm(shot.planned_m),
                "state": str(shot.state),
                "asked": [[question.code, question.doubts] for question in shot.questions],
            }
            for shot in site.shots
        ],
    }
