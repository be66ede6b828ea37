"""What is told of a pipe run and its pump: facts, tables, and the valve to turn, for paper and screen alike."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import OutletFlow, PumpPoint, Water
from rillwright.packet.flows import pail
from rillwright.packet.key_numbers import no_lift
from rillwright.packet.say import Say, breakable, rough
from rillwright.packet.water_rows import Cell, Piece, WaterRow, WaterTable, cell, joined, line
from rillwright.units import parse

OUTLETS = ("valve of", "water let out at", "gets now", "share", "wished for", "its valve", "gets so set")
CASES = ("case", "flow", "head", "spare")
TRIED = ("pump", "flow", "head", "power", "spare", "in its preferred range")
OUTLETS_OVER, CASES_OVER = "What comes out where", "When it is not as it should be"
SIZES_OVER, TRIED_OVER = "With another pipe, and a pump that suits", "Your own pumps in its place"
Fact = tuple[str, Cell, Cell]  # label, value, what is to be said of it
_SIZES = ("main", "flow", "head", "speed", "power")
_OPEN_K = 0.05  # less than this a valve is open [-]
_WITHIN = {True: "yes", False: "no", None: "not said"}
_VERDICTS = {"as drawn": "as drawn, within the bands", "less": "less than drawn", "more": "more than drawn"}


def pump_facts(point: PumpPoint, say: Say) -> list[Fact]:
    """Wished, duty, where it works and may work, what the head is spent on, pipe, spare, power, measured."""
    path = f"runs/{point.run}"
    wished = ("flow wished for", _flow(point.wanted_m3s, f"{path} wished", say), ())
    pipe = (
        "pipe",
        cell(breakable(f"{point.pipe}, {say.one(point.pipe_length_m, 'm')}"), f"{path} pipe"),
        line(
            Piece(bore_words(point.pipe_inside_m, say), f"{path} inside"),
            " inside; water at ",
            Piece(say.one(point.speed_ms, "m/s"), f"{path} speed"),
        ),
    )
    if point.duty_head_m <= 0.0:
        return [wished, ("duty to ask for", cell("none"), cell(no_lift(point, say), f"{path} lift")), pipe]
    duty = (_flow(point.duty_flow_m3s, f"{path} duty", say), _head(point.duty_head_m, f"{path} duty", say))
    spare = cell("the wished flow with its spare, taken back by a valve")
    power = Piece(say.band(point.power_w, "W"), f"{path} power")
    if point.proposed:
        by = cell("electrical, by usual efficiencies: no pump is chosen yet")
        chosen = line("to be chosen for ", *joined(duty, " at "))
        return [wished, ("proposed", chosen, spare), pipe, ("power", (power,), by)]
    may_be = [
        cell(say.may_be(band, unit), f"{path} {what}")
        for band, unit, what in ((point.flow_m3s, "m3/s", "flow"), (point.head_m, "m", "head"))
        if say.may_be(band, unit)
    ]
    friction = Piece(say.one(point.friction_m, "m"), f"{path} friction")
    watts = say.may_be(point.power_w, "W")
    return [
        wished,
        ("duty to ask for", joined(duty, " at "), spare),
        (
            "works at",
            joined(
                (
                    _flow(point.flow_m3s.value, f"{path} flow", say),
                    _head(point.head_m.value, f"{path} head", say),
                ),
                " at ",
            ),
            joined(may_be, ", "),
        ),
        (
            "head is spent on",
            line(Piece(say.one(point.static_m, "m"), f"{path} lift"), " of lift"),
            line("and ", friction, " in pipe and fittings"),
        ),
        pipe,
        ("spare", cell(say.one(point.spare, "-", kind="share"), f"{path} spare"), _throttle(point, say)),
        (
            "power",
            cell(say.one(point.power_w.value, "W"), f"{path} power"),
            joined([cell("electrical"), cell(watts, f"{path} power") if watts else ()], "; "),
        ),
        *_measured(point, say),
    ]


def pump_said(point: PumpPoint, water: Water, say: Say) -> Iterator[Cell]:
    """Where it works, within what range, against what is wished for, and which valve to turn."""
    path = f"runs/{point.run}"
    wished = Piece(say.one(point.wanted_m3s, "m3/s"), f"{path} wished")
    if point.duty_head_m <= 0.0:
        yield line(f"No pump can be proposed: {no_lift(point, say)}.")
        return
    if point.proposed:
        duty = (_flow(point.duty_flow_m3s, f"{path} duty", say), _head(point.duty_head_m, f"{path} duty", say))
        yield line("No pump is chosen yet: take one that brings ", *joined(duty, " at "), "; ", wished,
                   " are wished for, the rest is spare that a valve takes back.")  # fmt: skip
        return
    band = say.may_be(point.flow_m3s, "m3/s")
    maybe = line("; the flow ", Piece(band, f"{path} flow")) if band else ()
    flow, head = _flow(point.flow_m3s.value, f"{path} flow", say), _head(point.head_m.value, f"{path} head", say)
    yield line("It gives ", *flow, " against ", *head, " of head", *maybe, ".")
    yield line(wished, " are wished for: ", Piece(spare_words(point.spare, say), f"{path} spare"), ".")
    yield from _valves(point, water, say)
    yield from settings_said(point, say)


def settings_said(point: PumpPoint, say: Say) -> Iterator[Cell]:
    """What the settings come to, where the outlets cannot have all that is wanted or it lies outside a range."""
    path = f"runs/{point.run}"
    if point.settings_share is not None and point.settings_share < 1.0:
        share = Piece(say.one(point.settings_share, "-", kind="share"), f"{path} settings")
        yield line("So set all get ", share, " of what is wished for.")
    if point.settings_note:
        yield line(f"{point.settings_note[:1].upper()}{point.settings_note[1:]}.")


def _valves(point: PumpPoint, water: Water, say: Say) -> Iterator[Cell]:
    """Which valve to turn, and how far: the main's first, then those of the outlets."""
    path, valve = f"runs/{point.run}", point.main_valve
    if valve is None:
        yield line("No valve helps: with all of them open less runs than is wished for.")
    elif valve.valve_k >= _OPEN_K:
        turned = turned_words(point.wanted_m3s, valve.spare_m, k=valve.valve_k, say=say)
        yield line("Valve on the main: ", Piece(turned, f"{path} valve"), ".")
    else:
        yield line("The valve on the main stays open.")
    outlets = outlets_of(point, water)
    for each in outlets:
        if each.keep_open or each.valve_k >= _OPEN_K:
            yield line(f"Valve of {each.id}: ", Piece(valve_words(each, say), f"{path} valve of {each.id}"), ".")


def outlets_of(point: PumpPoint, water: Water) -> list[OutletFlow]:
    """The outlets of a branching run; none of a plain one."""
    return [each for each in water.circuit.outlets if each.run == point.run and each.id]


def outlets_table(point: PumpPoint, water: Water, say: Say) -> WaterTable | None:
    """What comes out where, and how each valve is set; None for a run that does not branch."""
    outlets, path = outlets_of(point, water), f"runs/{point.run}"
    if not outlets:
        return None
    total = sum(each.flow_m3s.value for each in outlets)
    rows = []
    valve = point.main_valve
    if valve is not None and valve.valve_k >= _OPEN_K:
        turned = turned_words(point.wanted_m3s, valve.spare_m, k=valve.valve_k, say=say)
        now, wanted = say.one(point.flow_m3s.value, "m3/s"), say.one(point.wanted_m3s, "m3/s")
        rows.append(
            WaterRow(
                path=path,
                main=True,
                cells=(
                    cell("main, first"), cell("–"), cell(now, f"{path} flow"), cell("–"),
                    cell(wanted, f"{path} wished"), cell(turned, f"{path} valve"), cell(wanted, f"{path} wished"),
                ),
            )
        )  # fmt: skip
    for each in outlets:
        so = f"of {each.id}"
        share = say.one(each.flow_m3s.value / total, "-", kind="share") if total > 0.0 else "–"
        rows.append(
            WaterRow(
                path=path,
                main=True,
                cells=(
                    cell(breakable(each.id)),
                    cell(say.level(each.level_m), f"{path} level {so}"),
                    cell(say.one(each.flow_m3s.value, "m3/s"), f"{path} flow {so}"),
                    cell(share, f"{path} flow {so}"),
                    cell(say.one(each.wanted_m3s, "m3/s"), f"{path} wished {so}"),
                    cell(valve_words(each, say), f"{path} valve {so}"),
                    cell(say.one(each.set_m3s, "m3/s"), f"{path} set {so}"),
                ),
            )
        )
    return WaterTable(heads=OUTLETS, rows=tuple(rows))


def cases_table(point: PumpPoint, say: Say) -> WaterTable | None:
    """The run when it is not as it should be; None where no pump is chosen yet."""
    if not point.cases or point.proposed:
        return None
    rows = []
    for each in point.cases:
        of = f"runs/{point.run} in case: {each.case}"
        told = (say.one(each.flow_m3s, "m3/s"), say.one(each.head_m, "m"), spare_words(each.spare, say))
        rows.append(WaterRow(path="", cells=(cell(each.case), *(cell(one, of) for one in told))))
    return WaterTable(heads=CASES, rows=tuple(rows))


def sizes_table(point: PumpPoint, say: Say) -> WaterTable | None:
    """The run with another pipe as its main, its own standing out; None where there is none to choose."""
    if len(point.sizes) < 2 or point.proposed:
        return None
    own = min(point.sizes, key=lambda each: abs(each.inside_m - point.pipe_inside_m))
    powers = [rough(say.one(each.power_w, "W")) for each in point.sizes]
    differ = len(set(powers)) > 1
    rows = []
    for each, power in zip(point.sizes, powers, strict=True):
        of = f"runs/{point.run} with pipe: {each.pipe}"
        told = [say.one(each.flow_m3s, "m3/s"), say.one(each.head_m, "m"), say.one(each.speed_ms, "m/s")]
        told += [power] if differ else []
        cells = (cell(breakable(each.pipe)), *(cell(one, of) for one in told))
        rows.append(WaterRow(path="", main=each is own, cells=cells))
    return WaterTable(heads=_SIZES if differ else _SIZES[:-1], rows=tuple(rows))


def tried_table(point: PumpPoint, say: Say) -> WaterTable | None:
    """The run with each pump of the person's own list; None where there is none."""
    rows = []
    for each in point.tried:
        of = f"runs/{point.run} with pump: {each.pump}"
        told = (
            say.one(each.flow_m3s.value, "m3/s"),
            say.one(each.head_m.value, "m"),
            rough(say.band(each.power_w, "W")),
            spare_words(each.spare, say),
        )
        cells = (cell(breakable(each.pump)), *(cell(one, of) for one in told), cell(_WITHIN[each.in_preferred]))
        rows.append(WaterRow(path="", main=True, cells=cells))
    return WaterTable(heads=TRIED, rows=tuple(rows)) if rows else None


def valve_words(outlet: OutletFlow, say: Say) -> str:
    """How to set the valve of an outlet."""
    if outlet.keep_open:
        return "leave open"
    if outlet.valve_k < _OPEN_K:
        return "open"
    return turned_words(outlet.set_m3s, outlet.valve_loss_m, k=outlet.valve_k, say=say)


def turned_words(flow_m3s: float, takes_m: float, *, k: float, say: Say) -> str:
    """How far to turn a valve towards shut, by the flow [m3/s] and the head that it takes [m]; K [-] is on top of what
    is fitted and set now."""
    filled = pail(flow_m3s, say.system)
    until = f"close until it fills {filled}: then it takes" if filled else "close until it takes"
    return f"{until} {say.one(takes_m, 'm')}, K {k:.2g} more than now"


def spare_words(spare: float, say: Say) -> str:
    """What is over the flow wanted [-], or short of it."""
    return f"{say.one(abs(spare), '-', kind='share')} {'short' if spare < 0.0 else 'over'}"


def bore_words(inside_m: float, say: Say) -> str:
    """A bore [m] as lists of pipe have it: in inches with two decimals, or in millimetres."""
    inches = inside_m / float(parse("1 in", "length").si)
    return f"{inches:.2f} in" if say.system == "us" else say.one(inside_m, "m")


def _throttle(point: PumpPoint, say: Say) -> Cell:
    valve = point.main_valve
    if valve is None or valve.valve_k < _OPEN_K:
        return cell("over the wished flow")
    filled = pail(point.wanted_m3s, say.system)
    until = f", so that it fills {filled}" if filled else ""
    takes = f"{say.one(valve.spare_m, 'm')} of head, K {valve.valve_k:.2g}"
    return line(
        f"over the wished flow; a valve on the main takes it back{until}: ",
        Piece(takes, f"runs/{point.run} valve"),
        " on top of the fittings and of the valve as it is now",
    )


def _measured(point: PumpPoint, say: Say) -> list[Fact]:
    found = point.measured
    if found is None:
        return []
    flow = cell(say.one(found.flow_m3s, "m3/s"), f"runs/{point.run} measured")
    return [("measured", flow, cell(_VERDICTS.get(found.verdict, found.verdict)))]


def _flow(flow_m3s: float, of: str, say: Say) -> Cell:
    return cell(say.one(flow_m3s, "m3/s"), of)


def _head(head_m: float, of: str, say: Say) -> Cell:
    return cell(say.one(head_m, "m"), of)
