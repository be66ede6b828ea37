"""What the pump gives: curves, cases, what comes out of each outlet, other pipes and other pumps."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Judged, NotRun, OutletFlow, PumpPoint, Water
from rillwright.drawings import draw_pump
from rillwright.packet.blocks import Words, beside, column, facts, heading, picture, run, table, title, whole, words
from rillwright.packet.flows import pail
from rillwright.packet.key_numbers import no_lift
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.say import Say, breakable, rough
from rillwright.units import parse

QUESTION = "What the pump gives"
_PUMP_MM, _ASIDE_MM = 74.0, 66.0  # height of a drawing across the page, and with what is told beside it
_ASIDE_SHARE = 0.6  # of the page's width, for a drawing with what is told beside it
_OPEN_K = 0.05  # less than this a valve is open [-]


def pumps(judged: Judged, *, close: bool = False) -> Sheet | None:
    """Pump curves, and what each pipe run asks for, told beside its drawing if `close`; None without a run."""
    water = judged.assessment.water
    system = judged.assessment.feature.system
    paper = READING[system]
    if isinstance(water, NotRun) or not water.circuit.pumps:
        return None
    say = Say(system)
    blocks: list[Block] = [title(QUESTION)]
    for point in water.circuit.pumps:
        told = _told(point, say)
        half = (len(told) + 1) // 2
        if close:
            wide = _ASIDE_SHARE * paper.room[0]
            drawing = draw_pump(judged, frame_mm=(wide, _ASIDE_MM), run=point.run)
            body = [beside((wide, -1.0), ((picture(drawing),), (facts(told, label=21.0, gap=1.0),)))]
        else:
            drawing = draw_pump(judged, frame_mm=(paper.room[0], _PUMP_MM), run=point.run)
            sides = ((facts(told[:half], label=30.0),), (facts(told[half:], label=30.0),))
            body = [picture(drawing), beside((-1.0, -1.0), sides)]
        blocks.append(whole([heading(f"Pipe run {point.run}", above=1.0), *body]))
        blocks += _tables(point, water, say)
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _tables(point: PumpPoint, water: Water, say: Say) -> list[Block]:
    """Two beside each other as far as there are any, so that none runs across the page for three short columns."""
    outlets = [each for each in water.circuit.outlets if each.run == point.run and each.id]
    blocks: list[Block] = []
    if outlets:
        blocks.append(whole([_head("What comes out where"), _outlets(point, outlets, say), *_settings(point, say)]))
    small = [part for part in (_cases(point, say), _sizes(point, say)) if part]
    if small:
        blocks.append(whole([beside((-1.0,) * len(small), small)], above=3.0))
    if point.tried:
        blocks.append(whole([_head("Your own pumps in its place"), _tried(point, say)], above=3.0))
    return blocks


def _head(text: str) -> Block:
    return words(run(text, weight="semibold", pt=10.0), above=1.0, below=1.0, sticky=True)


def _columns(heads: Sequence[str], widths: Sequence[float]) -> list[dict[str, object]]:
    return [
        column(head, width, align="right" if i else "left")
        for i, (head, width) in enumerate(zip(heads, widths, strict=True))
    ]


def _cases(point: PumpPoint, say: Say) -> list[Block]:
    if not point.cases or point.proposed:
        return []
    rows: list[list[Words]] = [
        [each.case, say.one(each.flow_m3s, "m3/s"), say.one(each.head_m, "m"), _spare(each.spare, say)]
        for each in point.cases
    ]
    return [
        _head("When it is not as it should be"),
        table(_columns(("case", "flow", "head", "spare"), (-1.1, -1.25, -0.9, -1.0)), rows, pad=0.9),
    ]


def _spare(spare: float, say: Say) -> str:
    return f"{say.one(abs(spare), '-', kind='share')} {'short' if spare < 0.0 else 'over'}"


def _sizes(point: PumpPoint, say: Say) -> list[Block]:
    if len(point.sizes) < 2 or point.proposed:
        return []
    own = min(point.sizes, key=lambda each: abs(each.inside_m - point.pipe_inside_m))
    powers = [rough(say.one(each.power_w, "W")) for each in point.sizes]
    differ = len(set(powers)) > 1
    rows: list[list[Words]] = [
        [
            run(breakable(each.pipe), weight="semibold" if each is own else "regular"),
            say.one(each.flow_m3s, "m3/s"),
            say.one(each.speed_ms, "m/s"),
            *([power] if differ else []),
        ]
        for each, power in zip(point.sizes, powers, strict=True)
    ]
    heads, widths = (("main", "flow", "speed", "power"), (-1.6, -1.25, -0.8, -0.7))
    shown = len(heads) if differ else len(heads) - 1
    return [_head("With another pipe"), table(_columns(heads[:shown], widths[:shown]), rows, pad=0.9)]


def _outlets(point: PumpPoint, outlets: Sequence[OutletFlow], say: Say) -> Block:
    total = sum(each.flow_m3s.value for each in outlets)
    rows: list[list[Words]] = [
        [
            run(breakable(each.id), weight="semibold"),
            say.level(each.level_m),
            say.one(each.flow_m3s.value, "m3/s"),
            say.one(each.flow_m3s.value / total, "-", kind="share") if total > 0.0 else "–",
            say.one(each.wanted_m3s, "m3/s"),
            _valve(each, say),
            say.one(each.set_m3s, "m3/s"),
        ]
        for each in outlets
    ]
    valve = point.main_valve
    if valve is not None and valve.valve_k >= _OPEN_K:
        so = _turned(point.wanted_m3s, valve.spare_m, k=valve.valve_k, say=say)
        now, wanted = say.one(point.flow_m3s.value, "m3/s"), say.one(point.wanted_m3s, "m3/s")
        rows.insert(0, [run("main, first", weight="semibold"), "–", now, "–", wanted, so, wanted])
    heads = ("valve of", "water let out at", "gets now", "share", "wished for", "its valve", "gets so set")
    columns = _columns(heads, (-0.9, -0.7, -1.1, -0.5, -1.1, -2.6, -1.1))
    columns[-2]["align"] = "left"
    return table(columns, rows, pad=0.9)


def _valve(outlet: OutletFlow, say: Say) -> str:
    if outlet.keep_open:
        return "leave open"
    if outlet.valve_k < _OPEN_K:
        return "open"
    return _turned(outlet.set_m3s, outlet.valve_loss_m, k=outlet.valve_k, say=say)


def _turned(flow_m3s: float, takes_m: float, *, k: float, say: Say) -> str:
    """How far to turn a valve towards shut, by what can be measured; K is on top of what is fitted and set now."""
    filled = pail(flow_m3s, say.system)
    until = f"close until it fills {filled}: then it takes" if filled else "close until it takes"
    return f"{until} {say.one(takes_m, 'm')}, K {k:.2g} more than now"


def _settings(point: PumpPoint, say: Say) -> list[Block]:
    """What the settings come to, where the outlets cannot have all that is wanted or it lies outside a range."""
    notes = []
    if point.settings_share is not None and point.settings_share < 1.0:
        notes.append(f"So set all get {say.one(point.settings_share, '-', kind='share')} of what is wished for.")
    if point.settings_note:
        notes.append(f"{point.settings_note[:1].upper()}{point.settings_note[1:]}.")
    return [words(" ".join(notes), above=1.0, below=1.0)] if notes else []


def _tried(point: PumpPoint, say: Say) -> Block:
    within = {True: "yes", False: "no", None: "not said"}
    rows: list[list[Words]] = [
        [
            run(breakable(each.pump), weight="semibold"),
            say.one(each.flow_m3s.value, "m3/s"),
            say.one(each.head_m.value, "m"),
            rough(say.band(each.power_w, "W")),
            _spare(each.spare, say),
            within[each.in_preferred],
        ]
        for each in point.tried
    ]
    heads = ("pump", "flow", "head", "power", "spare", "in its preferred range")
    return table(_columns(heads, (-1.3, -1.0, -0.8, -1.2, -0.9, -1.0)), rows, pad=0.9)


def _told(point: PumpPoint, say: Say) -> Sequence[tuple[str, str, str]]:
    duty = f"{say.one(point.duty_flow_m3s, 'm3/s')} at {say.one(point.duty_head_m, 'm')}"
    wished = ("flow wished for", say.one(point.wanted_m3s, "m3/s"), "")
    pipe = ("pipe", breakable(f"{point.pipe}, {say.one(point.pipe_length_m, 'm')}"),
            f"{_inside(point.pipe_inside_m, say)} inside; water at {say.one(point.speed_ms, 'm/s')}")  # fmt: skip
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
        ("spare", say.one(point.spare, "-", kind="share"), _throttle(point, say)),
        ("power", say.one(point.power_w.value, "W"),
         "; ".join(filter(None, ("electrical", say.may_be(point.power_w, "W"))))),
        *_measured(point, say),
    )  # fmt: skip


def _inside(inside_m: float, say: Say) -> str:
    """A bore as lists of pipe have it: in inches with two decimals, or in millimetres."""
    inches = inside_m / float(parse("1 in", "length").si)
    return f"{inches:.2f} in" if say.system == "us" else say.one(inside_m, "m")


def _throttle(point: PumpPoint, say: Say) -> str:
    valve = point.main_valve
    if valve is None or valve.valve_k < _OPEN_K:
        return "over the wished flow"
    filled = pail(point.wanted_m3s, say.system)
    until = f", so that it fills {filled}" if filled else ""
    return (
        f"over the wished flow; a valve on the main takes it back{until}: {say.one(valve.spare_m, 'm')} of head, "
        f"K {valve.valve_k:.2g} on top of the fittings and of the valve as it is now"
    )


def _measured(point: PumpPoint, say: Say) -> list[tuple[str, str, str]]:
    found = point.measured
    if found is None:
        return []
    verdict = {"as drawn": "as drawn, within the bands", "less": "less than drawn", "more": "more than drawn"}
    return [("measured", say.one(found.flow_m3s, "m3/s"), verdict.get(found.verdict, found.verdict))]
