"""Everything to order and to do, each line with the numbers that it came from."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.earth import Earth
from rillwright.feature import Feature, Fitting, IntakeKind, Run
from rillwright.liner import Liner
from rillwright.sources import default
from rillwright.stone import Stone
from rillwright.takeoff.items import unit_of
from rillwright.takeoff.result import Line, Takeoff
from rillwright.units import Term
from rillwright.water import PumpPoint, Water

_SHEETS = {"liner": "liner_m2", "underlay": "underlay_m2", "pad": "pad_m2"}
_ORDERED = "ordered"  # of the sides of a sheet
_LOTS = {
    "edge": ("edge_stone_kg", "edge stone"),
    "face": ("face_stone_kg", "stone in the face"),
    "gravel": ("gravel_kg", "gravel"),
    "reservoir stone": ("reservoir_stone_kg", "stone that fills the reservoir"),
    "blocks": ("reservoir_block_m3", "void blocks"),
}
_INTAKES = {IntakeKind.SKIMMER: ("skimmer_each", "skimmer"), IntakeKind.PIT: ("pit_each", "pump pit")}


def take_off(feature: Feature, water: Water, *, liner: Liner, stone: Stone, earth: Earth) -> Takeoff:
    """All quantities, in the order in which a builder orders them."""
    return Takeoff(
        lines=(
            *_sheets(liner),
            *_spill_stones(stone),
            *_lots(stone),
            *_soil(feature, earth),
            *_pumping(feature, water),
            *_once(),
        )
    )


def _line(
    id: str,
    item: str,
    text: str,
    path: str,
    *,
    low: float,
    high: float | None = None,
    size_m: tuple[float, float] | None = None,
    because: tuple[Term, ...] = (),
) -> Line:
    return Line(
        id=id,
        item=item,
        text=text,
        path=path,
        low=low,
        high=low if high is None else high,
        unit=unit_of(item),
        size_m=size_m,
        because=because,
    )


def _of(path: str) -> str:
    return path.partition("/")[2]


def _sheets(liner: Liner) -> Iterator[Line]:
    for sheet in liner.sheets:
        size = sheet.ordered_m
        text = f"{sheet.name}, {_of(sheet.path)}"
        sides: tuple[Term, ...] = (
            Term(name="length", value=sheet.length_m, unit="m"),
            Term(name="width", value=sheet.width_m, unit="m"),
        )
        if sheet.order_m is not None:
            sides += (
                Term(name=f"{_ORDERED} length", value=size[0], unit="m"),
                Term(name=f"{_ORDERED} width", value=size[1], unit="m"),
            )
        yield _line(
            sheet.id,
            _SHEETS[sheet.kind],
            text,
            sheet.path,
            low=sheet.area_m2,
            size_m=size,
            because=(*sides, *sheet.because),
        )


def _spill_stones(stone: Stone) -> Iterator[Line]:
    for one in stone.spill_stones:
        terms = (
            *one.because,
            Term(name="mass, low", value=one.mass_low_kg, unit="kg"),
            Term(name="mass, high", value=one.mass_high_kg, unit="kg"),
        )
        yield _line(one.id, "spill_stone_each", f"spill stone, {one.fall}", f"falls/{one.fall}", low=1.0, because=terms)


def _lots(stone: Stone) -> Iterator[Line]:
    for lot in stone.lots:
        item, text = _LOTS[lot.kind]
        by_volume = unit_of(item) == "m3"
        low, high = (lot.volume_m3, lot.volume_m3) if by_volume else (lot.mass_low_kg, lot.mass_high_kg)
        yield _line(lot.id, item, f"{text}, {_of(lot.path)}", lot.path, low=low, high=high, because=lot.because)


def _soil(feature: Feature, earth: Earth) -> Iterator[Line]:
    for dig in earth.digs:
        name = _of(dig.path)
        if dig.bank_m3 > 0.0:
            yield _line(f"dig-{name}", "dig_m3", f"dig, {name}", dig.path, low=dig.bank_m3, because=dig.because)
    dug = sum(dig.bank_m3 for dig in earth.digs)
    out = dug - earth.berm_bank_m3
    if earth.soil_out_m3 > 0.0:
        low, high = _swell(feature, earth)
        terms = (
            Term(name="dug, in the bank", value=dug, unit="m3", kind="earth"),
            Term(name="kept for berms and banks, in the bank", value=earth.berm_bank_m3, unit="m3", kind="earth"),
            Term(name="swell, low", value=low, unit="-"),
            Term(name="swell, high", value=high, unit="-"),
        )
        yield _line(
            "soil-out", "soil_out_m3", "soil out, loose", "site/site", low=out * low, high=out * high, because=terms
        )
    if earth.brought_in_m3 > 0.0:
        low, high = _swell(feature, earth)
        brought = earth.brought_in_m3
        because = (
            Term(name="taken by berms and banks beyond the dig, in the bank", value=brought, unit="m3", kind="earth"),
            Term(name="swell, low", value=low, unit="-"),
            Term(name="swell, high", value=high, unit="-"),
        )
        text = "soil brought in, loose"
        yield _line("soil-in", "soil_in_m3", text, "site/site", low=brought * low, high=brought * high, because=because)
    if earth.berm_fill_m3 > 0.0:
        fill = earth.berm_fill_m3
        placed = (Term(name="fill as placed, before it settles", value=fill, unit="m3", kind="earth"),)
        yield _line("berms", "berm_m3", "fill in berms and banks", "site/site", low=fill, because=placed)


def _swell(feature: Feature, earth: Earth) -> tuple[float, float]:
    """Low and high swell [-]: the soil's own where it is named, else that of sand to that of clay."""
    if feature.site.soil != "unknown":
        return earth.swell, earth.swell
    usual = default("earth.swell")
    return usual.low or earth.swell, usual.high or earth.swell


def _pumping(feature: Feature, water: Water) -> Iterator[Line]:
    points = {point.run: point for point in water.circuit.pumps}
    for run in feature.runs:
        path, point = f"runs/{run.id}", points.get(run.id)
        terms = [Term(name="flow wished for", value=run.wanted_m3s, unit="m3/s")]
        if point is not None and point.duty_head_m <= 0.0:
            terms.append(Term(name="outlet below the water that it is drawn from", value=-point.static_m, unit="m"))
        elif point is not None:
            terms += [
                Term(name="duty flow", value=point.duty_flow_m3s, unit="m3/s"),
                Term(name="duty head", value=point.duty_head_m, unit="m"),
            ]
        yield _line(f"pump-{run.id}", "pump_each", f"pump, {run.id}", path, low=1.0, because=tuple(terms))
        for pump in run.more_pumps:
            yield _line(f"pump-{run.id}-{pump.id}", "pump_each", f"pump {pump.id}, {run.id}", path, low=1.0)
        for id, pipe, length_m, fittings in _pipes(run, point, water):
            length = (Term(name="length of the run", value=length_m, unit="m"),)
            text = ", ".join(part for part in ("pipe", pipe, id) if part)
            yield _line(f"pipe-{id}", "pipe_m", text, path, low=length_m, because=length)
            count = Term(name="fittings", value=float(sum(fitting.count for fitting in fittings)), unit="each")
            yield _line(f"fittings-{id}", "fittings_lot", f"fittings, {id}", path, low=1.0, because=(count,))
    drawn = {run.source for run in feature.runs}
    for body in feature.bodies:
        if body.id in drawn and body.intake.kind in _INTAKES:
            item, text = _INTAKES[body.intake.kind]
            yield _line(f"intake-{body.id}", item, f"{text}, {body.id}", f"ponds/{body.id}", low=1.0)


def _pipes(run: Run, point: PumpPoint | None, water: Water) -> Iterator[tuple[str, str, float, tuple[Fitting, ...]]]:
    """Every pipe of a run: its id, its name as ordered, its length [m], its fittings."""
    yield run.id, point.pipe if point is not None else "", run.pipe_length_m, run.fittings
    if run.suction is not None:
        yield f"{run.id}-suction", run.suction.pipe.name, run.suction.pipe.length_m, run.suction.fittings
    names = {out.id: out.pipe for out in water.circuit.outlets if out.run == run.id}
    for outlet in run.outlets:
        yield f"{run.id}-{outlet.id}", names.get(outlet.id, ""), outlet.pipe_length_m, outlet.fittings


def _once() -> Iterator[Line]:
    for item, text in (
        ("electric_allowance", "electric work, allowance: a licensed electrician quotes"),
        ("set_out", "setting out"),
        ("start_up", "starting up"),
        ("hand_over", "handing over"),
    ):
        yield _line(item.replace("_", "-"), item, text, "site/site", low=1.0)
