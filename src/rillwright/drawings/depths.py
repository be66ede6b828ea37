"""How deep the water stands over its bed along a stream, heights drawn large: running, at rest, half blocked."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import Assessment, Fall, Judged, NotRun, Reach, ReachWater, Stream, Water
from rillwright.drawings import labels
from rillwright.drawings.display import Area, Box, Drawing, Item, Point, Polyline, Text, group
from rillwright.drawings.expand import flat
from rillwright.drawings.graph import Window, side_axis, ticks
from rillwright.drawings.layout import spread
from rillwright.drawings.measure import text_box, width_mm
from rillwright.drawings.section_parts import HALF_BLOCKED
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.words import length

NAME = "How deep the water runs"
SHOOTING = 0.7  # Froude number from which it is said [-]: near one the surface is unsteady (common practice, no source)
_DEPTH = {"us": ("in", "length", "in"), "metric": ("mm", "length", "mm")}
_LEAST_M = 0.02
_CREST_MM = 1.6  # width of the mark of a crest


class _Bed(Struct, frozen=True, kw_only=True):
    """One reach: depths over its bed [m] at stations [m]."""

    reach: Reach
    water: ReachWater
    crest: Fall | None
    stations: tuple[float, ...]
    low: tuple[float, ...]
    usual: tuple[float, ...]
    high: tuple[float, ...]
    rest: tuple[float, ...]  # empty where it drains dry
    blocked: tuple[float, ...]  # empty where no level of it is known


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (177.0, 70.0),
    style: DrawingStyle = PLAIN,
    stream: str | None = None,
) -> Drawing:
    """Depths along one stream, the bed of every reach on one line.

    Parameters
    ----------
    source
        What was assessed.
    frame_mm
        Width and height of the room [mm].
    style
        The hand.
    stream
        Its id; None: the first.
    """
    assessment = assessment_of(source)
    water = assessment.water
    if isinstance(water, NotRun):
        return nothing(NAME, frame_mm, water.reason, style=style)
    if not assessment.feature.streams:
        return nothing(NAME, frame_mm, "there is no stream", style=style)
    course = next(each for each in assessment.feature.streams if stream is None or each.id == stream)
    beds = tuple(_beds(course, water))
    if not beds:
        return nothing(NAME, frame_mm, "no water runs in it over the bed", style=style)
    return _Depths(course, beds, frame_mm, style, assessment.feature.system).drawing()


def _beds(course: Stream, water: Water) -> Iterator[_Bed]:
    crests = {link.upstream: link for link in course.links if isinstance(link, Fall)}
    for reach in course.reaches:
        wet = water.wet(reach.id)
        profile = wet.profile if wet is not None else None
        if wet is None or profile is None:
            continue
        levels = [high.level_m.value for high in water.highest if (high.path, high.case) == (wet.path, HALF_BLOCKED)]
        yield _Bed(
            reach=reach,
            water=wet,
            crest=crests.get(reach.downstream),
            stations=profile.stations_m,
            low=tuple(depth.low for depth in profile.depths_m),
            usual=tuple(depth.value for depth in profile.depths_m),
            high=tuple(depth.high for depth in profile.depths_m),
            rest=_over(profile.beds_m, wet.rest_level_m),
            blocked=_over(profile.beds_m, max(levels)) if levels and wet.pool_like else (),
        )


def _over(beds_m: Sequence[float], level_m: float | None) -> tuple[float, ...]:
    return () if level_m is None else tuple(max(level_m - bed, 0.0) for bed in beds_m)


class _Depths:
    """Stations to scale along the foot, depths up the side."""

    def __init__(
        self, course: Stream, beds: Sequence[_Bed], frame_mm: tuple[float, float], style: DrawingStyle, system: str
    ) -> None:
        self.course, self.beds, self.style, self.system = course, beds, style, system
        self.width, self.height = frame_mm
        cap = style.cap_mm
        box = Box(left=6.0 + 3.5 * cap, right=self.width - 6.0, top=3.0 + 2.4 * cap, bottom=self.height - 5.4 * cap)
        most = max(max(*bed.high, *bed.rest, *bed.blocked, _LEAST_M) for bed in beds)
        end = max(bed.reach.station_m + bed.reach.length_m for bed in beds)
        self.window = Window(box=box, right=end, top=1.12 * most)

    def drawing(self) -> Drawing:
        cap, box = self.style.cap_mm, self.window.box
        unit, kind, shown = _DEPTH[self.system]
        axis = side_axis(self.window, ticks(self.window.top, unit, kind), size_mm=cap)
        axis.append(Text(x=1.0, y=cap + 0.5, text=f"depth over the bed, {shown}", size_mm=cap))
        items: list[Item] = [group("axes", axis), *self._wash(), *self._lines(), *self._feet()]
        lines = [self.window.line(zip(bed.stations, bed.usual, strict=True)) for bed in self.beds]
        placing = labels.place(
            tuple(self._words()),
            Box(left=box.left + 0.5, right=self.width - 1.0, top=box.top - 0.5, bottom=box.bottom - 0.3),
            taken=[text_box(item) for item in flat(items) if isinstance(item, Text)],
            lines=lines,
        )
        items += labels.items(placing, ground=lambda at: "paper")
        wide, high = box.width / self.window.right, box.height / self.window.top
        return Drawing(
            name=NAME,
            alt=f"Depth of the water along stream {self.course.id}: {len(self.beds)} beds",
            width_mm=self.width,
            height_mm=self.height,
            items=tuple(items),
            notes=(f"heights drawn {high / wide:.0f} times their true size",),
            key=placing.key,
        )

    def _wash(self) -> Iterator[Item]:
        for bed in self.beds:
            foot = [(station, 0.0) for station in bed.stations]
            under = self.window.strip(foot, list(zip(bed.stations, bed.low, strict=True)), fill="water wash")
            band = self.window.strip(
                list(zip(bed.stations, bed.low, strict=True)), list(zip(bed.stations, bed.high, strict=True)),
                fill="water band",
            )  # fmt: skip
            yield group("water", [area for area in (under, band) if area is not None], path=bed.water.path)

    def _lines(self) -> Iterator[Item]:
        for bed in self.beds:
            for depths, pen in ((bed.blocked, "water blocked"), (bed.rest, "water at rest"), (bed.usual, "water")):
                if depths:
                    line = self.window.line(zip(bed.stations, depths, strict=True))
                    yield group("surface", (Polyline(points=line, pen=pen),), path=bed.water.path)
            if bed.crest is not None:
                yield self._crest(bed, bed.crest)

    def _crest(self, bed: _Bed, crest: Fall) -> Item:
        """The spill stone at the end of the bed, as high as it stands over it."""
        x, foot = self.window.x(crest.station_m), self.window.box.bottom
        top = self.window.y(min(max(crest.crest.m - bed.reach.bed_end.m, 0.0), self.window.top))
        corners = ((x - _CREST_MM, top), (x, top), (x, foot), (x - _CREST_MM, foot))
        return group("crest", (Area(points=corners, fill="stone wash", pen="stone"),), path=f"falls/{crest.id}")

    def _feet(self) -> Iterator[Item]:
        """The bed as one line; crests with their stations below it."""
        cap, box = self.style.cap_mm, self.window.box
        yield Polyline(points=((box.left, box.bottom), (box.right, box.bottom)), pen="bed")
        crests = [bed.crest for bed in self.beds if bed.crest is not None]
        words = [(crest.id, length(crest.station_m, self.system)) for crest in crests]
        stations = [f"falls/{crest.id}.station" for crest in crests]
        sizes = [max(width_mm(a, cap, weight="semibold"), width_mm(b, cap)) for a, b in words]
        xs = [self.window.x(crest.station_m) for crest in crests]
        lefts = spread([x - size / 2 for x, size in zip(xs, sizes, strict=True)], sizes, 1.0, self.width - 1.0, gap=1.5)
        if lefts is None:
            return
        for x, left, size, (name, station), of in zip(xs, lefts, sizes, words, stations, strict=True):
            middle = left + size / 2
            yield Polyline(points=((x, box.bottom), (middle, box.bottom + 1.6)), pen="leader")
            yield Text(x=middle, y=box.bottom + 2.2 + cap, text=name, size_mm=cap, anchor="middle", weight="semibold")
            yield Text(
                x=middle, y=box.bottom + 3.2 + 2.4 * cap, text=station, size_mm=cap, anchor="middle", colour="quiet",
                of=of,
            )  # fmt: skip

    def _words(self) -> Iterator[labels.Label]:
        """Each line's words once, where it has most room; a Froude number or a jump where it matters."""
        beds = sorted(self.beds, key=lambda bed: -bed.reach.length_m)
        for words, depths, way in (
            ("half blocked", [bed.blocked for bed in beds], -1.0),
            ("running", [bed.usual for bed in beds], 1.0),
            ("at rest", [bed.rest for bed in beds], 1.0),
        ):
            places = [self._middle(bed, these) for bed, these in zip(beds, depths, strict=True) if these]
            if places:
                yield labels.Label(
                    text=words, at=places[0], also=tuple(places[1:4]), size_mm=self.style.cap_mm, colour="water",
                    towards=(0.0, way), rank=1,
                )  # fmt: skip
        for bed in self.beds:
            yield from self._unsteady(bed)

    def _middle(self, bed: _Bed, depths: Sequence[float]) -> Point:
        at = len(bed.stations) // 2
        return self.window.at(bed.stations[at], depths[at])

    def _unsteady(self, bed: _Bed) -> Iterator[labels.Label]:
        profile, cap = bed.water.profile, self.style.cap_mm
        assert profile is not None
        fastest = max(range(len(profile.froudes)), key=lambda n: profile.froudes[n])
        if profile.froudes[fastest] >= SHOOTING and math.isfinite(profile.froudes[fastest]):
            yield labels.Label(
                text=f"Froude {profile.froudes[fastest]:.1f}",
                at=self.window.at(bed.stations[fastest], bed.usual[fastest]),
                size_mm=cap, colour="watch", towards=(0.3, -1.0), rank=2, of=f"{bed.water.path} Froude",
            )  # fmt: skip
        for station in profile.jumps_m:
            yield labels.Label(
                text="jump", at=self.window.at(station, bed.usual[0]), size_mm=cap, colour="watch",
                towards=(0.3, -1.0), rank=2,
            )  # fmt: skip
