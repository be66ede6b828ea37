"""Where a level of the feature comes from, in sentences: a reading, the file, a default; and what it hangs from."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import DefaultUsed, Judged, Level, NotRun, Origin, ReducedShot, newest
from rillwright.feature import Feature, spoken
from rillwright.sources import COMMON_PRACTICE, default, source

_MOST_STEPS = 8  # from one level to the one that it hangs from
_STATES = {
    "read once": "It was read once: nothing shows that the rod was read right.",
    "confirmed": "It is confirmed.",
    "held": "It was given: the other levels hang from it.",
}


def levels_of(feature: Feature) -> dict[str, Level]:
    """Every level that a feature has, by its path."""
    found = {f"marks/{mark.id}.level": mark.level for mark in feature.marks}
    for body in feature.bodies:
        found[f"ponds/{body.id}.waterline"] = body.waterline
        found[f"intakes/{body.intake.id}.low"] = body.intake.low
        found[f"intakes/{body.intake.id}.high"] = body.intake.high
        for rim in body.rims:
            found[f"rims/{rim.id}.ground"] = rim.ground
    for stream in feature.streams:
        found[f"streams/{stream.id}.head"] = stream.head
        if stream.head_ground is not None:
            found[f"streams/{stream.id}.head_ground"] = stream.head_ground
        for reach in stream.reaches:
            found[f"reaches/{reach.id}.start"] = reach.bed_start
            found[f"reaches/{reach.id}.end"] = reach.bed_end
        for fall in stream.falls:
            found[f"falls/{fall.id}.crest"] = fall.crest
    found |= {f"laps/{lap.id}.upturn": lap.upturn for lap in feature.laps}
    site = feature.site
    found |= {f"footings/{footing.id}.base": footing.base for footing in site.footings}
    found |= {f"paving/{paved.id}.base": paved.base for paved in site.paving}
    found |= {f"buildings/{built.id}.base": built.base for built in site.buildings if built.base is not None}
    found |= {f"services/{line.id}.top": line.top for line in site.service_lines if line.top is not None}
    if feature.site.groundwater is not None:
        found["site/whole.groundwater"] = feature.site.groundwater
    return found


def came_from(judged: Judged, path: str) -> tuple[str, ...]:
    """Where the level of that path comes from, and what it hangs from, to the last; nothing if there is none."""
    return tuple(_steps(judged, path, levels_of(judged.assessment.feature)))


def _steps(judged: Judged, path: str, levels: dict[str, Level]) -> Iterator[str]:
    for step in range(_MOST_STEPS):
        level = levels.get(path)
        if level is None:
            return
        yield from _said(judged, path, level, levels, first=step == 0)
        onward = "" if level.origin is Origin.BUILT else _onward(level, levels)
        if not onward or onward == path:
            return
        path = onward


def _onward(level: Level, levels: dict[str, Level]) -> str:
    """The path from which a level hangs: its own, or a mark's by its name."""
    target = level.source.split()[-1] if level.source else ""
    return target if target in levels else f"marks/{target}.level" if f"marks/{target}.level" in levels else ""


def _said(judged: Judged, path: str, level: Level, levels: dict[str, Level], *, first: bool) -> Iterator[str]:
    name = "" if first else f"{spoken(path)}: "
    if level.origin is Origin.BUILT:
        shots = [shot for shot in newest(judged.assessment.shots.shots) if _is_at(shot, path, level)]
        yield from (_shot_words(shot) for shot in shots)
        if not shots:
            yield f"Given in the file as built: {spoken(level.source)}."
    elif level.origin is Origin.DEFAULT:
        used = [used for used in judged.assessment.defaults_used if used.path == path]
        yield from (default_words(one) for one in used)
        if not used:
            yield _upper(f"{name}taken as usual, {_hung(level, levels)}.")
    elif level.source.startswith("stone on "):
        yield _upper(f"{name}the end of the bed above it, and the thickness of the spill stone on that.")
    elif level.source.startswith("pitch of "):
        yield _upper(f"{name}the start of the bed less its pitch.")
    elif level.source.startswith("foot of "):
        yield _upper(f"{name}the bed above fall {level.source.removeprefix('foot of ')} less its drop.")
    elif (reading := _reading_words(judged, level)) is not None:
        yield reading
    else:
        verb = "read" if level.origin is Origin.MEASURED else "planned"
        yield _upper(f"{name}{verb} at {_hung(level, levels)}.")


def _hung(level: Level, levels: dict[str, Level]) -> str:
    """From what a level hangs, in words: '4 in below mark apron'."""
    *before, last = level.source.split(" ")
    mark = f"mark {last}" if before else f"the level of mark {last}"
    return " ".join([*before, mark]) if f"marks/{last}.level" in levels else spoken(level.source)


def _is_at(shot: ReducedShot, path: str, level: Level) -> bool:
    return str(shot.path).partition("@")[0] == path and shot.surface is level.surface


def _shot_words(shot: ReducedShot) -> str:
    row = shot.shot
    end = f" at its {shot.path.place} end" if shot.path is not None and shot.path.place else ""
    said = f"Read on built work{end}: {row.reading} on a rod in {row.rod or 'its own unit'}, set-up {row.setup}"
    said += f", by {row.who}" if row.who else ""
    said += f", {row.time[:16].replace('T', ' ')}." if row.time else "."
    return said if shot.state == "kept" else f"{said} It is {shot.state}: {shot.why}."


def _reading_words(judged: Judged, level: Level) -> str | None:
    survey = judged.assessment.survey
    if isinstance(survey, NotRun):
        return None
    point = next((point for point in survey.points if point.level.source == level.source), None)
    if point is None:
        return None
    setup = next((one for one in survey.setups if one.id == point.setup), None)
    said = f"Read in {level.source.removeprefix('held, ')}: {point.id}, {point.reading_text} on the rod"
    if setup is not None:
        said += f", set-up {setup.id}, where {setup.benchmark} read {setup.backsight_text}"
    why = f"It is {point.state}: {point.why}." if point.why else _STATES.get(point.state, "")
    return f"{said}. {why}".rstrip()


def default_words(used: DefaultUsed) -> str:
    """A default in words: what was taken, what it is, and on whose word."""
    entry = default(used.default)
    own = used.value == entry.value
    taken = f"taken as usual, {entry.typed}. {entry.text}" if own else f"worked out by rule. {entry.text}"
    return f"Nobody typed it: {taken} Source: {source_words(used.source)}."


def source_words(id: str) -> str:
    """A source by its authors, year and title; common practice as it is."""
    if id == COMMON_PRACTICE:
        return "common practice, no source"
    try:
        found = source(id)
    except KeyError:
        return id
    year = f" ({found.year})" if found.year else ""
    return f"{found.authors}{year}, {found.title}".strip()


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]
