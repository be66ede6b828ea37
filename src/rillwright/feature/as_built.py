"""Levels as built take the place of planned ones; built things stay, what is planned round them may move."""

from __future__ import annotations

from dataclasses import replace

from rillwright.errors import InputError
from rillwright.feature.levels import Level, Origin, Surface
from rillwright.feature.model import Fall, Feature, Reach, Stream
from rillwright.feature.paths import ElementPath
from rillwright.feature.resolve import Levels
from rillwright.feature.schema import FeatureSaid

BUILT = {
    ("falls", "crest"): Surface.STONE_TOP,
    ("reaches", "start"): Surface.BED,
    ("reaches", "end"): Surface.BED,
    ("rims", "top"): Surface.GROUND,
    ("laps", "upturn"): Surface.LINER,
}


def with_built(feature: Feature, said: FeatureSaid, levels: Levels) -> Feature:
    """The feature with every level of the file's `built` list in place."""
    filling = levels.filling
    for index, row in enumerate(said.built):
        place = ("built", index, "at")
        try:
            path = ElementPath.parse(row.at)
        except InputError as error:
            filling.wrong(place, error.problems[0].message, found=row.at, allowed=error.problems[0].allowed)
            continue
        surface = BUILT.get((path.collection, path.part))
        if surface is None:
            known = ", ".join(f"{collection}/ID.{part}" for collection, part in BUILT)
            filling.wrong(place, "nothing there is judged as built", found=row.at, allowed=known)
            continue
        level = levels.resolve(row.level, surface, ("built", index, "level"), origin=Origin.BUILT)
        if level is None:
            continue
        changed = _put(feature, path, level)
        if changed is feature:
            filling.wrong(place, "is not an element of this feature", found=row.at)
        feature = changed
    return feature


def _put(feature: Feature, path: ElementPath, level: Level) -> Feature:
    if path.collection == "rims":
        bodies = tuple(
            replace(
                body,
                rims=tuple(
                    replace(rim, ground=level, berm_m=0.0, settlement=0.0) if rim.id == path.id else rim
                    for rim in body.rims
                ),
            )
            for body in feature.bodies
        )
        return feature if bodies == feature.bodies else replace(feature, bodies=bodies)
    if path.collection == "laps":
        found = tuple(replace(lap, upturn=level) if lap.id == path.id else lap for lap in feature.laps)
        return feature if found == feature.laps else replace(feature, laps=found)
    planned = {fall.id: fall.crest for fall in feature.falls}
    streams = tuple(_in_stream(stream, path, level) for stream in feature.streams)
    if streams == feature.streams:
        return feature
    runs = feature.runs
    if path.collection == "falls":  # a run that lifts to this crest lifts to it as built
        runs = tuple(replace(run, outlet_level=level) if run.outlet_level is planned[path.id] else run for run in runs)
    return replace(feature, streams=streams, runs=runs)


def _in_stream(stream: Stream, path: ElementPath, level: Level) -> Stream:
    links: list[Reach | Fall] = []
    for link in stream.links:
        if isinstance(link, Fall) and path.collection == "falls" and link.id == path.id:
            link = replace(link, crest=level)
        elif isinstance(link, Reach) and path.collection == "reaches" and link.id == path.id:
            link = replace(link, bed_start=level) if path.part == "start" else replace(link, bed_end=level)
            link = replace(link, pitch_m=link.bed_start.m - link.bed_end.m)
        links.append(link)
    return replace(stream, links=tuple(links))
