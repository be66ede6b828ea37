"""The packet's tables as CSV: take-off, stakes, levels; SI, the unit in each head, and levels as people say them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from rillwright.assessment import Assessment, Judged, Level, NotRun
from rillwright.packet.say import Say

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def tables_csv(judged: Judged) -> dict[str, str]:
    """Name of each table to its text."""
    assessment = judged.assessment
    return {
        "takeoff": _table(_TAKEOFF, _takeoff(assessment)),
        "stakes": _table(_STAKES, _stakes(assessment)),
        "levels": _table(_LEVELS, _levels(assessment)),
    }


_TAKEOFF = ("id", "item", "text", "path", "low", "high", "unit", "length_m", "width_m", "from")
_STAKES = (
    "id", "path", "text", "x_m", "y_m", "station_m", "dig_m", "liner_m", "stone_top_m", "water_m",
    "dig", "liner", "stone_top", "water",
)  # fmt: skip
_LEVELS = ("path", "surface", "level_m", "standard_error_m", "level", "origin", "source")


def _table(head: Sequence[str], rows: Iterator[Sequence[str | float | None]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows([[_cell(value) for value in row] for row in rows])
    return out.getvalue()


def _cell(value: str | float | None) -> str:
    """A number to what counts; words so that no spreadsheet takes them for a formula."""
    if value is None:
        return ""
    if isinstance(value, str):
        return "'" + value if value.startswith(_FORMULA) else value
    return f"{value:.6g}"


def _takeoff(assessment: Assessment) -> Iterator[Sequence[str | float | None]]:
    if isinstance(assessment.takeoff, NotRun):
        return
    for line in assessment.takeoff.lines:
        size = line.size_m or (None, None)
        terms = "; ".join(f"{term.name} {term.value:.6g} {term.unit}".rstrip() for term in line.because)
        yield (line.id, line.item, line.text, line.path, line.low, line.high, line.unit, *size, terms)


def _stakes(assessment: Assessment) -> Iterator[Sequence[str | float | None]]:
    if isinstance(assessment.build, NotRun):
        return
    for stake in assessment.build.stakes:
        levels = (stake.dig_m, stake.liner_m, stake.stone_top_m, stake.water_m)
        said = [None if level is None else _said(level, assessment.feature.system) for level in levels]
        at = stake.at or (None, None)
        yield (stake.id, stake.path, stake.text, *at, stake.station_m, *levels, *said)


def _levels(assessment: Assessment) -> Iterator[Sequence[str | float | None]]:
    for path, level in _all_levels(assessment):
        said = _said(level.m, assessment.feature.system)
        yield (path, level.surface.value, level.m, level.sigma_m, said, level.origin.value, level.source)


def _said(level_m: float, system: str) -> str:
    """A level in plain characters, with a space before its sign's place so that it stays words."""
    return " " + Say(system).level(level_m).replace("−", "-")


def _all_levels(assessment: Assessment) -> Iterator[tuple[str, Level]]:
    """Every level of the feature, in the order in which it is read."""
    feature = assessment.feature
    for mark in feature.marks:
        yield f"marks/{mark.id}", mark.level
    for stream in feature.streams:
        yield f"streams/{stream.id}.head", stream.head
        if stream.head_ground is not None:
            yield f"streams/{stream.id}.head_ground", stream.head_ground
    for reach in feature.reaches:
        yield f"reaches/{reach.id}.bed_start", reach.bed_start
        yield f"reaches/{reach.id}.bed_end", reach.bed_end
    for fall in feature.falls:
        yield f"falls/{fall.id}.crest", fall.crest
        yield f"falls/{fall.id}.foot", fall.foot
    for body in feature.bodies:
        yield f"ponds/{body.id}.waterline", body.waterline
        yield f"intakes/{body.intake.id}.low", body.intake.low
        yield f"intakes/{body.intake.id}.high", body.intake.high
        for rim in body.rims:
            yield f"rims/{rim.id}.ground", rim.ground
    for lap in feature.laps:
        yield f"laps/{lap.id}.upturn", lap.upturn
    for footing in feature.site.footings:
        yield f"footings/{footing.id}.base", footing.base
