"""The few numbers that everybody asks for first, each with its range."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from rillwright.assessment import (
    Assessment,
    Balance,
    Body,
    BodyKind,
    Build,
    Containment,
    Earth,
    HeightBudget,
    Liner,
    NotRun,
    Price,
    PumpPoint,
    Shape,
    SoilBalance,
    Stone,
    Water,
)
from rillwright.packet.say import Say, rough

LEAST_SHORT_M = 1e-3  # less of the depth than a rod can resolve is not missed
Fact = tuple[str, str, str]  # label, value, what is to be said of it


def key_numbers(assessment: Assessment) -> list[Fact]:
    """Label, value and range of what the feature comes to; a branch that was not run says why."""
    say = Say(assessment.feature.system)
    rows: list[Fact] = []
    tellers: tuple[tuple[str, object, Callable[..., Iterator[Fact]]], ...] = (
        ("height there is", assessment.shape, _height),
        ("flow", assessment.water, _water),
        ("pond", assessment.shape, _ponds),
        ("drop at start", assessment.water, _drop),
        ("berm", assessment.containment, _berm),
        ("liner", assessment.liner, _liner),
        ("stone", assessment.stone, _stone),
        ("soil out", assessment.earth, _soil),
        ("access", assessment.build, _access),
        ("price", assessment.price, _price),
    )
    for label, branch, told in tellers:
        if isinstance(branch, NotRun):
            rows.append((label, "not worked out", branch.reason))
        else:
            rows += told(assessment, branch, say)
    return rows


def _height(assessment: Assessment, shape: Shape, say: Say) -> Iterator[Fact]:
    for budget in shape.budgets:
        name = f" in {budget.stream}" if len(shape.budgets) > 1 else ""
        if budget.height_m <= 0.0:
            below = f"the stream head lies {say.one(-budget.height_m, 'm')} below the held water"
            yield f"height there is{name}", "none", below
            continue
        yield (
            f"height there is{name}",
            say.one(budget.height_m, "m"),
            spent(budget, say) + _seen(assessment, budget, say),
        )


def _seen(assessment: Assessment, budget: HeightBudget, say: Say) -> str:
    """The last fall as it is seen: its crest, with the spill stone, over the water as it runs."""
    if isinstance(assessment.water, NotRun) or not budget.steps or budget.height_m <= 0.0:
        return ""
    heights = {crest.path: crest.fall_height_m.value for crest in assessment.water.crests}
    seen = heights.get(budget.steps[-1].path)
    return "" if seen is None else f"; the last is seen {say.one(seen, 'm')} over the running water"


def spent(budget: HeightBudget, say: Say) -> str:
    """What the height is spent on, in words."""
    parts = []
    for kind, one, many in (("fall", "fall", "falls"), ("ripple", "ripple", "ripples"), ("bed", "bed", "beds")):
        steps = [step.spent_m for step in budget.steps if step.kind == kind]
        if steps:
            parts.append(f"{len(steps)} {one if len(steps) == 1 else many} {say.one(sum(steps), 'm')}")
    left = budget.left_over_m
    over = (
        "nothing left over"
        if abs(left) < 5e-4
        else f"{'left over' if left > 0 else 'short by'} {say.one(abs(left), 'm')}"
    )
    return ", ".join([*parts, over])


def _water(assessment: Assessment, water: Water, say: Say) -> Iterator[Fact]:
    circuit = water.circuit
    yield "flow", say.one(circuit.flow_m3s.value, "m3/s"), say.may_be(circuit.flow_m3s, "m3/s")
    for point in water.circuit.pumps:
        yield pump(point, say)
        yield pipe(point, say, many=len(circuit.pumps) > 1)


def pump(point: PumpPoint, say: Say) -> Fact:
    """What the pump of one run must give, or gives."""
    if point.duty_head_m <= 0.0:
        return f"pump of {point.run}", "none can be proposed", no_lift(point, say)
    duty = f"{say.one(point.duty_flow_m3s, 'm3/s')} at {say.one(point.duty_head_m, 'm')}"
    works = f"works at {say.one(point.flow_m3s.value, 'm3/s')}, {say.one(point.head_m.value, 'm')}"
    power = f"{rough(say.band(point.power_w, 'W'))} electrical"
    if point.proposed:
        return f"pump of {point.run}", f"to be chosen for {duty}", f"not chosen yet: by usual efficiencies {power}"
    name = point.pump if point.pump.startswith("pump") else f"pump {point.pump}"
    return name, f"{duty} wanted", f"{works}; {power}"


def no_lift(point: PumpPoint, say: Say) -> str:
    """Why there is nothing to pump up to."""
    return f"the outlet lies {say.one(-point.static_m, 'm')} below the water that it is drawn from"


def pipe(point: PumpPoint, say: Say, *, many: bool) -> Fact:
    """The pipe of one run, and how fast the water is in it."""
    label = f"pipe of {point.run}" if many else "pipe"
    return (
        label,
        f"{point.pipe}, {say.one(point.pipe_length_m, 'm')}",
        f"water in it at {say.one(point.speed_ms, 'm/s')}",
    )


def _ponds(assessment: Assessment, shape: Shape, say: Say) -> Iterator[Fact]:
    for pond in shape.ponds:
        body = assessment.feature.body(pond.body)
        size = (
            f"{say.one(body.length_m, 'm')} by {say.one(body.width_m, 'm')}, {say.one(shape.depth_m(body), 'm')} deep"
        )
        if pond.short_m > LEAST_SHORT_M:
            size += f" where its sides meet, not {say.one(body.depth_m, 'm')}"
        name = _name(assessment, body)
        if pond.as_drawn:
            size = f"by the fill meter; {size}"
        yield name, f"{say.one(pond.volume_m3, 'm3')} of water", f"{size}; {say.one(pond.area_m2, 'm2')} of surface"


def _name(assessment: Assessment, body: Body) -> str:
    kind = "buried reservoir" if body.kind is BodyKind.RESERVOIR else "pond"
    return kind if len(assessment.feature.bodies) == 1 or body.id == kind else f"{kind} {body.id}"


def _drop(assessment: Assessment, water: Water, say: Say) -> Iterator[Fact]:
    for balance in water.balances:
        body = assessment.feature.body(balance.body)
        name = f" of {body.id}" if len(water.balances) > 1 else ""
        value = say.one(balance.drop_at_start_m.value, "m")
        note = "; ".join(filter(None, (say.may_be(balance.drop_at_start_m, "m"), held(balance, say))))
        yield f"drop at start{name}", value, note


def held(balance: Balance, say: Say) -> str:
    """How the level is held, and the stream's water that comes and goes."""
    return f"topped up {balance.holding}; {say.band(balance.transit_m3, 'm3')} in the stream"


def _berm(assessment: Assessment, containment: Containment, say: Say) -> Iterator[Fact]:
    planned = {f"rims/{rim.id}": rim.berm_m for body in assessment.feature.bodies for rim in body.rims}
    needed = [
        (max(top.berm_needed_m, planned.get(top.path, 0.0)), top.path)
        for top in containment.tops
        if top.berm_needed_m is not None and top.berm_needed_m > 0.0
    ]
    if not needed:
        yield "berm", "none needed", "at the rims that were given"
        return
    most, path = max(needed, key=lambda pair: pair[0])
    places = "1 place" if len(needed) == 1 else f"{len(needed)} places"
    where = path.partition("/")[2]
    yield "berm at the low side", f"{say.one(most, 'm')} at {where}", f"before it settles; build up at {places}"


def _liner(assessment: Assessment, liner: Liner, say: Say) -> Iterator[Fact]:
    for sheet in liner.pieces:
        size, cut = (
            f"{say.one(long, 'm')} by {say.one(wide, 'm')}"
            for long, wide in (sheet.ordered_m, (sheet.length_m, sheet.width_m))
        )
        note = f"{sheet.name}, {say.one(sheet.mass_kg, 'kg')}" + ("" if cut == size else f"; cut to {cut}")
        yield f"liner {sheet.id.removeprefix('l-')}", size, note


def _stone(assessment: Assessment, stone: Stone, say: Say) -> Iterator[Fact]:
    lots = stone.lots
    low = sum(lot.mass_low_kg for lot in lots) + sum(one.mass_low_kg for one in stone.spill_stones)
    high = sum(lot.mass_high_kg for lot in lots) + sum(one.mass_high_kg for one in stone.spill_stones)
    kinds: dict[str, tuple[float, float]] = {}
    for lot in lots:
        before = kinds.get(lot.kind, (0.0, 0.0))
        kinds[lot.kind] = (before[0] + lot.mass_low_kg, before[1] + lot.mass_high_kg)
    parts = [f"{kind} {rough(say.span(*masses, 'kg'))}" for kind, masses in kinds.items() if masses[1] > 0.0]
    count = len(stone.spill_stones)
    parts.insert(0, f"{count} spill stone{'' if count == 1 else 's'} among it")
    yield "stone and gravel", rough(say.span(low, high, "kg")), "; ".join(parts)


def _soil(assessment: Assessment, earth: Earth, say: Say) -> Iterator[Fact]:
    finished = assessment.finished
    if not isinstance(finished, NotRun) and (finished.soil.out_m3 > 0.0 or finished.soil.brought_in_m3 > 0.0):
        yield _balance(finished.soil, earth, say)
        return
    loose = earth.swell * sum(dig.bank_m3 for dig in earth.digs)
    taken = earth.swell * earth.berm_bank_m3
    if earth.brought_in_m3 > 0.0:
        more = say.soil(earth.swell * earth.brought_in_m3)
        yield "soil in", more, f"loose, to be brought in: berms and banks take all {say.soil(loose)} dug, and this more"
    elif taken > 0.0:
        yield "soil out", say.soil(earth.soil_out_m3), f"loose: {say.soil(loose)} dug less {say.soil(taken)} for berms"
    else:
        yield "soil out", say.soil(earth.soil_out_m3), "loose: all that is dug"


def _balance(soil: SoilBalance, earth: Earth, say: Say) -> Fact:
    """By the finished surface, as the sheet of cut and fill has it; the order list goes by the sizes of the parts."""
    listed = f"{say.soil(earth.swell * earth.brought_in_m3)} in" if earth.brought_in_m3 > 0.0 else ""
    beside = f"loose, by the surface; the order list has {listed or f'{say.soil(earth.soil_out_m3)} out'}"
    if soil.brought_in_m3 > 0.0:
        return "soil in", say.soil(earth.swell * soil.brought_in_m3), f"{beside}; berms and banks take all that is dug"
    return "soil out", say.soil(soil.out_m3), beside


def _access(assessment: Assessment, build: Build, say: Say) -> Iterator[Fact]:
    for access in build.accesses:
        wide = f"{say.one(access.width_m, 'm')} wide"
        if access.machine is None:
            yield f"access {access.access}", wide, "by hand, no machine given"
            continue
        fits = "fits" if access.fits else "does not fit"
        width = ""
        if access.machine_width_m is not None:
            width = f", {say.one(access.machine_width_m, 'm')}"
            if access.fits:
                fits += f" with {say.one(access.width_m - access.machine_width_m, 'm')} to spare"
        yield f"access {access.access}", f"{wide}: {fits}", f"{access.machine}{width}"


def _price(assessment: Assessment, price: Price, say: Say) -> Iterator[Fact]:
    days = say.span(price.days_low, price.days_high, "-")
    yield "days", days, f"a crew of {price.crew_people}"
    source = "from an invented example price book" if price.invented else f"from the price book {price.book}"
    source += f", {labour_words(price.labour, price.currency, say)}"
    missing = len(price.unpriced)
    without = f"; without {missing} item{'' if missing == 1 else 's'} not in it" if missing else ""
    yield "price", say.money(price.low, price.high, price.currency), source + without


def labour_words(labour: tuple[Decimal, Decimal] | None, currency: str, say: Say) -> str:
    """Whether people's hours are in a price, and at what rate."""
    if labour is None:
        return "without people's hours: the book has no crew_hour"
    return f"with labour at {say.money(*labour, currency)} an hour"
