"""Starts and stops over time in small multiples: the level of each body, the flow over each fall, one column a case."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import Assessment, Body, BodyRun, FallRun, Feature, History, Judged, NotRun
from rillwright.drawings import labels
from rillwright.drawings.display import Area, Box, Circle, Drawing, Item, Polyline, Text, group
from rillwright.drawings.expand import flat
from rillwright.drawings.graph import Window, clock, foot_axis, ticks
from rillwright.drawings.measure import text_box, width_mm
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.words import length, quantity

NAME = "What happens at start and stop"
SHOWN = ("first start", "start", "stop")
WORDS = {
    "first start": "first start, from dry",
    "start": "start, pools full",
    "stop": "stop",
    "power cut": "power cut",
    "restart": "start again after it",
    "half blocked": "stream half blocked",
    "stop, half blocked": "stop, half blocked",
    "leaf dam": "leaves caught on every crest",
    "dirty intake": "dirty intake",
    "leak": "stream out of its liner",
}
_HELD = {"while running": "topped up while running", "at rest": "topped up at rest only"}
_MARGIN_MM = 2.0
_GAP_MM = 7.0  # between two columns
_LEAST_M = 0.01  # so much of a level is shown, however still it stands
_ROUND_MM = 3.0  # round the words of a mark
_LEVELS = 3  # lines of level, about
_LEVEL_SHARE = 0.42  # of the height, for the levels


class Axis(Struct, frozen=True, kw_only=True):
    """Where the times of a graph lie on paper [mm], for a mark that moves along it."""

    left: float
    right: float
    top: float
    bottom: float
    lasted_s: float


def case_words(history: History, *, held: bool = False) -> str:
    """What a history is of, and how the level was held where that makes a difference."""
    words = WORDS.get(history.case, history.case)
    return f"{words}, {_HELD.get(history.holding, history.holding)}" if held else words


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (180.0, 120.0),
    style: DrawingStyle = PLAIN,
    histories: Sequence[History] | None = None,
) -> Drawing:
    """Levels and flows of the first start, a start and a stop side by side.

    Parameters
    ----------
    source
        What was assessed, over time too.
    frame_mm
        Width and height of the room [mm].
    style
        The hand.
    histories
        Those to draw; None: the first start, a start from rest, the highest stop.
    """
    assessment = assessment_of(source)
    followed = assessment.over_time
    if isinstance(followed, NotRun):
        return nothing(NAME, frame_mm, followed.reason, style=style)
    chosen = starts_and_stop(followed.histories) if histories is None else tuple(histories)
    return _Multiples(assessment.feature, chosen, frame_mm, style).drawing()


def alone(
    assessment: Assessment, history: History, frame_mm: tuple[float, float], style: DrawingStyle
) -> tuple[Drawing, Axis]:
    """One history in a frame [mm], and where its times lie there."""
    found = _Multiples(assessment.feature, (history,), frame_mm, style)
    return found.drawing(), found.axis(0)


def starts_and_stop(histories: Sequence[History]) -> tuple[History, ...]:
    """The first start, a start, and the stop after which a body stands highest."""
    found = [each for case in SHOWN[:2] for each in histories if each.case == case][:2]
    stops = [each for each in histories if each.case == SHOWN[2]]
    if stops:
        found.append(max(stops, key=lambda each: max(body.highest_m for body in each.bodies)))
    return tuple(found)


class _Multiples:
    """One column a history, rows that all have in common."""

    def __init__(
        self, feature: Feature, histories: Sequence[History], frame_mm: tuple[float, float], style: DrawingStyle
    ) -> None:
        self.feature, self.histories, self.style = feature, histories, style
        self.system, (self.width, self.height) = feature.system, frame_mm
        cap = style.cap_mm
        self.bodies = [feature.body(each.body) for each in histories[0].bodies]
        self.falls = [each.fall for each in histories[0].falls]
        names = [width_mm(fall, cap, weight="semibold") for fall in self.falls]
        self.left = _MARGIN_MM + max([*names, width_mm("waterline", cap)]) + 2.0
        gaps = _GAP_MM * (len(histories) - 1)
        self.column_mm = (self.width - _MARGIN_MM - 4.0 - self.left - gaps) / len(histories)
        self.top, self.bottom = 4.2 * cap + 2.0, self.height - 2.0 * cap - 4.0
        self.most_m3s = max((q for each in histories for trace in each.crests for q in trace.flow_m3s), default=0.0)
        self.items: list[Item] = []
        self.said: list[Item] = []
        self.key: list[tuple[int, str]] = []

    def axis(self, column: int) -> Axis:
        """Where the times of a column lie."""
        left = self.left + column * (self.column_mm + _GAP_MM)
        return Axis(
            left=left, right=left + self.column_mm, top=self.top, bottom=self.bottom,
            lasted_s=self.histories[column].lasted_s,
        )  # fmt: skip

    def drawing(self) -> Drawing:
        for column, history in enumerate(self.histories):
            axis = self.axis(column)
            self._head(history, axis)
            for row, body in enumerate(self.bodies):
                self._level(body, history, axis, row, first=column == 0)
            for row, fall in enumerate(history.falls):
                self._fall(fall, history, axis, row, first=column == 0)
            self._clock(axis)
        cap = self.style.cap_mm
        if self.falls:
            words = f"flow over each fall; full height {quantity(self.most_m3s, 'flow', self.system)}"
            y = self._rows()[1] - 1.2
            self.said.append(Text(x=self.left, y=y, text=words, size_mm=cap, colour="quiet", italic=True))
        cases = ", ".join(case_words(history) for history in self.histories)
        return Drawing(
            name=NAME, alt=f"Levels and flows over time of {self.feature.name}: {cases}", width_mm=self.width,
            height_mm=self.height, items=(*self.items, *self.said), key=tuple(self.key),
        )  # fmt: skip

    def _rows(self) -> tuple[float, float, float]:
        """Height of one level's room, top of the falls, height of one fall's strip [mm]."""
        high, caption = self.bottom - self.top, 2.2 * self.style.cap_mm
        levels = high * _LEVEL_SHARE if self.falls else high
        strips = max(len(self.falls), 1)
        return levels / max(len(self.bodies), 1), self.top + levels + caption, (high - levels - caption) / strips

    def _head(self, history: History, axis: Axis) -> None:
        cap = self.style.cap_mm
        lines = (case_words(history), _HELD.get(history.holding, history.holding))
        for index, words in enumerate(lines):
            self.said.append(
                Text(
                    x=axis.left, y=(1.4 + 1.7 * index) * cap + 0.6, text=words, size_mm=cap,
                    weight="regular" if index else "semibold", colour="quiet" if index else "ink",
                )
            )  # fmt: skip

    def _clock(self, axis: Axis) -> None:
        box = Box(left=axis.left, top=self.top, right=axis.right, bottom=self.bottom)
        window = Window(box=box, right=axis.lasted_s, top=1.0)
        self.items += foot_axis(window, clock(axis.lasted_s, about=4), size_mm=self.style.cap_mm)

    def _level(self, body: Body, history: History, axis: Axis, row: int, *, first: bool) -> None:
        cap, each = self.style.cap_mm, self._rows()[0]
        top = self.top + row * each
        box = Box(left=axis.left, top=top + 0.5, right=axis.right, bottom=top + each - 1.5)
        low, high = self._reach(body)
        window = Window(box=box, right=axis.lasted_s, foot=low, top=high)
        run = next(one for one in history.bodies if one.body == body.id)
        trace = next(one for one in history.levels if one.path == f"ponds/{body.id}")
        points = [(0.0, run.begin_m), *zip(history.times_s, trace.level_m, strict=True)]
        held = window.y(body.waterline.m)
        line = window.line(points)
        wash = Area(points=(*line, (line[-1][0], box.bottom), (line[0][0], box.bottom)), fill="water wash")
        self.items.append(group("levels off the waterline", list(self._scale(body, window, said=first))))
        shown: list[Item] = [wash, Polyline(points=((box.left, held), (box.right, held)), pen="water at rest")]
        air = body.intake.low.m
        if low < air < high:
            shown.append(Polyline(points=((box.left, window.y(air)), (box.right, window.y(air))), pen="watch"))
        self.items.append(group("level", (*shown, Polyline(points=line, pen="water")), path=f"ponds/{body.id}"))
        if first:
            self.said.append(
                Text(x=self.left - 1.5, y=held + cap / 2, text="waterline", size_mm=cap, anchor="end", colour="water")
            )
            if air <= low:
                below = f"intake's lowest: {length(body.waterline.m - air, self.system)} below"
                y = box.bottom - 0.8
                self.said.append(Text(x=box.left + 1.0, y=y, text=below, size_mm=cap, colour="watch", halo="paper"))
        wanted = list(self._marks(body, run, history, window, air if low < air < high else None))
        lines = [line, ((box.left, held), (box.right, held))]
        lines += [((box.left, window.y(air)), (box.right, window.y(air)))] if low < air < high else []
        self.items += [
            Circle(centre=one.at, radius_mm=0.7, pen="water", fill="paper") for one in wanted if one.rank == 0
        ]
        placing = labels.place(
            wanted, box, taken=[text_box(item) for item in flat(self.said) if isinstance(item, Text)], lines=lines,
            first_number=len(self.key) + 1,
        )  # fmt: skip
        self.key += placing.key
        self.said += labels.items(placing, ground=lambda at: "paper")

    def _scale(self, body: Body, window: Window, *, said: bool) -> Iterator[Item]:
        """Round distances from the waterline as thin lines, in words beside the first column."""
        cap, held, box = self.style.cap_mm, body.waterline.m, window.box
        unit = "in" if self.system == "us" else "mm"
        _, step = next(ticks(window.top - window.foot, unit, "length", about=_LEVELS), ("", math.inf))
        if not math.isfinite(step):
            return
        for number in range(math.ceil((window.foot - held) / step), math.floor((window.top - held) / step) + 1):
            y = window.y(held + number * step)
            if number == 0 or not box.top + cap / 2 <= y <= box.bottom - cap / 2:
                continue
            yield Polyline(points=((box.left, y), (box.right, y)), pen="grid")
            if said and abs(y - window.y(held)) > 1.8 * cap:
                words = f"{'+' if number > 0 else '−'}{length(abs(number) * step, self.system)}"
                yield Text(x=self.left - 1.5, y=y + cap / 2, text=words, size_mm=cap, anchor="end", colour="quiet")

    def _reach(self, body: Body) -> tuple[float, float]:
        """The levels between which a body moves in any of the histories, with some room [m]."""
        runs = [run for history in self.histories for run in history.bodies if run.body == body.id]
        low, high = min(run.lowest_m for run in runs), max(run.highest_m for run in runs)
        low, high = min(low, body.waterline.m), max(high, body.waterline.m)
        span = max(high - low, _LEAST_M)
        if low - span < body.intake.low.m < low:
            low = body.intake.low.m
        return low - 0.45 * span, high + 0.35 * span

    def _marks(
        self, body: Body, run: BodyRun, history: History, window: Window, air: float | None
    ) -> Iterator[labels.Label]:
        cap, held = self.style.cap_mm, body.waterline.m
        least = 0.02 * (window.top - window.foot)
        for name, level, when, way in (
            ("lowest", run.lowest_m, run.lowest_s, 1.0),
            ("highest", run.highest_m, run.highest_s, -1.0),
        ):
            if abs(level - run.begin_m) < least:
                continue
            off = f"{length(abs(level - held), self.system)} {'below' if level < held else 'above'}"
            said = f"{name}, {off} after {quantity(when, 'time', self.system)}"
            if name == "lowest" and air is not None and level > air:
                said = f"lowest, {off}, {length(level - air, self.system)} to spare"
                if width_mm(said, cap, weight="semibold") > window.box.width - _ROUND_MM:
                    said = said.removeprefix("lowest, ")
            yield labels.Label(
                text=said, at=window.at(when, level),
                size_mm=cap, weight="semibold", colour="water", towards=(-0.6, way), rank=0,
            )  # fmt: skip
        if air is not None:
            y = window.y(air)
            places = [(window.box.left + share * window.box.width, y) for share in (0.1, 0.3, 0.6, 0.8)]
            yield labels.Label(
                text="intake's lowest", at=places[0], also=tuple(places[1:]), size_mm=cap, colour="watch",
                towards=(0.3, 1.0), rank=1,
            )  # fmt: skip

    def _fall(self, fall: FallRun, history: History, axis: Axis, row: int, *, first: bool) -> None:
        cap, (_, top, each) = self.style.cap_mm, self._rows()
        base = top + (row + 1) * each - 0.8
        box = Box(left=axis.left, top=base - each + 1.6, right=axis.right, bottom=base)
        window = Window(box=box, right=axis.lasted_s, top=max(self.most_m3s, 1e-9))
        trace = next(one for one in history.crests if one.path == fall.path)
        line = window.line(zip(history.times_s, trace.flow_m3s, strict=True))
        shown: list[Item] = [Polyline(points=((box.left, base), (box.right, base)), pen="grid")]
        if len(line) > 1:
            shown += [
                Area(points=(*line, (line[-1][0], base), (line[0][0], base)), fill="water wash"),
                Polyline(points=line, pen="water"),
            ]
        self.items.append(group("fall", shown, path=fall.path))
        if first:
            words = Text(x=self.left - 1.5, y=base, text=fall.fall, size_mm=cap, anchor="end", weight="semibold")
            self.said.append(words)
        if fall.first_s is not None:
            x = window.x(fall.first_s)
            said = f"runs after {quantity(fall.first_s, 'time', self.system)}"
            wide = width_mm(said, cap)
            self.items.append(Polyline(points=((x, base), (x, max(base - 2.6, box.top))), pen="ink"))
            left_of = x - 1.0 - wide >= axis.left
            at = x - 1.0 if left_of else x + 1.0
            self.said.append(
                Text(
                    x=at, y=base - 0.5, text=said, size_mm=cap, anchor="end" if left_of else "start", halo="paper"
                )
            )  # fmt: skip
