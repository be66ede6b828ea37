"""The drawings on paper: plan, long section of each stream, pump curves."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from rillwright.assessment import Judged, NotRun, PumpPoint
from rillwright.drawings import Drawing, draw_long_section, draw_plan, draw_pump
from rillwright.errors import InputError
from rillwright.packet.blocks import beside, facts, heading, picture, title, words
from rillwright.packet.key_numbers import no_lift
from rillwright.packet.paper import DRAWING, READING, Block, Paper, Sheet
from rillwright.packet.say import Say, breakable

PLAN = "What lies where"
SECTION = "Where the water stands"
PUMP = "What the pump gives"
_PUMP_MM = 74.0


def plan(judged: Judged) -> Sheet:
    """The plan to scale, on the sheet laid across or upright, whichever shows it larger."""
    across = DRAWING[judged.assessment.feature.system]
    upright = Paper(across.height, across.width)
    sheets = [_sheet(PLAN, paper, lambda frame: draw_plan(judged, frame_mm=frame)) for paper in (across, upright)]
    return min(sheets, key=lambda sheet: sheet.one_to or math.inf)


def sections(judged: Judged) -> Iterator[Sheet]:
    """The long section of each stream."""
    feature = judged.assessment.feature
    for stream in feature.streams:
        question = SECTION if len(feature.streams) == 1 else f"{SECTION}: stream {stream.id}"

        def drawn(frame: tuple[float, float], id: str = stream.id) -> Drawing:
            return draw_long_section(judged, frame_mm=frame, stream=id)

        yield _sheet(question, DRAWING[feature.system], drawn)


def _sheet(question: str, paper: Paper, draw: Callable[[tuple[float, float]], Drawing]) -> Sheet:
    width, height = paper.room
    try:
        drawing = draw((width, height - 1.0))
    except InputError as error:
        return Sheet(question=question, paper=paper, blocks=(words(f"Not drawn: {error}"),))
    blocks: list[Block] = [picture(drawing)]
    if drawing.key:
        lines = [words(f"{number}  {breakable(text)}", above=0.5, below=0.5) for number, text in drawing.key]
        blocks += [heading("Numbers on the drawing"), beside((-1.0,) * 4, [lines[i::4] for i in range(4)])]
    return Sheet(question=question, paper=paper, blocks=tuple(blocks), scale=drawing.scale_text, one_to=drawing.scale)


def pumps(judged: Judged) -> Sheet | None:
    """Pump curves, and what each pipe run asks for; None without a run."""
    water = judged.assessment.water
    system = judged.assessment.feature.system
    paper = READING[system]
    if isinstance(water, NotRun) or not water.circuit.pumps:
        return None
    blocks: list[Block] = [title(PUMP)]
    for point in water.circuit.pumps:
        blocks.append(heading(f"Pipe run {point.run}"))
        blocks.append(picture(draw_pump(judged, frame_mm=(paper.room[0], _PUMP_MM), run=point.run)))
        told = _told(point, Say(system))
        half = (len(told) + 1) // 2
        blocks.append(beside((-1.0, -1.0), ((facts(told[:half], label=30.0),), (facts(told[half:], label=30.0),))))
    return Sheet(question=PUMP, paper=paper, blocks=tuple(blocks))


def _told(point: PumpPoint, say: Say) -> Sequence[tuple[str, str, str]]:
    duty = f"{say.one(point.duty_flow_m3s, 'm3/s')} at {say.one(point.duty_head_m, 'm')}"
    wished = ("flow wished for", say.one(point.wanted_m3s, "m3/s"), "")
    pipe = ("pipe", breakable(f"{point.pipe}, {say.one(point.pipe_length_m, 'm')}"),
            f"inside {say.one(point.pipe_inside_m, 'm')}; water at {say.one(point.speed_ms, 'm/s')}")  # fmt: skip
    if point.duty_head_m <= 0.0:
        return (wished, ("duty to ask for", "none", no_lift(point, say)), pipe)
    if point.proposed:
        return (
            wished,
            ("proposed", f"to be chosen for {duty}", "the wished flow with its spare, taken back by a valve"),
            pipe,
            ("power", say.band(point.power_w, "W"), "electrical, by usual efficiencies: no pump is chosen yet"),
        )
    return (
        wished,
        ("duty to ask for", duty, "the wished flow with its spare, taken back by a valve"),
        ("works at", f"{say.one(point.flow_m3s.value, 'm3/s')} at {say.one(point.head_m.value, 'm')}",
         ", ".join(filter(None, (say.may_be(point.flow_m3s, "m3/s"), say.may_be(point.head_m, "m"))))),
        ("head is spent on", f"{say.one(point.static_m, 'm')} of lift",
         f"and {say.one(point.friction_m, 'm')} in pipe and fittings"),
        pipe,
        ("spare", say.one(point.spare, "-", kind="share"), "of the wished flow"),
        ("power", say.one(point.power_w.value, "W"),
         "; ".join(filter(None, ("electrical", say.may_be(point.power_w, "W"))))),
    )  # fmt: skip
