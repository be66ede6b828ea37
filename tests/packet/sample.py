"""A judged sample with every branch filled in by hand, for looking at papers: plausible figures, not computed."""

from __future__ import annotations

from decimal import Decimal

from msgspec.structs import replace

from rillwright.assessment import (
    AccessCheck,
    Assessment,
    Build,
    Containment,
    DefaultUsed,
    Dig,
    Earth,
    Finding,
    Freeboard,
    Judged,
    Lift,
    LimitUsed,
    Liner,
    NotRun,
    Price,
    PriceLine,
    Severity,
    Sheet,
    SiteDay,
    SpillStone,
    StakeReading,
    Stone,
    StoneLot,
    Survey,
    Takeoff,
    TakeoffLine,
    Water,
)
from rillwright.packet import DayReadings
from rillwright.sources import defaults, limits
from rillwright.units import Band, Term
from tests.drawings import sample
from tests.drawings.spec import Spec

MARKUP = "#set page(width: 1pt) *a* $x$ <b> @c _d_ \\e // f"


def finding(code: str, severity: Severity, element: str, **more: object) -> Finding:
    """A finding about a height in metres, unless told otherwise."""
    told: dict[str, object] = {
        "title": f"{code.replace('.', ' ')}, as it was checked",
        "value": 0.021, "value_low": 0.012, "value_high": 0.034,
        "limit": 0.076, "limit_low": 0.051, "limit_high": 0.076,
        "margin": -0.03, "unit": "m", "limit_origin": "default", "source": "common practice",
        "text": "At " + element + " there is {found} between the highest water and the top.",
        "remedy": "Build it up by {more} before it settles, and shoot it again.",
        "parameters": (("found", 0.021, "m"), ("more", 0.055, "m")), "people": False,
    }  # fmt: skip
    return Finding(code=code, severity=severity, element=element, **{**told, **more})  # type: ignore[arg-type]


def findings(assessment: Assessment) -> tuple[Finding, ...]:
    """A few of each kind, worst first."""
    stop = finding("rim.low", Severity.STOP, "rims/rim3")
    power = finding(
        "power.protection", Severity.STOP, "site/whole", people=True, value=None, limit=None,
        text="Nobody has said that the pump's circuit is protected.",
        remedy="Ask a licensed electrician.", parameters=(),
    )  # fmt: skip
    watch = [
        finding("crest.thin", Severity.WATCH, f"falls/{fall.id}", source="hec-ras", limit_origin="override")
        for fall in assessment.feature.falls
    ]
    well = [
        finding("bank.low", Severity.OK, f"reaches/{reach.id}.bank", value=0.15, value_low=0.14, value_high=0.16)
        for reach in assessment.feature.reaches
    ]
    return (power, stop, *watch, *well)


def judged(spec: Spec, *, name: str | None = None, most: int | None = 8) -> Judged:
    """A judged sample of that make, with so many of the defaults and limits that there are, or all."""
    assessment = _filled(sample.make(spec))
    assessment = replace(
        assessment,
        defaults_used=assessment.defaults_used[:most],
        limits_used=assessment.limits_used[:most],
    )
    if name is not None:
        assessment = replace(assessment, feature=replace(assessment.feature, name=name, note=name))
    return Judged(assessment=assessment, findings=findings(assessment))


def site_day(judged: Judged, *, height_m: float = 1.842, rod: str = "metric") -> DayReadings:
    """Readings of the rod at every stake for one height of instrument."""

    def less(level: float | None) -> float | None:
        return None if level is None else height_m - level

    build = judged.assessment.build
    assert not isinstance(build, NotRun)
    readings = tuple(
        StakeReading(
            stake=stake,
            dig_m=less(stake.dig_m),
            liner_m=less(stake.liner_m),
            stone_top_m=less(stake.stone_top_m),
            water_m=less(stake.water_m),
        )
        for stake in build.stakes
    )
    return DayReadings(day=SiteDay(date="25 Nov 2026", height_of_instrument_m=height_m, rod=rod), readings=readings)


def _filled(bare: Assessment) -> Assessment:
    water, build, feature = bare.water, bare.build, bare.feature
    assert isinstance(water, Water)
    assert isinstance(build, Build)
    takeoff = _takeoff(bare)
    return replace(
        bare,
        survey=Survey(
            books=("books/levels.csv, 12 Nov 2026",), datum="BM1", setups=(), points=(), loops=(), page_checks=(),
            doubts=(), looks=(), misclosure_m=None, adjusted="none",
        ),
        water=replace(water, cases_not_run=("first start", "design rain")),
        liner=Liner(sheets=_sheets()),
        containment=Containment(
            tops=tuple(
                Freeboard(
                    path=f"rims/{rim.id}", kind="rim", top_m=Band.exact(rim.ground.m), against=water.highest[0],
                    freeboard_m=Band(0.021, 0.012, 0.034), berm_needed_m=0.055, run_m=None,
                )
                for rim in feature.bodies[0].rims
            ),
            spills_first="rims/rim3",
        ),
        stone=Stone(spill_stones=_spill_stones(bare), lots=_lots()),
        earth=Earth(
            digs=(
                Dig(path="ponds/pond", bank_m3=6.2, deepest_m=0.95, side_up_per_across=2.0, soil_up_per_across=1.0,
                    because=()),
            ),
            soil_out_m3=7.75, berm_fill_m3=0.4, swell=1.25, clearances=(), groundwater_above_floor_m=None,
        ),
        takeoff=takeoff,
        build=replace(
            build,
            lifts=(Lift(path="falls/f1", what="spill stone", load_kg=95.0, allowed_kg=250.0, machine="mini loader"),),
            accesses=(AccessCheck(access="gate", width_m=1.1, machine="mini loader", machine_width_m=0.9, fits=True),),
        ),
        price=_price(takeoff),
        defaults_used=tuple(
            DefaultUsed(
                path=f"ponds/pond.{entry.name.replace('.', '_')}", default=entry.name, value=entry.value,
                unit=entry.unit, source=entry.source,
            )
            for entry in defaults()
        ),
        limits_used=tuple(
            LimitUsed(name=entry.name, good=entry.good, bad=entry.bad, unit=entry.unit, source=entry.source, reason="")
            for entry in limits()
        ),
    )  # fmt: skip


def _sheets() -> tuple[Sheet, ...]:
    because = (Term(name="developed length", value=5.3, unit="m"), Term(name="spare, two sides", value=0.6, unit="m"))
    return tuple(
        Sheet(id=id, kind=kind, name=name, path=path, length_m=long, width_m=wide, mass_kg=mass, because=because)
        for id, kind, name, path, long, wide, mass in (
            ("l-basin", "liner", "EPDM 45 mil", "ponds/pond", 6.1, 4.9, 41.9),
            ("l-rill-1", "liner", "EPDM 45 mil", "streams/s1", 11.4, 2.7, 43.1),
            ("u-basin", "underlay", "felt 8 oz/sq yd", "ponds/pond", 6.1, 4.9, 8.1),
        )
    )


def _spill_stones(bare: Assessment) -> tuple[SpillStone, ...]:
    return tuple(
        SpillStone(
            id=f"stone-{fall.id}", fall=fall.id, across_m=fall.crest_width_m + 0.2, along_m=0.45, thick_low_m=0.05,
            thick_high_m=0.1, mass_low_kg=48.0, mass_high_kg=117.0, heaviest_kg=138.0,
        )
        for fall in bare.feature.falls
    )  # fmt: skip


def _lots() -> tuple[StoneLot, ...]:
    return tuple(
        StoneLot(id=kind, kind=kind, path="ponds/pond", mass_low_kg=low, mass_high_kg=high, volume_m3=1.0, because=())
        for kind, low, high in (("edge", 2290.0, 3270.0), ("face", 900.0, 1250.0), ("gravel", 1380.0, 1690.0))
    )


def _takeoff(bare: Assessment) -> Takeoff:
    because = (
        Term(name="length of edge", value=11.0, unit="m"),
        Term(name="share of the edge that is stone", value=0.9, unit="-"),
        Term(name="mass by length, low", value=208.0, unit="kg/m"),
    )
    rows: list[tuple[str, str, float, float, str, tuple[float, float] | None]] = [
        ("liner_m2", "liner for the pond", 29.9, 29.9, "m2", (6.1, 4.9)),
        ("liner_m2", "liner for stream s1", 30.8, 30.8, "m2", (11.4, 2.7)),
        ("edge_stone_kg", "edge stone", 2290.0, 3270.0, "kg", None),
        ("gravel_kg", "gravel", 1380.0, 1690.0, "kg", None),
        ("dig_m3", "dig, in the bank", 6.2, 6.2, "m3", None),
        ("soil_out_m3", "soil out, loose", 6.9, 8.9, "m3", None),
        ("pipe_m", "pipe, 63 mm", 13.0, 13.0, "m", None),
        ("pump_each", "pump", 1.0, 1.0, "each", None),
    ]
    rows += [("spill_stone_each", f"spill stone for {fall.id}", 1.0, 1.0, "each", None) for fall in bare.feature.falls]
    return Takeoff(
        lines=tuple(
            TakeoffLine(
                id=f"q{number}", item=item, text=text, path="ponds/pond", low=low, high=high, unit=unit, size_m=size,
                because=because,
            )
            for number, (item, text, low, high, unit, size) in enumerate(rows, start=1)
        )
    )  # fmt: skip


def _price(takeoff: Takeoff) -> Price:
    lines = tuple(
        PriceLine(
            item=line.item, text=line.text, quantity_low=line.low, quantity_high=line.high, unit=line.unit,
            low=Decimal("120.50") * number, high=Decimal("240.90") * number, hours_low=1.5, hours_high=4.0,
            note="laid and folded",
        )
        for number, line in enumerate(takeoff.lines, start=1)
    )  # fmt: skip
    return Price(
        currency="USD", book="prices.csv", invented=True, lines=lines, low=Decimal("6123.4"), high=Decimal("13988.1"),
        hours_low=61.0, hours_high=131.0, days_low=3.0, days_high=5.5, crew_people=3, unpriced=("electric_allowance",),
    )  # fmt: skip
