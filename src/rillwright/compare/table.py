"""Alternatives side by side: the few quantities by which people choose."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from rillwright.assessment import Assessment, Judged, NotRun, Severity, Step
from rillwright.compare.ordered import mass_kg
from rillwright.compare.result import KeyRow, KeyTable
from rillwright.units import Band

Pair = tuple[float, float]
_Told = Callable[[Judged], Pair | None]


def compare_many(named: Sequence[tuple[str, Judged]]) -> KeyTable:
    """The key quantities of any number of states, a column each, under the names that they are given."""
    states = [judged for _, judged in named]
    return KeyTable(
        names=tuple(name for name, _ in named),
        systems=tuple(judged.assessment.feature.system for judged in states),
        rows=(*_rows(states), *_prices(states)),
    )


def _rows(states: Sequence[Judged]) -> Iterator[KeyRow]:
    for code, text, unit, kind, told in _QUANTITIES:
        yield KeyRow(code=code, text=text, unit=unit, kind=kind, values=tuple(told(state) for state in states))


def _prices(states: Sequence[Judged]) -> Iterator[KeyRow]:
    """A row for every currency there is, so that none is read as another."""
    prices = [state.assessment.price for state in states]
    for currency in sorted({price.currency for price in prices if not isinstance(price, NotRun)}):
        values = tuple(
            (float(price.low), float(price.high))
            if not isinstance(price, NotRun) and price.currency == currency
            else None
            for price in prices
        )
        yield KeyRow(code="price", text="price range", unit=currency, kind="money", values=values)


def _one(value: float) -> Pair:
    return value, value


def _band(band: Band) -> Pair:
    return band.low, band.high


def _steps(state: Assessment) -> list[Step]:
    return [] if isinstance(state.shape, NotRun) else [step for one in state.shape.budgets for step in one.steps]


def _height(judged: Judged) -> Pair | None:
    shape = judged.assessment.shape
    heights = [] if isinstance(shape, NotRun) else [budget.height_m for budget in shape.budgets]
    return (min(heights), max(heights)) if heights else None


def _left(judged: Judged) -> Pair | None:
    shape = judged.assessment.shape
    lefts = [] if isinstance(shape, NotRun) else [budget.left_over_m for budget in shape.budgets]
    return (min(lefts), max(lefts)) if lefts else None


def _drops(kind: str) -> _Told:
    def told(judged: Judged) -> Pair | None:
        if isinstance(judged.assessment.shape, NotRun):
            return None
        return _one(float(sum(step.kind == kind for step in _steps(judged.assessment))))

    return told


def _last(judged: Judged) -> Pair | None:
    streams = [one for one in judged.assessment.feature.streams if one.falls and one.joins is None]
    lasts = {f"falls/{stream.falls[-1].id}" for stream in streams}
    found = [step.fall_height_m for step in _steps(judged.assessment) if step.path in lasts]
    known = [height for height in found if height is not None]
    return (min(known), max(known)) if known else None


def _flow(judged: Judged) -> Pair | None:
    water = judged.assessment.water
    return None if isinstance(water, NotRun) else _band(water.circuit.flow_m3s)


def _head(judged: Judged) -> Pair | None:
    water = judged.assessment.water
    return None if isinstance(water, NotRun) else _band(water.circuit.head_m)


def _power(judged: Judged) -> Pair | None:
    water = judged.assessment.water
    return None if isinstance(water, NotRun) else _band(water.circuit.power_w)


def _volume(judged: Judged) -> Pair | None:
    water = judged.assessment.water
    return None if isinstance(water, NotRun) else _one(sum(pond.volume_m3 for pond in water.ponds))


def _drop(judged: Judged) -> Pair | None:
    water = judged.assessment.water
    return None if isinstance(water, NotRun) else _band(water.balance.drop_at_start_m)


def _spare(judged: Judged) -> Pair | None:
    containment = judged.assessment.containment
    if isinstance(containment, NotRun) or not containment.tops:
        return None
    return _band(min(containment.tops, key=lambda top: top.freeboard_m.value).freeboard_m)


def _liner(judged: Judged) -> Pair | None:
    liner = judged.assessment.liner
    return None if isinstance(liner, NotRun) else _one(sum(sheet.area_m2 for sheet in liner.pieces))


def _heaviest(judged: Judged) -> Pair | None:
    liner = judged.assessment.liner
    if isinstance(liner, NotRun) or not liner.pieces:
        return None
    return _one(max(sheet.mass_kg for sheet in liner.pieces))


def _stone(judged: Judged) -> Pair | None:
    stone = judged.assessment.stone
    return None if isinstance(stone, NotRun) else (mass_kg(stone, 0), mass_kg(stone, 1))


def _soil(judged: Judged) -> Pair | None:
    earth = judged.assessment.earth
    return None if isinstance(earth, NotRun) else _one(earth.soil_out_m3)


def _days(judged: Judged) -> Pair | None:
    price = judged.assessment.price
    return None if isinstance(price, NotRun) else (price.days_low, price.days_high)


def _graded(severity: Severity) -> _Told:
    return lambda judged: _one(float(sum(finding.severity is severity for finding in judged.findings)))


_QUANTITIES: tuple[tuple[str, str, str, str, _Told], ...] = (
    ("stop", "findings that say stop", "each", "count", _graded(Severity.STOP)),
    ("watch", "findings to watch", "each", "count", _graded(Severity.WATCH)),
    ("height", "height there is", "m", "length", _height),
    ("left", "left over of it", "m", "length", _left),
    ("falls", "falls", "each", "count", _drops("fall")),
    ("ripples", "ripples", "each", "count", _drops("ripple")),
    ("last", "last fall as it is seen", "m", "length", _last),
    ("flow", "flow", "m3/s", "flow", _flow),
    ("head", "head at the pump", "m", "length", _head),
    ("power", "electrical power", "W", "power", _power),
    ("volume", "water in the ponds", "m3", "volume", _volume),
    ("drop", "drop at start", "m", "length", _drop),
    ("spare", "least height to spare at a rim, bank or lap", "m", "length", _spare),
    ("liner", "liner in all", "m2", "area", _liner),
    ("heaviest", "heaviest piece of liner", "kg", "mass", _heaviest),
    ("stone", "stone and gravel", "kg", "mass", _stone),
    ("soil", "soil out, loose", "m3", "earth", _soil),
    ("days", "days for the crew", "days", "count", _days),
)
