"""Highest water: every body and reach, every case, both ways of holding; the worst is the right one."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape.sample import body, buried, feature, four_drops, oval, run, stream, two_streams

from rillwright.feature import Feature, Holding, Reach
from rillwright.shape import level_at, shape, volume_at
from rillwright.units import parse
from rillwright.water import Water, water


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


@pytest.mark.parametrize("drawn", [four_drops(), buried(), two_streams()], ids=["four drops", "buried", "two streams"])
def test_every_body_and_reach_has_its_cases(drawn: Feature) -> None:
    found = solved(drawn)
    for pond in drawn.bodies:
        cases = {(high.case, high.holding) for high in found.highest if high.path == f"ponds/{pond.id}"}
        assert cases == {
            (case, holding.value)
            for case in ("rest", "running", "stopped", "first start", "half blocked")
            for holding in Holding
        }
    for reach in drawn.reaches:
        cases = {(high.case, high.holding) for high in found.highest if high.path == f"reaches/{reach.id}"}
        assert {case for case, _ in cases} == {"rest", "running", "stopped", "first start", "half blocked", "leaf dam"}
    assert any("design rain" in case for case in found.cases_not_run)


@pytest.mark.parametrize("holding", list(Holding))
def test_the_worst_of_a_pond_is_topped_up_then_stopped_half_blocked(holding: Holding) -> None:
    found = solved(four_drops(holding=holding))
    worst = found.worst("ponds/pond")
    assert (worst.case, worst.holding) == ("half blocked", "while running")
    assert worst.level_m.value > found.balance.topped_up_stop_level_m.value > found.balance.held_m
    of_pond = {(high.case, high.holding): high for high in found.highest if high.path == "ponds/pond"}
    stopped = of_pond["stopped", "while running"]
    assert stopped.level_m == found.balance.topped_up_stop_level_m


def test_half_blocked_is_the_same_flow_over_half_the_crest() -> None:
    """h goes with b^(-2/3): 2^(2/3) = 1.587 times the water on each crest, and so much more for the pond. Half as wide,
    a bed also takes 2 mm of slope: V 0.094 m/s, r 1.8, Ferguson U/u* 3.8, (0.094/3.8)^2 / (9.81 x 0.057) = 0.0011."""
    drawn = four_drops(pump=None)
    drawn_shape = shape(drawn)
    found = water(drawn, drawn_shape)
    depth = found.crests[0].depth_m.value
    blocked = next(h for h in found.highest if (h.path, h.case) == ("reaches/stream-r1", "half blocked"))
    assert blocked.level_m.value == pytest.approx(0.85 + 1.5874 * depth, abs=3e-3)
    assert blocked.level_m.value > 0.85 + 1.5874 * depth
    pond = drawn_shape.pond("pond")
    more = level_at(pond, volume_at(pond, -0.10) + 4 * 1.2 * 1.5874 * depth)
    assert found.worst("ponds/pond").level_m.value == pytest.approx(more, abs=1e-3)


def test_leaves_on_a_crest_raise_the_water_by_their_height() -> None:
    """Common practice, no source: the water runs over the leaves as over the stone, 25.4 mm higher."""
    found = solved(four_drops(pump=None))
    highs = {(high.path, high.case): high.level_m.value for high in found.highest}
    for reach in found.reaches:
        more = highs[reach.path, "leaf dam"] - highs[reach.path, "running"]
        assert more == pytest.approx(0.0254, abs=5e-4)  # less friction where it stands deeper
        assert more < 0.0254


def test_worst_of_a_path_without_water_is_an_error() -> None:
    with pytest.raises(ValueError, match="max"):
        solved(four_drops()).worst("reaches/nowhere")


def numbers(found: Water) -> list[float]:
    bands = [found.circuit.flow_m3s, found.circuit.head_m, found.circuit.power_w, found.balance.transit_m3]
    bands += [found.balance.stop_level_m, found.balance.running_level_m]
    bands += [crest.depth_m for crest in found.crests] + [high.level_m for high in found.highest]
    return [end for band in bands for end in (band.value, band.low, band.high)]


def test_the_same_in_feet_and_inches() -> None:
    """One feature typed in metres, and once more in feet and inches: the water is the same to 1e-9."""

    def typed(*, drops: tuple[str, ...], last: str, reach: str, wide: str, long: str, broad: str) -> Water:
        def si(text: str) -> float:
            return float(parse(text, "length").si)

        pond = body(oval(si(long), si(broad)))
        brook = stream(
            into=pond, drops_m=tuple(si(drop) for drop in drops), last_m=si(last), reach_m=si(reach), width_m=si(wide)
        )
        return solved(feature(bodies=(pond,), streams=(brook,), runs=(run(outlet_level=brook.falls[0].crest),)))

    us = typed(drops=('6"', "8 in"), last="1 ft", reach="5'", wide="2 ft", long="12 ft", broad="8'-6\"")
    metric = typed(drops=("152.4 mm", "203.2 mm"), last="0.3048 m", reach="1.524 m", wide="609.6 mm", long="3.6576 m",
                   broad="2.5908 m")  # fmt: skip
    assert numbers(us) == pytest.approx(numbers(metric), rel=1e-9)


def test_a_site_that_lies_higher_has_the_same_water() -> None:
    """The whole feature 137 m up: every level moves along, nothing else does."""
    up = 137.0
    drawn = four_drops()
    pond = drawn.bodies[0]
    moved = replace(
        drawn,
        bodies=(
            replace(
                pond,
                waterline=pond.waterline.moved(up),
                intake=replace(pond.intake, low=pond.intake.low.moved(up), high=pond.intake.high.moved(up)),
                rims=tuple(replace(rim, ground=rim.ground.moved(up)) for rim in pond.rims),
            ),
        ),
        streams=tuple(
            replace(
                one,
                head=one.head.moved(up),
                links=tuple(
                    replace(link, bed_start=link.bed_start.moved(up), bed_end=link.bed_end.moved(up))
                    if isinstance(link, Reach)
                    else replace(link, crest=link.crest.moved(up), foot=link.foot.moved(up))
                    for link in one.links
                ),
            )
            for one in drawn.streams
        ),
        runs=tuple(replace(one, outlet_level=one.outlet_level.moved(up)) for one in drawn.runs),
    )
    low, high = solved(drawn), solved(moved)
    assert high.circuit.flow_m3s.value == pytest.approx(low.circuit.flow_m3s.value, rel=1e-9)
    levels = [each.level_m.value - up for each in high.highest]
    assert levels == pytest.approx([each.level_m.value for each in low.highest], abs=1e-9)
