"""The pump's curve against what the pipe asks for, each with its band, and the points at which they meet."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, Judged, NotRun, PumpPoint
from rillwright.drawings import labels
from rillwright.drawings.display import Area, Box, Circle, Drawing, Item, Point, Polyline, Text, group
from rillwright.drawings.expand import flat
from rillwright.drawings.graph import Window, foot_axis, side_axis, ticks
from rillwright.drawings.measure import text_box
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.words import quantity

NAME = "What the pump gives"
_FLOW = {"us": ("US gal/h", "flow", "US gal/h"), "metric": ("L/s", "flow", "L/s")}
_HEAD = {"us": ("ft", "length", "ft"), "metric": ("m", "length", "m")}
_APART_MM = 2.0  # a case nearer than this to the usual point is told in the table alone
_SAME_M = 1e-3  # heads nearer to each other are one
_RANGE_MM = 1.3  # height of the bar of the preferred range


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
    ends = [each for each in assessment.water.circuit.outlets if each.run == points[0].run and each.id]
    last = max(ends, key=lambda each: each.level_m).id if ends else ""
    return _Chart(points[0], assessment.feature.system, frame_mm, style, last=last).drawing(assessment.feature.name)


class _Chart:
    """Axes in the reader's units, curves in SI put on them."""

    def __init__(
        self, point: PumpPoint, system: str, frame_mm: tuple[float, float], style: DrawingStyle, *, last: str
    ) -> None:
        self.point, self.system, self.style = point, system, style
        self.last = last  # of several outlets the highest, which is the last to run
        self.meets = (point.flow_m3s.value, point.head_m.value)
        if point.proposed:
            self.meets = (point.duty_flow_m3s, point.duty_head_m)
        self.width, self.height = frame_mm
        cap = style.cap_mm
        box = Box(left=9.0 + 4 * cap, right=self.width - 4.0, top=4.0 + 1.5 * cap, bottom=self.height - 6 * cap)
        curves = (*point.pump_curve, *point.system_curve)
        most_q = 1.05 * max(
            max((q for q, _ in point.pump_curve), default=0.0), point.flow_m3s.high, self.meets[0], 1e-6
        )
        in_sight = [h for q, h in curves if q <= most_q]
        most_h = 1.12 * max(*in_sight, point.head_m.high, self.meets[1], 1e-3)
        self.window = Window(box=box, right=most_q, top=most_h)

    def drawing(self, name: str) -> Drawing:
        point, window = self.point, self.window
        pump, asked = window.line(point.pump_curve), window.line(point.system_curve)
        items: list[Item] = [group("axes", self._axes()), *self._bands()]
        if len(pump) > 1:
            items.append(group("pump curve", (Polyline(points=pump, pen="ink"),), path=f"pumps/{point.pump}"))
        if len(asked) > 1:
            items.append(group("pipe", (Polyline(points=asked, pen="water"),), path=f"runs/{point.run}"))
        items += self._preferred()
        wanted = self._wanted()
        items += wanted
        centre = window.at(*self.meets)
        cases = [] if point.proposed else self._cases(centre)
        items += [Circle(centre=at, radius_mm=0.7, pen="ink", fill="paper") for _, at in cases]
        items.append(Circle(centre=centre, radius_mm=1.0, pen="ink", fill="paper" if point.proposed else "ink"))
        box = window.box
        placing = labels.place(
            tuple(self._words(pump, asked, centre, cases)),
            Box(left=box.left + 1.0, right=box.right, top=box.top, bottom=box.bottom - 0.5),
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

    def _bands(self) -> Iterator[Item]:
        """Where each curve may really lie; what both cover is where the point may be."""
        for name, band, fill in (
            ("pump band", self.point.pump_band, "stone wash"),
            ("pipe band", self.point.system_band, "water wash"),
        ):
            found = self.window.strip(*band, fill=fill) if len(band) == 2 else None
            if found is not None:
                yield group(name, (found,))

    def _preferred(self) -> Iterator[Item]:
        """The pump's preferred range as a bar on the foot; of several pumps each has its own, told in words."""
        ranges = [each.preferred_m3s for each in self.point.pumps]
        if len(ranges) != 1 or ranges[0] is None:
            return
        box = self.window.box
        left, right = (min(self.window.x(q), box.right) for q in ranges[0])
        top = box.bottom - _RANGE_MM
        corners = ((left, top), (right, top), (right, box.bottom), (left, box.bottom))
        yield group("preferred range", (Area(points=corners, fill="quiet"),), path=f"pumps/{self.point.pump}")

    def _wanted(self) -> list[Item]:
        """The flow that is wished for, as a line upright."""
        if not 0.0 < self.point.wanted_m3s < self.window.right:
            return []
        x, box = self.window.x(self.point.wanted_m3s), self.window.box
        return [group("wished", (Polyline(points=((x, box.bottom), (x, box.top)), pen="wished"),))]

    def _cases(self, centre: Point) -> list[tuple[str, Point]]:
        """The points of other cases that can be told apart from the usual one."""
        found = [(each.case, self.window.at(each.flow_m3s, each.head_m)) for each in self.point.cases]
        return [(case, at) for case, at in found if case != "clean" and math.dist(at, centre) >= _APART_MM]

    def _words(
        self, pump: tuple[Point, ...], asked: tuple[Point, ...], centre: Point, cases: list[tuple[str, Point]]
    ) -> Iterator[labels.Label]:
        point, cap, window = self.point, self.style.cap_mm, self.window
        path = f"runs/{point.run}"
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
            of=f"{path} duty" if point.proposed else f"{path} flow; {path} head",
        )
        for case, at in cases:
            away = (at[0] - centre[0] or -1.0, at[1] - centre[1] or 1.0)
            yield labels.Label(
                text=case, at=at, size_mm=cap, towards=away, rank=2, clear_of=clear, of=f"{path} in case: {case}"
            )
        if 0.0 < point.wanted_m3s < window.right:
            places = [(window.x(point.wanted_m3s), window.y(share * window.top)) for share in (0.9, 0.12, 0.75, 0.3)]
            yield labels.Label(
                text=f"wished for, {quantity(point.wanted_m3s, 'flow', self.system)}", at=places[0],
                also=tuple(places[1:]), size_mm=cap, colour="quiet", towards=(-1.0, 0.0), rank=3,
                of=f"{path} wished",
            )  # fmt: skip
        kink = self._kink()
        if kink is not None:
            yield labels.Label(
                text=f"from here outlet {self.last} runs too", at=window.at(*kink), size_mm=cap, colour="water",
                towards=(0.4, 1.0), rank=2, clear_of=clear,
            )  # fmt: skip
        ranges = [each.preferred_m3s for each in point.pumps]
        if len(ranges) == 1 and ranges[0] is not None:
            middle = min(sum(ranges[0]) / 2, window.right)
            yield labels.Label(
                text="preferred range", at=(window.x(middle), window.box.bottom - _RANGE_MM), size_mm=cap,
                colour="quiet", towards=(0.0, -1.0), rank=3,
            )  # fmt: skip
        for line, words, colour in (
            (pump, point.pump if point.pump.startswith("pump") else f"pump {point.pump}", "ink"),
            (asked, f"pipe {point.pipe}", "water"),
        ):
            if len(line) > 1:
                places = [line[len(line) * share // 10] for share in (2, 1, 3, 8, 9, 4, 6)]
                yield labels.Label(
                    text=words, at=places[0], also=tuple(places[1:]), size_mm=cap, colour=colour, towards=(0.2, -1.0)
                )

    def _kink(self) -> tuple[float, float] | None:
        """Flow and head [m3/s, m] from which the highest of several outlets runs; None where it does from the first."""
        curve, lift = self.point.system_curve, self.point.static_m
        if not self.last or len(curve) < 2 or curve[0][1] >= lift - _SAME_M:
            return None
        for (q0, h0), (q1, h1) in itertools.pairwise(curve):
            if h0 < lift <= h1:
                return q0 + (q1 - q0) * (lift - h0) / (h1 - h0), lift
        return None

    def _axes(self) -> list[Item]:
        window, box, cap = self.window, self.window.box, self.style.cap_mm
        flow, flow_kind, flow_shown = _FLOW[self.system]
        head, head_kind, head_shown = _HEAD[self.system]
        return [
            *foot_axis(window, ticks(window.right, flow, flow_kind), size_mm=cap),
            *side_axis(window, ticks(window.top, head, head_kind), size_mm=cap),
            Text(
                x=(box.left + box.right) / 2, y=box.bottom + 4.2 + 2.4 * cap, text=f"flow, {flow_shown}", size_mm=cap,
                anchor="middle",
            ),
            Text(x=1.0, y=box.top - 1.0, text=f"head, {head_shown}", size_mm=cap),
        ]  # fmt: skip
