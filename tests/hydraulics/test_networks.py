"""Networks of pipes and pumps: balances, closed forms, what must only rise or fall, what is refused, bounds."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from rillwright.errors import InputError, NoAnswer
from rillwright.hydraulics import (
    Link,
    PipeLink,
    PipeNetwork,
    PumpCurve,
    PumpLink,
    at_speed,
    box_curve,
    darcy_weisbach,
    greatest_station_flow,
    network_flow,
    operating_point,
    parallel_flow,
    pump_curve,
    scaled,
    segment_curve,
    series_head,
    station_head,
)

WEAK, STRONG = box_curve(4.0, 0.006), box_curve(8.0, 0.004)


def pipe(id: str, start: str, end: str, **more: float) -> PipeLink:
    sizes = {"inside_m": 0.052, "length_m": 10.0, "roughness_m": 1.5e-6, "loss_k": 3.0} | more
    return PipeLink(id=id, start=start, end=end, **sizes)  # type: ignore[arg-type]


def one_pump(curve: PumpCurve, lift: float, **more: float) -> PipeNetwork:
    links = (PumpLink(id="pump", start="pond", end="m", curve=curve), pipe("main", "m", "head", **more))
    return PipeNetwork(links=links, levels_m={"pond": 0.0, "head": lift})


@pytest.mark.parametrize("method", ["Colebrook", "Swamee-Jain"])
@pytest.mark.parametrize("roughness", [0.0, 1.5e-6, 5e-5])
def test_a_link_loses_what_the_formula_says_and_its_slope_is_the_derivative(method: str, roughness: float) -> None:
    """Over laminar, between and turbulent, both ways: darcy_weisbach and central differences."""
    link = replace(pipe("r", "a", "b", roughness_m=roughness), method=method)
    for n in range(140):
        flow = 2e-6 * 1.07**n
        loss, slope = link.drop(flow)
        exact = darcy_weisbach(
            flow, inside_m=0.052, length_m=10.0, roughness_m=roughness, loss_k=3.0, method=method
        ).loss_m
        assert loss == pytest.approx(exact, rel=1e-12)
        assert link.drop(-flow)[0] == pytest.approx(-exact, rel=1e-12)
        step = 1e-5 * flow
        difference = (link.drop(flow + step)[0] - link.drop(flow - step)[0]) / (2 * step)
        reynolds = 4 * flow / (math.pi * 0.052 * 1.0034e-6)
        if min(abs(reynolds / edge - 1) for edge in (2000, 4000)) > 1e-3:
            assert slope == pytest.approx(difference, rel=1e-4)


CURVES = {
    "box": WEAK,
    "round box": box_curve(5.0, 0.005, exponent=2.5),
    "straight": box_curve(5.0, 0.005, exponent=1.0),
    "steep at no flow": box_curve(5.0, 0.005, exponent=0.5),
    "power": pump_curve([(0, 8), (0.003, 6), (0.006, 1)]),
    "table": segment_curve([(0, 8), (0.002, 7.6), (0.005, 6), (0.008, 3), (0.010, 0)]),
}


@pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES.keys())
@pytest.mark.parametrize("lift", [-0.5, 0.0, 1.5, 3.5])
def test_one_pump_and_one_pipe_as_by_bisection(curve: PumpCurve, lift: float) -> None:
    found = network_flow(one_pump(curve, lift))
    point = operating_point(
        curve, lift, lambda q: darcy_weisbach(q, inside_m=0.052, length_m=10, roughness_m=1.5e-6, loss_k=3).loss_m
    )
    assert found.links["main"].flow_m3s == pytest.approx(point.flow_m3s, rel=1e-7)
    assert found.links["pump"].loss_m == pytest.approx(-point.head_m, rel=1e-6)


@given(
    st.lists(st.tuples(st.floats(2, 12), st.floats(1e-3, 1e-2), st.floats(1.2, 2.8)), min_size=1, max_size=3),
    st.lists(st.tuples(st.floats(-1, 10), st.floats(0.02, 0.1), st.booleans()), min_size=1, max_size=5),
)
def test_balances_whatever_is_asked(
    pumps: list[tuple[float, float, float]], outlets: list[tuple[float, float, bool]]
) -> None:
    """What enters a junction leaves it, heads agree along every open link, nothing runs back through a check valve."""
    links: list[Link] = []
    for n, (shut_off, most, exponent) in enumerate(pumps):
        links.append(PumpLink(id=f"p{n}", start="pond", end="m", curve=box_curve(shut_off, most, exponent=exponent)))
    links.append(pipe("main", "m", "t"))
    levels = {"pond": 0.0}
    for n, (level, inside, one_way) in enumerate(outlets):
        levels[f"o{n}"] = level
        links.append(replace(pipe(f"b{n}", "t", f"o{n}", inside_m=inside), one_way=one_way))
    network = PipeNetwork(links=tuple(links), levels_m=levels)
    found = network_flow(network)
    for node in network.junctions:
        assert found.into(node, network) == pytest.approx(0.0, abs=1e-7)
    for link in network.links:
        flow, lost = found.links[link.id].flow_m3s, found.heads_m[link.start] - found.heads_m[link.end]
        assert found.links[link.id].loss_m == pytest.approx(lost)
        if found.links[link.id].shut:
            assert flow == 0.0
            assert lost <= link.drop(0.0)[0] + 1e-4
        else:
            assert lost == pytest.approx(link.drop(flow)[0], abs=1e-5)
    assert found.rounds < 30


def test_two_unlike_pumps_side_by_side_and_one_after_the_other() -> None:
    """Flows add at one head, none above its own shut-off; heads add at one flow (closed forms of `pumps`)."""
    wide = {"inside_m": 1.0, "length_m": 0.01, "loss_k": 0.0}
    both = (
        PumpLink(id="weak", start="pond", end="m", curve=WEAK),
        PumpLink(id="strong", start="pond", end="m", curve=STRONG),
    )
    for lift in (1.0, 3.0, 3.9, 4.1, 7.0):
        network = PipeNetwork(links=(*both, pipe("main", "m", "head", **wide)), levels_m={"pond": 0.0, "head": lift})
        found = network_flow(network)
        assert found.links["main"].flow_m3s == pytest.approx(parallel_flow([WEAK, STRONG], lift), rel=1e-5)
        assert found.links["weak"].shut == (lift > 4.0)
        assert found.links["strong"].flow_m3s == pytest.approx(STRONG.flow(lift), rel=1e-5)
    row = (
        PumpLink(id="weak", start="pond", end="b", curve=WEAK),
        PumpLink(id="strong", start="b", end="m", curve=STRONG),
        pipe("main", "m", "head", **wide),
    )
    found = network_flow(PipeNetwork(links=row, levels_m={"pond": 0.0, "head": 9.0}))
    assert series_head([WEAK, STRONG], found.links["main"].flow_m3s) == pytest.approx(9.0, abs=1e-4)


@pytest.mark.parametrize("arrangement", ["parallel", "series"])
def test_a_station_is_its_pumps(arrangement: str) -> None:
    most = greatest_station_flow([WEAK, STRONG], arrangement=arrangement)
    heads = [station_head([WEAK, STRONG], most * n / 20, arrangement=arrangement) for n in range(21)]
    assert all(a > b for a, b in pairwise(heads))
    if arrangement == "parallel":
        assert heads[0] == 8.0
        assert parallel_flow([WEAK, STRONG], heads[12]) == pytest.approx(most * 12 / 20, rel=1e-9)
        assert heads[-1] == pytest.approx(0.0, abs=1e-9)
    else:
        assert heads[0] == 12.0
    assert station_head([WEAK], 0.003) == WEAK.head(0.003)
    with pytest.raises(InputError, match="parallel or series"):
        station_head([WEAK, STRONG], 0.001, arrangement="crosswise")
    with pytest.raises(InputError, match="no pump"):
        station_head([], 0.001)


def test_more_lift_more_length_more_roughness_less_flow() -> None:
    def flow(lift: float, **more: float) -> float:
        return network_flow(one_pump(STRONG, lift, **more)).links["main"].flow_m3s

    flows = [flow(lift) for lift in (0.0, 1.0, 2.0, 4.0, 6.0, 7.9, 8.1)]
    assert all(a > b for a, b in pairwise(flows))
    assert flows[-1] == 0.0
    assert flow(2.0) > flow(2.0, length_m=20.0) > flow(2.0, length_m=40.0)
    assert flow(2.0) > flow(2.0, roughness_m=1e-4)
    assert flow(2.0) > flow(2.0, viscosity_m2s=1.57e-6)


def test_an_outlet_that_is_raised_gives_to_the_others() -> None:
    shares = []
    for level in (0.6, 1.0, 1.3, 1.5):
        links = (
            PumpLink(id="pump", start="pond", end="m", curve=WEAK), pipe("main", "m", "t"),
            replace(pipe("a", "t", "oa"), one_way=True), replace(pipe("b", "t", "ob"), one_way=True),
        )  # fmt: skip
        found = network_flow(PipeNetwork(links=links, levels_m={"pond": 0.0, "oa": level, "ob": 1.0}))
        shares.append((found.links["a"].flow_m3s, found.links["b"].flow_m3s))
    assert all(a[0] > b[0] and a[1] < b[1] for a, b in pairwise(shares))
    assert shares[1][0] == pytest.approx(shares[1][1], rel=1e-9)


def test_an_outlet_under_water_runs_back_and_one_in_air_does_not() -> None:
    """A stopped or weak pump: water runs from the high outlet to the low one unless something holds it."""
    for one_way in (False, True):
        links = (
            PumpLink(id="pump", start="pond", end="t", curve=box_curve(1.0, 0.002)),
            replace(pipe("high", "t", "oh"), one_way=one_way), pipe("low", "t", "ol"),
        )  # fmt: skip
        found = network_flow(PipeNetwork(links=links, levels_m={"pond": 0.0, "oh": 2.0, "ol": 0.5}))
        assert found.links["high"].shut == one_way
        assert (found.links["high"].flow_m3s < 0.0) == (not one_way)


def test_in_feet_and_gallons() -> None:
    """EPANET 2.2 manual, ch. 12, in ft and cfs: 0.0252 f L/d^5 + 0.02517 K/d^4, solved by halving: within 1e-3."""
    foot = 0.3048
    curve = pump_curve([(0, 26), (0.1, 20), (0.2, 2)])  # cfs, ft

    def lost(q: float) -> float:
        loss = darcy_weisbach(
            q * foot**3, inside_m=0.25 * foot, length_m=90 * foot, roughness_m=5e-6 * foot,
            gravity_ms2=32.2 * foot, viscosity_m2s=1.1e-5 * foot**2, method="Swamee-Jain",
        )  # fmt: skip
        return 0.0252 * loss.friction_factor * 90 * 0.25**-5 * q**2 + 0.02517 * 6 * 0.25**-4 * q**2

    us = operating_point(curve, 9.0, lost)
    ours = one_pump(
        pump_curve([(q * foot**3, h * foot) for q, h in ((0, 26), (0.1, 20), (0.2, 2))]), 9.0 * foot,
        inside_m=0.25 * foot, length_m=90 * foot, roughness_m=5e-6 * foot, loss_k=6.0, gravity_ms2=32.2 * foot,
        viscosity_m2s=1.1e-5 * foot**2,
    )  # fmt: skip
    links = tuple(replace(link, method="Swamee-Jain") if isinstance(link, PipeLink) else link for link in ours.links)
    found = network_flow(replace(ours, links=links))
    assert found.links["main"].flow_m3s / foot**3 == pytest.approx(us.flow_m3s, rel=1e-3)


def test_what_is_drawn_from_a_junction_is_drawn() -> None:
    drawn = replace(one_pump(STRONG, 2.0), drawn_m3s={"m": 0.001})
    found, before = network_flow(drawn), network_flow(one_pump(STRONG, 2.0))
    assert found.into("m", drawn) == pytest.approx(0.001, abs=1e-9)
    assert found.links["main"].flow_m3s < before.links["main"].flow_m3s


def test_a_pump_that_is_driven_says_so() -> None:
    """In a row the weak one is driven past its greatest flow by the strong one."""
    row = (
        PumpLink(id="weak", start="pond", end="b", curve=box_curve(1.0, 0.001)),
        PumpLink(id="strong", start="b", end="m", curve=box_curve(10.0, 0.01)),
        pipe("main", "m", "head"),
    )
    found = network_flow(PipeNetwork(links=row, levels_m={"pond": 0.0, "head": 0.5}))
    assert "driven" in found.links["weak"].outside
    assert found.links["strong"].outside == ""


def test_networks_that_cannot_be_are_named() -> None:
    ring = (
        PumpLink(id="one", start="a", end="b", curve=WEAK), PumpLink(id="two", start="b", end="a", curve=STRONG),
        pipe("in", "pond", "a"), pipe("out", "b", "head"),
    )  # fmt: skip
    with pytest.raises(InputError, match=r"in a ring.*one, two"):
        PipeNetwork(links=ring, levels_m={"pond": 0.0, "head": 1.0})
    with pytest.raises(InputError, match="no water of known level"):
        PipeNetwork(links=(pipe("in", "pond", "a"), pipe("out", "b", "c")), levels_m={"pond": 0.0})
    with pytest.raises(InputError, match="used twice"):
        PipeNetwork(links=(pipe("in", "pond", "a"), pipe("in", "a", "b")), levels_m={"pond": 0.0})
    with pytest.raises(InputError, match="begins where it ends"):
        PipeNetwork(links=(pipe("in", "pond", "pond"),), levels_m={"pond": 0.0})
    with pytest.raises(InputError, match="not a level"):
        PipeNetwork(links=(pipe("in", "pond", "a"),), levels_m={"pond": math.nan})
    with pytest.raises(InputError, match="no resistance"):
        pipe("in", "pond", "a", length_m=0.0, loss_k=0.0)
    with pytest.raises(InputError, match="inside_m"):
        pipe("in", "pond", "a", inside_m=0.0)
    with pytest.raises(InputError, match="Colebrook or Swamee-Jain"):
        PipeLink(id="in", start="pond", end="a", inside_m=0.1, method="Haaland")


@given(st.integers(0, 100_000))
def test_whatever_is_asked_it_answers_or_says_where_it_stopped(seed: int) -> None:
    """Networks of any form, far outside any garden: an answer that balances, or a named refusal."""
    chance = random.Random(seed)
    levels = {"pond": 0.0} | {f"o{n}": chance.uniform(-50, 50) for n in range(chance.randint(0, 3))}
    nodes = [f"n{n}" for n in range(chance.randint(2, 7))] + list(levels)
    links: list[Link] = []
    for n in range(chance.randint(len(nodes), len(nodes) + 6)):
        start, end = chance.sample(nodes, 2)
        if chance.random() < 0.3:
            most, exponent = 10 ** chance.uniform(-6, -1), chance.uniform(0.3, 6)
            curve = box_curve(10 ** chance.uniform(-1, 2), most, exponent=exponent)
            links.append(PumpLink(id=f"l{n}", start=start, end=end, curve=curve))
        else:
            link = pipe(
                f"l{n}", start, end, inside_m=10 ** chance.uniform(-2.5, 0.3), length_m=chance.choice([0.0, 30.0])
            )
            links.append(replace(link, one_way=chance.random() < 0.4))
    try:
        network = PipeNetwork(links=tuple(links), levels_m=levels)
        found = network_flow(network)
    except (InputError, NoAnswer):
        return
    assert found.left_over_m < 1e-4
    most = max(abs(link.flow_m3s) for link in found.links.values())
    for node in network.junctions:
        assert found.into(node, network) == pytest.approx(0.0, abs=1e-7 + 1e-9 * most)


def test_where_it_stops_and_why() -> None:
    with pytest.raises(NoAnswer, match=r"after 1 rounds; along \w+ .* mm are left over"):
        network_flow(one_pump(STRONG, 2.0), most_rounds=1)


def test_worn_and_slow() -> None:
    """Every flow and head times its share; at another speed by affinity."""
    for curve in (WEAK, segment_curve([(0, 8), (0.004, 6.5), (0.006, 2)])):
        worn = scaled(curve, flow_share=0.9, head_share=0.8)
        for n in range(10):
            flow = curve.greatest_flow_m3s * n / 9
            assert worn.head(0.9 * flow) == pytest.approx(0.8 * curve.head(flow), rel=1e-12, abs=1e-12)
            slow = at_speed(curve, 0.7)
            assert slow.head(0.7 * flow) == pytest.approx(0.49 * curve.head(flow), rel=1e-12, abs=1e-12)
    with pytest.raises(InputError, match="flow_share"):
        scaled(WEAK, flow_share=0.0, head_share=1.0)
