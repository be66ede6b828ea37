"""The pump's curve against what the pipe asks for, and the point at which they meet, with its band."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, Judged, NotRun, PumpPoint
from rillwright.drawings import labels
from rillwright.drawings.display import Area, Box, Circle, Drawing, Item, Point, Polyline, Text, group
from rillwright.drawings.expand import flat
from rillwright.drawings.measure import text_box
from rillwright.drawings.scale import nice_below
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.words import quantity, typeset
from rillwright.units import parse, show_range, style_for

NAME = "What the pump gives"
_FLOW = {"us": ("US gal/h", "flow", "US gal/h"), "metric": ("L/s", "flow", "L/s")}
_HEAD = {"us": ("ft", "length", "ft"), "metric": ("m", "length", "m")}


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (150.0, 95.0),
    style: DrawingStyle = PLAIN,
    run: str | None = None,
) -> Drawing:
    """Pump curve, system curve and operating point of one pipe run.

    Parameters
    ----------
    source
        What was assessed.
    frame_mm
        Width and height of the room [mm].
    style
        The hand.
    run
        Its id; None: the first.
    """
    assessment = assessment_of(source)
    if isinstance(assessment.water, NotRun):
        return nothing(NAME, frame_mm, assessment.water.reason, style=style)
    points = [p for p in assessment.water.circuit.pumps if run is None or p.run == run]
    if not points:
        return nothing(NAME, frame_mm, "there is no pump", style=style)
    if points[0].duty_head_m <= 0.0:
        reason = "the outlet lies below the water that it is drawn from: there is no height to pump up"
        return nothing(NAME, frame_mm, reason, style=style)
    return _Chart(points[0], assessment.feature.system, frame_mm, style).drawing(assessment.feature.name)


class _Chart:
    """Axes in the reader's units, curves in SI put on them."""

    def __init__(self, point: PumpPoint, system: str, frame_mm: tuple[float, float], style: DrawingStyle) -> None:
        self.point, self.system, self.style = point, system, style
        self.meets = (point.flow_m3s.value, point.head_m.value)
        if point.proposed:
            self.meets = (point.duty_flow_m3s, point.duty_head_m)
        self.width, self.height = frame_mm
        cap = style.cap_mm
        self.box = Box(left=9.0 + 4 * cap, right=self.width - 4.0, top=4.0 + 1.5 * cap, bottom=self.height - 6 * cap)
        curves = (*point.pump_curve, *point.system_curve)
        self.most_q = 1.05 * max(
            max((q for q, _ in point.pump_curve), default=0.0), point.flow_m3s.high, self.meets[0], 1e-6
        )
        in_sight = [h for q, h in curves if q <= self.most_q]
        self.most_h = 1.12 * max(*in_sight, point.head_m.high, self.meets[1], 1e-3)

    def at(self, flow_m3s: float, head_m: float) -> Point:
        """Paper place [mm] of a flow [m3/s] and a head [m]."""
        x = self.box.left + self.box.width * flow_m3s / self.most_q
        return (x, self.box.bottom - self.box.height * head_m / self.most_h)

    def drawing(self, name: str) -> Drawing:
        point = self.point
        pump, asked = self._curve(point.pump_curve), self._curve(point.system_curve)
        items: list[Item] = [group("axes", tuple(self._axes()))]
        if not point.proposed:
            items.append(self._band())
        if len(pump) > 1:
            items.append(group("pump curve", (Polyline(points=pump, pen="ink"),), path=f"pumps/{point.pump}"))
        if len(asked) > 1:
            items.append(group("pipe", (Polyline(points=asked, pen="water"),), path=f"runs/{point.run}"))
        centre = self.at(*self.meets)
        items.append(Circle(centre=centre, radius_mm=1.0, pen="ink", fill="paper" if point.proposed else "ink"))
        placing = labels.place(
            tuple(self._words(pump, asked, centre)),
            Box(left=self.box.left + 1.0, right=self.box.right, top=self.box.top, bottom=self.box.bottom - 0.5),
            taken=[text_box(item) for item in flat(items) if isinstance(item, Text)],
            lines=[line for line in (pump, asked) if len(line) > 1],
        )
        items += labels.items(placing, ground=lambda at: "paper")
        flow, head = (
            quantity(value, kind, self.system) for value, kind in zip(self.meets, ("flow", "length"), strict=True)
        )
        return Drawing(
            name=NAME, alt=f"Pump of run {point.run} of {name}: {flow} at {head}", width_mm=self.width,
            height_mm=self.height, items=tuple(items), key=placing.key,
        )  # fmt: skip

    def _curve(self, curve: tuple[tuple[float, float], ...]) -> tuple[Point, ...]:
        return tuple(self.at(q, h) for q, h in curve if 0 <= q <= self.most_q and 0 <= h <= self.most_h)

    def _band(self) -> Item:
        """Where the point may really lie."""
        flow, head = self.point.flow_m3s, self.point.head_m
        corners = tuple(
            self.at(q, h)
            for q, h in ((flow.low, head.low), (flow.high, head.low), (flow.high, head.high), (flow.low, head.high))
        )
        return group("band", (Area(points=corners, fill="stone wash"),))

    def _words(self, pump: tuple[Point, ...], asked: tuple[Point, ...], centre: Point) -> Iterator[labels.Label]:
        point, cap = self.point, self.style.cap_mm
        said_band = typeset(show_range(point.flow_m3s.low, point.flow_m3s.high, "flow", style=style_for(self.system)))
        flow, head = quantity(self.meets[0], "flow", self.system), quantity(self.meets[1], "length", self.system)
        clear = (Box(left=centre[0], right=centre[0], top=centre[1], bottom=centre[1]).grown(1.5),)
        said = "proposed: to be chosen for" if point.proposed else "works at"
        yield labels.Label(
            text=f"{said} {flow}, {head}",
            at=centre,
            size_mm=cap,
            weight="semibold",
            towards=(1.0, -1.0),
            rank=0,
            clear_of=clear,
        )
        if not point.proposed:
            yield labels.Label(
                text=f"may be {said_band}", at=centre, size_mm=cap, towards=(1.0, 1.0), rank=1, clear_of=clear
            )
        for line, words, colour in (
            (pump, point.pump if point.pump.startswith("pump") else f"pump {point.pump}", "ink"),
            (asked, f"pipe {point.pipe}", "water"),
        ):
            if len(line) > 1:
                places = [line[len(line) * share // 10] for share in (2, 1, 3, 8, 9, 4, 6)]
                yield labels.Label(
                    text=words, at=places[0], also=tuple(places[1:]), size_mm=cap, colour=colour, towards=(0.2, -1.0)
                )

    def _axes(self) -> Iterator[Item]:
        box, cap = self.box, self.style.cap_mm
        yield Polyline(points=((box.left, box.top), (box.left, box.bottom), (box.right, box.bottom)), pen="ink")
        name, kind, shown = _FLOW[self.system]
        for text, value in _ticks(self.most_q, name, kind):
            x, _ = self.at(value, 0.0)
            yield Polyline(points=((x, box.bottom), (x, box.bottom + 1.2)), pen="ink")
            yield Polyline(points=((x, box.bottom), (x, box.top)), pen="grid")
            yield Text(x=x, y=box.bottom + 2.2 + cap, text=text, size_mm=cap, anchor="middle")
        yield Text(
            x=(box.left + box.right) / 2,
            y=box.bottom + 4.2 + 2.4 * cap,
            text=f"flow, {shown}",
            size_mm=cap,
            anchor="middle",
        )
        name, kind, shown = _HEAD[self.system]
        for text, value in _ticks(self.most_h, name, kind):
            _, y = self.at(0.0, value)
            yield Polyline(points=((box.left, y), (box.left - 1.2, y)), pen="ink")
            yield Polyline(points=((box.left, y), (box.right, y)), pen="grid")
            yield Text(x=box.left - 2.2, y=y + cap / 2, text=text, size_mm=cap, anchor="end")
        yield Text(x=1.0, y=box.top - 1.0, text=f"head, {shown}", size_mm=cap)


def _ticks(most: float, name: str, kind: str) -> Iterator[tuple[str, float]]:
    """Round numbers of a unit from nothing to `most` [SI], each with its SI value."""
    size = float(parse(f"1 {name}", kind).si)
    step = nice_below(most / size / 4)
    for index in range(1, math.floor(most / size / step) + 1):
        yield f"{round(index * step, 6):g}", index * step * size
