"""Each line's terms make its quantity; nothing is left out and nothing is outside the price book."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.examples.folders import NAMES, Worked, worked
from tests.shape import sample

from rillwright.earth import move_earth
from rillwright.feature import XY, Feature
from rillwright.liner import size_liner
from rillwright.price.running import ELECTRICITY
from rillwright.price.whole import LABOUR
from rillwright.shape import Shape, shape
from rillwright.sources import price_book
from rillwright.stone import place_stone
from rillwright.takeoff import ITEMS, Line, Takeoff, take_off
from rillwright.water import Water, water

STEP_M = 0.1  # a side is ordered up to the next 3 in or 100 mm: common practice, no source


def taken(done: Worked) -> Takeoff:
    return _of(done.feature, done.shape, done.water)


def of_feature(feature: Feature) -> Takeoff:
    drawn = shape(feature)
    return _of(feature, drawn, water(feature, drawn))


def _of(feature: Feature, drawn: Shape, wet: Water) -> Takeoff:
    laid, placed = size_liner(feature, drawn), place_stone(feature, drawn)
    return take_off(feature, wet, liner=laid, stone=placed, earth=move_earth(feature, drawn))


def value(line: Line, name: str) -> float:
    return next(term.value for term in line.because if term.name == name)


@pytest.mark.parametrize("name", NAMES)
def test_terms_make_the_quantity(name: str) -> None:
    for line in taken(worked(name)).lines:
        low, high = 1.0, 1.0
        if line.item in ("liner_m2", "underlay_m2", "pad_m2"):
            assert line.size_m is not None
            cut = value(line, "length"), value(line, "width")
            if line.item != "pad_m2":
                ordered = value(line, "ordered length"), value(line, "ordered width")
                assert all(0.0 <= more - side < STEP_M for side, more in zip(cut, ordered, strict=True))
                cut = ordered
            low = high = cut[0] * cut[1]
            assert line.size_m == cut
        elif line.unit == "kg":
            low = math.prod(term.value for term in line.because if not term.name.endswith(", high"))
            high = math.prod(term.value for term in line.because if not term.name.endswith(", low"))
        elif line.item == "soil_out_m3":
            out = value(line, "dug, in the bank") - value(line, "kept for berms and banks, in the bank")
            low, high = out * value(line, "swell, low"), out * value(line, "swell, high")
        elif line.unit in ("m", "m3"):
            low = high = line.because[-1 if line.path.startswith("streams/") else 0].value
        assert (line.low, line.high) == pytest.approx((low, high)), line.id


@pytest.mark.parametrize("name", NAMES)
def test_lines_can_be_told_apart_and_ordered(name: str) -> None:
    lines = taken(worked(name)).lines
    assert len({line.id for line in lines}) == len(lines)
    for line in lines:
        assert 0.0 < line.low <= line.high
        assert math.isfinite(line.high)
        assert line.text


def test_items_and_the_price_book_keep_step() -> None:
    book = price_book()
    for item in ITEMS:
        row = book.find(item.key)
        assert row is not None, item.key
        assert row.si_unit == item.unit, item.key
    assert {row.item for row in book.rows} == {item.key for item in ITEMS} | {LABOUR, ELECTRICITY}


def test_what_the_three_examples_ask_for() -> None:
    """Pumps, intakes and fillings as their files say."""
    found = {name: [line.item for line in taken(worked(name)).lines] for name in NAMES}
    assert found["weavers-court"].count("pump_each") == 2
    assert found["weavers-court"].count("spill_stone_each") == 6
    assert "skimmer_each" in found["orchard-press"]
    assert "reservoir_block_m3" in found["clinic-forecourt"]
    assert "skimmer_each" not in found["clinic-forecourt"]


def test_soil_out_is_what_is_dug_less_what_berms_take_swollen() -> None:
    """Fill is 0.90 of the bank soil that it takes, loose soil 1.25 of it: common earth, FM 5-434 (from memory)."""
    done = worked("orchard-press")
    lines = taken(done).lines
    dug = sum(line.low for line in lines if line.item == "dig_m3")
    out = next(line for line in lines if line.item == "soil_out_m3")
    fill = sum(line.low for line in lines if line.item == "berm_m3")
    assert fill > 0.0
    assert out.low == pytest.approx((dug - fill / 0.90) * 1.25)


@pytest.mark.parametrize("angle", [0.5, 2.0, -1.2])
def test_turning_and_moving_the_site_changes_no_quantity(angle: float) -> None:
    """The whole plan turned [rad] and shifted. Outlines are many-cornered: sizes agree to a few in a thousand."""

    def put(point: XY) -> XY:
        x, y = point
        return (x * math.cos(angle) - y * math.sin(angle) + 7.0, x * math.sin(angle) + y * math.cos(angle) - 3.0)

    plain = sample.two_streams()
    moved = replace(
        plain,
        bodies=tuple(replace(body, outline=tuple(map(put, body.outline))) for body in plain.bodies),
        streams=tuple(replace(stream, path=tuple(map(put, stream.path))) for stream in plain.streams),
    )
    for one, two in zip(of_feature(plain).lines, of_feature(moved).lines, strict=True):
        assert (one.id, one.item) == (two.id, two.item)
        assert (two.low, two.high) == pytest.approx((one.low, one.high), rel=4e-3)


def test_a_branching_run_is_taken_off_pipe_by_pipe() -> None:
    """The press: main, head and millstone, each a pipe and a lot of fittings; one pump."""
    lines = {line.id: line for line in taken(worked("orchard-press")).lines}
    assert [id for id in lines if id.startswith("pipe-")] == [
        "pipe-supply",
        "pipe-supply-head",
        "pipe-supply-millstone",
    ]
    feet = [lines[id].low / 0.3048 for id in ("pipe-supply", "pipe-supply-head", "pipe-supply-millstone")]
    assert feet == pytest.approx([30, 12, 8])
    assert sum(id.startswith("fittings-") for id in lines) == 3
    assert sum(id.startswith("pump-") for id in lines) == 1
