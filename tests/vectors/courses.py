"""Cases of what still fits a stream after readings on built work, as the service puts the question and answers it."""

from __future__ import annotations

from functools import cache
from random import Random
from typing import Any

from rillwright import job
from rillwright.assessment import NotRun
from rillwright.compare import Change, Course, course_of, fitting_changes, least_m, sentence
from rillwright.compare.comparing import in_order
from rillwright.compare.heights import height_change
from rillwright.feature import BuiltLevel, ElementPath, Feature, Level, Origin, Surface, overlay
from rillwright.shape.budget import height_budget
from rillwright.sources import limit
from rillwright.units import style_for
from tests.vectors.lengths import Json

EXAMPLES = ("orchard-press", "weavers-court", "clinic-forecourt")
NM = 1_000_000_000
INCH_NM = 25_400_000
DRY = NotRun("not asked")


@cache
def planned(name: str) -> Feature:
    return job.open(job.examples()[name]).planned


def as_json(course: Course) -> Json:
    """A course as the kit has it."""
    names = ("stream", "name", "held_m", "last_drop_m")
    reaches = [{name: getattr(each, name) for name in each.__struct_fields__} for each in course.reaches]
    falls = [{name: getattr(each, name) for name in each.__struct_fields__} for each in course.falls]
    kept: Json = {name: getattr(course, name) for name in names}
    return kept | {"problem": course.problem.to_json(), "reaches": reaches, "falls": falls}


def _places(course: Course) -> list[tuple[str, str, float]]:
    beds = [
        (f"reaches/{r.id}.{part}", "bed", m)
        for r in course.reaches
        for part, m in (("start", r.start_m), ("end", r.end_m))
    ]
    ends = ("", "", "@left", "@right")
    return beds + [(f"falls/{f.id}.crest{end}", "stone top", f.crest_m) for f in course.falls for end in ends]


def _read(rng: Random, course: Course, system: str) -> Json:
    first, last = course.reaches[0], course.reaches[-1]
    likely = [(f"reaches/{first.id}.start", "bed", first.start_m), (f"reaches/{last.id}.end", "bed", last.end_m)]
    path, surface, m = rng.choice(likely if rng.random() < 0.4 else _places(course))
    step = INCH_NM // 8 if system == "us" else 1_000_000
    off = round(rng.gauss(0.0, rng.choice([0.07, 0.07, 0.5])) * NM / step) * step
    return {"path": path, "surface": surface, "level_nm": round(m * NM) + off}


def _with(feature: Feature, read: list[Json]) -> Feature:
    return overlay(
        feature,
        [
            BuiltLevel(
                path=ElementPath.parse(each["path"]),
                level=Level(each["level_nm"] / NM, Surface(each["surface"]), Origin.BUILT, "shot", 0.003),
            )
            for each in read
        ],
    )


def _case(name: str, feature: Feature, stream: str, read: list[Json], *, known: int) -> Json:
    """A stream as the kit has it, with the readings; the first `known` of them were there before."""
    states = [_with(feature, read[:many]) for many in (known, len(read))]
    was, now = (course_of(each, each.stream(stream), DRY) for each in states)
    budgets = [height_budget(each, each.stream(stream)) for each in states]
    changes: list[Change] = [*height_change(now.name, budgets[0], budgets[1]), *fitting_changes(was, now)]
    last = limit("falls.last")
    return {
        "name": name,
        "course": as_json(course_of(feature, feature.stream(stream), DRY)),
        "figures": {"least_m": least_m(), "last_m": [last.good, last.bad]},
        "read": read,
        "known": known,
        "problem": now.problem.to_json(),
        "sentences": [sentence(change, style_for(feature.system)) for change in in_order(changes)],
    }


def _on_the_spot() -> Json:
    """A bed found 17 in over the water where 8 in had been read: common practice, no source."""
    feature = planned("orchard-press")
    stream = feature.streams[0]
    held = round(feature.body(stream.into).waterline.m * NM)
    last = stream.reaches[-1].id
    levels = (("start", 135), ("end", 64), ("end", 136))  # eighths of an inch over the water
    read: list[Json] = [
        {"path": f"reaches/{last}.{part}", "surface": "bed", "level_nm": held + eighths * INCH_NM // 8}
        for part, eighths in levels
    ]
    return _case("17 in over the water", feature, stream.id, read, known=2)


def courses(rng: Random) -> list[Any]:
    found = [_on_the_spot()]
    for number in range(90):
        name = rng.choice(EXAMPLES)
        feature = planned(name)
        stream = rng.choice([each for each in feature.streams if each.falls and each.reaches])
        course = course_of(feature, stream, DRY)
        read = [_read(rng, course, feature.system) for _ in range(rng.randint(1, 6))]
        known = rng.choice([0, len(read) - 1])
        found.append(_case(f"{name} {number}", feature, stream.id, read, known=known))
    return found
