"""A history laid on the long section: where the water's surface stands on paper, time by time, for whoever moves it."""

from __future__ import annotations

import bisect
from collections.abc import Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import (
    Assessment,
    Body,
    Feature,
    Film,
    History,
    Join,
    Judged,
    LongSection,
    NotRun,
    Shape,
    Stream,
)
from rillwright.drawings import histories, long_section
from rillwright.drawings.display import Drawing, Point, View
from rillwright.drawings.profile import between, pools
from rillwright.drawings.section_parts import pool_line, sheet_curve
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of
from rillwright.drawings.words import length, quantity
from rillwright.errors import InputError, Problem

_ROOM_M = 0.02  # over the highest level, within which a body's water is drawn
_FLUSH_M = 5e-4  # nearer than this a level is at the waterline
_RUNS = 0.02  # of the most that ever runs over it: below this nobody sees that a fall runs


class Strip(Struct, frozen=True, kw_only=True):
    """Water over one bed: paper places of its columns and of the bed there [mm], and which column is its first."""

    path: str
    first: int
    x: tuple[float, ...]
    bed: tuple[float, ...]


class Basin(Struct, frozen=True, kw_only=True):
    """A body: outlines of the room that its water fills, and the paper height of its level at each time [mm]."""

    path: str
    outlines: tuple[tuple[Point, ...], ...]
    level: tuple[float, ...]


class Sheet(Struct, frozen=True, kw_only=True):
    """The water over one crest: its line on paper [mm], and its flow at each time over the most that it carries [-]."""

    path: str
    line: tuple[Point, ...]
    share: tuple[float, ...]


class Moment(Struct, frozen=True, kw_only=True):
    """A time [s] at which something happens; the time and what happens in words."""

    time_s: float
    at: str
    words: str


class Motion(Struct, frozen=True, kw_only=True):
    """A history of one stream on paper. `surface` has a row a time with the paper height of every column [mm].

    `streams` are all that can be shown, the first being the one that is shown where none is asked for.
    """

    words: str
    stream: str
    streams: tuple[str, ...]
    stage: Drawing
    chart: Drawing
    axis: histories.Axis
    lasted_s: float
    times_s: tuple[float, ...]
    said: tuple[str, ...]  # what stands where at each time
    strips: tuple[Strip, ...]
    surface: tuple[tuple[float, ...], ...]
    basins: tuple[Basin, ...]
    sheets: tuple[Sheet, ...]
    moments: tuple[Moment, ...]


def draw(
    source: Judged | Assessment,
    index: int,
    *,
    frame_mm: tuple[float, float] = (300.0, 150.0),
    chart_mm: tuple[float, float] = (110.0, 92.0),
    style: DrawingStyle = PLAIN,
    stream: str | None = None,
) -> Motion:
    """One history laid on the long section of one stream.

    Parameters
    ----------
    source
        What was assessed, over time too.
    index
        Which of its histories [-].
    frame_mm
        Width and height of the room for the section [mm].
    chart_mm
        The same for the curves of level and flow [mm].
    style
        The hand.
    stream
        Its id; None: the first.

    Raises
    ------
    InputError
        If nothing was followed over time, there is no such history, or it is too large for its frame.
    """
    assessment = assessment_of(source)
    followed, shape = assessment.over_time, assessment.shape
    if isinstance(followed, NotRun):
        raise InputError(Problem(message=f"nothing was followed over time: {followed.reason}"))
    if isinstance(shape, NotRun) or not shape.sections:
        raise InputError(Problem(message="there is no long section to show it on"))
    if not 0 <= index < len(followed.histories):
        count = len(followed.histories)
        raise InputError(Problem(message="there is no such history", found=str(index), allowed=f"0 to {count - 1}"))
    history = followed.histories[index]
    section = _section(shape, stream)
    bare = DrawingStyle(cap_mm=style.cap_mm, bar=False, stairs=False, still=False)
    stage, view = long_section.placed(assessment, section, frame_mm, bare)
    chart, axis = histories.alone(assessment, history, chart_mm, style)
    streams = tuple(each.stream for each in shape.sections)
    return _laid(assessment.feature, section, history, view, streams=streams, stage=stage, chart=chart, axis=axis)


def _section(shape: Shape, stream: str | None) -> LongSection:
    found = [each for each in shape.sections if stream is None or each.stream == stream]
    if not found:
        known = ", ".join(each.stream for each in shape.sections)
        raise InputError(Problem(message="there is no such stream", found=str(stream)[:60], allowed=known))
    return found[0]


def _laid(
    feature: Feature,
    section: LongSection,
    history: History,
    view: View,
    *,
    streams: tuple[str, ...],
    stage: Drawing,
    chart: Drawing,
    axis: histories.Axis,
) -> Motion:
    course = feature.stream(section.stream)
    film = history.film
    of = [n for n, station in enumerate(film.stations) if station.stream == section.stream]
    strips = tuple(_strips(course, [(film.stations[n].station_m, film.stations[n].bed_m) for n in of], view))
    at = [_row(history.times_s, time) for time in film.times_s]
    return Motion(
        words=histories.case_words(history),
        stream=section.stream,
        streams=streams,
        stage=stage,
        chart=chart,
        axis=axis,
        lasted_s=history.lasted_s,
        times_s=film.times_s,
        said=tuple(_said(feature, history, row, time) for row, time in zip(at, film.times_s, strict=True)),
        strips=strips,
        surface=tuple(tuple(view.y(levels[n]) for n in of) for levels in film.levels_m),
        basins=tuple(_basins(feature, course, section, history, view, at)),
        sheets=tuple(_sheets(course, history, view, at)),
        moments=tuple(sorted(_moments(feature, history), key=lambda moment: moment.time_s)),
    )


def _row(times_s: Sequence[float], time_s: float) -> int:
    """The sample of a trace that lies nearest before a time."""
    return min(max(bisect.bisect_right(times_s, time_s) - 1, 0), len(times_s) - 1)


def _strips(course: Stream, stations: Sequence[tuple[float, float]], view: View) -> Iterator[Strip]:
    """Columns bed by bed; the first and the last one reach to the ends of their bed."""
    first = 0
    for reach in course.reaches:
        end = reach.station_m + reach.length_m
        beyond = next((n for n in range(first, len(stations)) if stations[n][0] > end), len(stations))
        here = stations[first:beyond]
        if here:
            xs = [view.put(station, 0.0)[0] for station, _ in here]
            xs[0], xs[-1] = view.put(reach.station_m, 0.0)[0], view.put(end, 0.0)[0]
            pool = pool_line(course, reach)
            beds = [pool[0][1] if pool and station <= pool[-1][0] else bed for station, bed in here]
            yield Strip(path=f"reaches/{reach.id}", first=first, x=tuple(xs), bed=tuple(view.y(bed) for bed in beds))
        first = beyond


def _basins(
    feature: Feature, course: Stream, section: LongSection, history: History, view: View, at: Sequence[int]
) -> Iterator[Basin]:
    """The body that the stream runs into, or the bed that it joins: all that its section shows past its end."""
    bed = between(section.bed, section.length_m, max(station for station, _ in section.bed))
    if course.joins is not None:
        yield _joined(history.film, course.joins, bed, view)
        return
    for trace in history.levels:
        body = feature.body(trace.path.partition("/")[2])
        if body.id != course.into:
            continue
        top = max(*trace.level_m, body.waterline.m) + _ROOM_M
        yield Basin(
            path=trace.path,
            outlines=tuple(view.line(polygon) for polygon in pools(bed, lambda _, top=top: top)),  # type: ignore[misc]
            level=tuple(view.y(trace.level_m[row]) for row in at),
        )


def _joined(film: Film, joins: Join, bed: Sequence[tuple[float, float]], view: View) -> Basin:
    """The water of the bed that a stream joins, at the place of the film that is nearest to the joint."""
    on = [n for n, station in enumerate(film.stations) if station.stream == joins.stream]
    near = min(on, key=lambda n: abs(film.stations[n].station_m - joins.station_m))
    levels = [row[near] for row in film.levels_m]
    top = max(levels) + _ROOM_M
    return Basin(
        path=f"reaches/{joins.reach}",
        outlines=tuple(view.line(polygon) for polygon in pools(tuple(bed), lambda _: top)),
        level=tuple(view.y(level) for level in levels),
    )


def _sheets(course: Stream, history: History, view: View, at: Sequence[int]) -> Iterator[Sheet]:
    flows = {trace.path: trace.flow_m3s for trace in history.crests}
    for fall in course.falls:
        flow = flows.get(f"falls/{fall.id}", ())
        most = max(flow, default=0.0)
        if most > 0.0:
            yield Sheet(
                path=f"falls/{fall.id}",
                line=sheet_curve(view, fall.station_m, fall.crest.m, fall.foot.m),
                share=tuple(max(flow[row], 0.0) / most for row in at),
            )


def _said(feature: Feature, history: History, row: int, time_s: float) -> str:
    """Levels and falls at one time, as one reads them aloud."""
    system = feature.system
    parts = [
        f"{trace.path.partition('/')[2]} {_off(feature.body(trace.path.partition('/')[2]), trace.level_m[row], system)}"
        for trace in history.levels
    ]
    most = max((flow for trace in history.crests for flow in trace.flow_m3s), default=0.0)
    running = [t.path.partition("/")[2] for t in history.crests if t.flow_m3s[row] > max(_RUNS * most, 1e-9)]
    if len(running) == len(history.crests):
        parts.append("all falls run")
    else:
        parts.append(f"water over {', '.join(running)}" if running else "no fall runs")
    when = f"After {quantity(time_s, 'time', system)}" if time_s > 0.0 else "When it begins"
    return f"{when}: {'; '.join(parts)}."


def _off(body: Body, level_m: float, system: str) -> str:
    """A level of a body by how far it is from the waterline."""
    off = level_m - body.waterline.m
    if abs(off) < _FLUSH_M:
        return "at its waterline"
    return f"{length(abs(off), system)} {'below' if off < 0.0 else 'above'} its waterline"


def _moments(feature: Feature, history: History) -> Iterator[Moment]:
    for time_s, words in _happens(feature, history):
        yield Moment(time_s=time_s, at=quantity(time_s, "time", feature.system), words=words)


def _happens(feature: Feature, history: History) -> Iterator[tuple[float, str]]:
    for fall in history.falls:
        if fall.first_s is not None:
            yield fall.first_s, f"{fall.fall} runs"
    for run in history.bodies:
        body = feature.body(run.body)
        for name, level, when in (("lowest", run.lowest_m, run.lowest_s), ("highest", run.highest_m, run.highest_s)):
            if when > 0.0 and abs(level - run.begin_m) > _FLUSH_M:
                yield when, f"{run.body} {name}: {_off(body, level, feature.system)}"
    if history.air_s is not None:
        yield history.air_s, "the pump sucks air"
    if not (history.air_s == history.lasted_s and "air" in history.why):
        yield history.lasted_s, history.why
