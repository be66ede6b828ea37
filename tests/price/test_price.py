"""Money by hand, in exact decimals."""

from __future__ import annotations

from decimal import Decimal

import pytest
from msgspec.structs import replace

from rillwright.errors import InputError
from rillwright.price import Price, crew_days, price_range
from rillwright.sources import price_book
from rillwright.takeoff import Line, Takeoff, unit_of
from rillwright.units import Band
from rillwright.water import PumpPoint, SizeTried

NOT_TAKEN_OFF = ("crew_hour", "electricity_kwh")
HEAD = "item,unit,low,high,currency,hours_low,hours_high,note\n"


def line(item: str, low: float, high: float | None = None, *, id: str = "x") -> Line:
    return Line(
        id=id,
        item=item,
        text=item,
        path="site/site",
        low=low,
        high=low if high is None else high,
        unit=unit_of(item),
        size_m=None,
        because=(),
    )


def priced(book: str, *lines: Line, crew_people: int = 3) -> Price:
    return price_range(Takeoff(lines=lines), price_book(HEAD + book, "own.csv"), crew_people=crew_people)


def test_by_hand() -> None:
    """2.5 t at 90.10 and 3.5 t at 120.20; 10 m2 at 9.99; hours 2.5 x 1 + 10 x 0.1 to 3.5 x 2 + 10 x 0.2."""
    book = "gravel_kg,t,90.10,120.20,EUR,1,2,washed\nliner_m2,m2,9.99,9.99,EUR,0.1,0.2,\n"
    found = priced(book, line("gravel_kg", 2500.0, 3500.0), line("liner_m2", 10.0))
    assert (found.low, found.high) == (Decimal("325.15"), Decimal("520.60"))
    assert (found.hours_low, found.hours_high) == pytest.approx((3.5, 9.0))
    assert (found.currency, found.book, found.invented, found.unpriced) == ("EUR", "own.csv", False, ())
    assert found.low == sum(one.low for one in found.lines)


@pytest.mark.parametrize(
    ("unit", "quantity"), [("kg", "1000.00"), ("t", "1.00"), ("ton", "1.1023113"), ("lb", "2204.6226")]
)
def test_quantities_are_turned_into_the_unit_of_sale(unit: str, quantity: str) -> None:
    """A tonne is 1.1023113 short tons, 2204.6226 lb (NIST SP 811, from memory)."""
    found = priced(f"edge_stone_kg,{unit},1,1,USD,0,0,\n", line("edge_stone_kg", 1000.0))
    assert found.lines[0].quantity_low == pytest.approx(float(quantity), rel=1e-7)
    assert found.lines[0].unit == unit


def test_lines_of_one_item_are_one_line_of_the_price() -> None:
    found = priced("pump_each,each,100,200,USD,1,2,\n", line("pump_each", 1.0, id="a"), line("pump_each", 1.0, id="b"))
    assert [(one.quantity_low, one.low, one.high) for one in found.lines] == [(2.0, Decimal("200"), Decimal("400"))]


def test_items_without_a_price_are_named_and_not_guessed() -> None:
    found = priced("pump_each,each,100,200,USD,1,2,\n", line("pump_each", 1.0), line("pipe_m", 12.0))
    assert found.unpriced == ("pipe_m",)
    assert found.high == Decimal("200.00")


def test_a_book_that_sells_by_another_measure_is_refused_with_its_lines() -> None:
    book = "gravel_kg,m3,50,60,USD,1,2,\npipe_m,ft,1,2,USD,0,0,\ndig_m3,t,1,2,USD,0,0,\n"
    with pytest.raises(InputError) as caught:
        priced(book, line("gravel_kg", 10.0), line("pipe_m", 1.0), line("dig_m3", 1.0))
    problems = caught.value.problems
    assert [(one.line, one.field, one.found) for one in problems] == [
        (2, "gravel_kg.unit", "m3"),
        (4, "dig_m3.unit", "t"),
    ]
    assert problems[0].allowed == "kg, t, lb, ton"
    assert {one.file for one in problems} == {"own.csv"}


@pytest.mark.parametrize(
    ("hours", "people", "days"),
    [(0.0, 3, 0.0), (0.1, 3, 0.5), (12.0, 3, 0.5), (12.1, 3, 1.0), (24.0, 3, 1.0), (48.1, 3, 2.5), (8.0, 1, 1.0)],
)
def test_crew_days_go_up_to_the_next_half(hours: float, people: int, days: float) -> None:
    """Hours over crew times eight, up to the next half; common practice, no source."""
    assert crew_days(hours, crew_people=people) == days


def test_low_is_never_above_high_and_the_packaged_book_says_that_it_is_invented() -> None:
    book = price_book()
    lines = tuple(line(row.item, 3.7, 5.1, id=row.item) for row in book.rows if row.item not in NOT_TAKEN_OFF)
    found = price_range(Takeoff(lines=lines), book, crew_people=2)
    assert found.invented
    assert not found.unpriced
    assert all(one.low <= one.high and one.hours_low <= one.hours_high for one in found.lines)
    assert found.low == sum((one.low for one in found.lines), Decimal(0))


def test_hours_are_priced_by_the_rate_of_the_book() -> None:
    """2 to 3 h a pump at 40.50 to 60.25 an hour beside 100 to 200 for the pump: 181.00 to 380.75."""
    book = "pump_each,each,100,200,USD,2,3,\ncrew_hour,hour,40.50,60.25,USD,0,0,one person\n"
    found = priced(book, line("pump_each", 1.0))
    assert (found.low, found.high) == (Decimal("181.00"), Decimal("380.75"))
    assert found.labour == (Decimal("40.50"), Decimal("60.25"))
    assert (found.hours_low, found.hours_high) == (2.0, 3.0)
    assert [one.item for one in found.lines] == ["pump_each", "crew_hour"]


def test_a_book_without_a_rate_prices_no_hours() -> None:
    assert priced("pump_each,each,100,200,USD,2,3,\n", line("pump_each", 1.0)).labour is None


def test_the_liner_that_is_priced_is_the_one_that_is_ordered() -> None:
    sheet = replace(line("liner_m2", 10.0), text="EPDM 60 mil, pond")
    found = priced("liner_m2,m2,9,14,USD,0,0,laid\n", sheet)
    assert found.lines[0].text == "liner, EPDM 60 mil"
    assert "mil" not in "".join(row.note for row in price_book().rows)


def _pump(power: Band, *sizes: tuple[str, float]) -> PumpPoint:
    flow = Band.exact(0.002)
    return PumpPoint(
        run="supply",
        pump="p1",
        proposed=False,
        wanted_m3s=0.002,
        flow_m3s=flow,
        head_m=Band.exact(2.0),
        static_m=1.0,
        friction_m=1.0,
        power_w=power,
        speed_ms=1.0,
        pipe="2 in",
        pipe_inside_m=0.052,
        pipe_length_m=10.0,
        duty_flow_m3s=0.0025,
        duty_head_m=2.2,
        spare=0.25,
        pump_curve=(),
        system_curve=(),
        sizes=tuple(
            SizeTried(pipe=pipe, inside_m=0.05, flow_m3s=0.002, head_m=2.0, speed_ms=1.0, power_w=watts)
            for pipe, watts in sizes
        ),
    )


def test_a_year_of_power_by_hand() -> None:
    """250 W day and night are 250 x 24 x 365.25 / 1000 = 2,191.5 kWh a year; at 0.12 to 0.40 the kWh 262.98 to 876.60.
    Ten years at 200 W are 17,532 kWh: 2,103.84 to 7,012.80."""
    book = price_book(HEAD + "electricity_kwh,kWh,0.12,0.40,EUR,0,0,\n", "own.csv")
    pump = _pump(Band.exact(250.0), ("3 in", 200.0), ("2 in", 250.0))
    (found,) = price_range(Takeoff(lines=()), book, crew_people=2, pumps=(pump,)).running
    assert found.year_j.value == pytest.approx(2191.5 * 3.6e6)
    assert (found.low, found.high) == (Decimal("262.98"), Decimal("876.60"))
    assert (found.years, found.pipes[0].pipe) == (10, "3 in")
    assert (found.pipes[0].low, found.pipes[0].high) == (Decimal("2103.84"), Decimal("7012.80"))


def test_power_is_no_part_of_the_build() -> None:
    book = price_book(HEAD + "electricity_kwh,kWh,0.12,0.40,EUR,0,0,\n", "own.csv")
    found = price_range(Takeoff(lines=()), book, crew_people=2, pumps=(_pump(Band(250.0, 200.0, 300.0)),))
    assert (found.low, found.high, found.lines) == (Decimal("0.00"), Decimal("0.00"), ())


def test_without_a_price_of_energy_the_energy_is_told_alone() -> None:
    book = price_book(HEAD + "gravel_kg,t,1,2,EUR,0,0,\n", "own.csv")
    (found,) = price_range(Takeoff(lines=()), book, crew_people=2, pumps=(_pump(Band.exact(100.0)),)).running
    assert (found.low, found.high) == (None, None)
    assert found.year_j.value == pytest.approx(100 * 86400 * 365.25)
