"""Streams that join, followed over time: against the quick tier, mass, water at rest. Invented."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.feature.joining import SITE, joined

from rillwright.feature import Feature
from rillwright.shape import shape
from rillwright.water import OverTime, Water, over_time, water
from rillwright.water.over_time_layout import layout
from rillwright.water.over_time_loop import How, Loop
from rillwright.water.settled import settle

LOW = SITE.replace("    head: 0.80 m", "    head: 0.62 m")  # the mouth 20 mm under the crest that holds the bed


def loop_of(text: str = SITE) -> tuple[Feature, Loop]:
    feature = joined(text)
    formed = shape(feature)
    return feature, Loop(feature, formed, runs=settle(feature, formed).runs, laid=layout(feature), engine="")


@cache
def followed() -> tuple[Feature, Water, OverTime]:
    feature = joined()
    formed = shape(feature)
    quick = water(feature, formed)
    return feature, quick, over_time(feature, formed, quick)


def test_its_water_comes_to_the_cell_beside_the_joint() -> None:
    feature, loop = loop_of()
    gates = {gate.body: gate for gate in loop.laid.gates if gate.cell is None}
    (mouth,) = (gate for gate in loop.laid.gates if gate.cell is not None)
    assert set(gates) == {"pond"}
    stream, station = loop.laid.stations[mouth.cell or 0]
    joins = feature.stream("side").joins
    assert stream == "main"
    assert joins is not None
    assert abs(station - joins.station_m) <= 0.5 * float(loop.laid.channel.length[mouth.cell or 0]) + 1e-9


@given(st.integers(0, 2**32 - 1), st.sampled_from([SITE, LOW]), st.booleans())
@settings(max_examples=8, deadline=None)
def test_no_water_is_made_or_lost_whatever_is_switched(seed: int, text: str, sealed: bool) -> None:
    text = text if sealed else text.replace("{fall: mouth,", "{fall: mouth, sealed: no,")
    _, loop = loop_of(text)
    rng, moment = np.random.default_rng(seed), loop.dry()
    whole = loop.whole_m3(moment)
    for _ in range(6):
        how = How(on=bool(rng.random() < 0.7), top_up=bool(rng.random() < 0.3), leak=bool(rng.random() < 0.2))
        for _ in range(int(rng.integers(5, 40))):
            moment, _ = loop.after(moment, how)
        assert abs(loop.whole_m3(moment) - whole) <= 1e-12 * whole
        assert np.isfinite(moment.channel.depth).all()
        assert float(moment.channel.depth.min()) >= 0.0


def test_running_it_agrees_with_the_quick_tier() -> None:
    """Levels within 3 mm, flows within 2 in 100, what the streams take within 5 in 100, as on one stream."""
    _, quick, found = followed()
    start = found.history("start")
    flows = {fall.fall: fall.end_m3s for fall in start.falls}
    known = {crest.fall: crest.flow_m3s.value for crest in quick.crests}
    for fall, flow in known.items():
        assert flows[fall] == pytest.approx(flow, rel=0.02), fall
    assert flows["last"] == pytest.approx(flows["over"] + flows["mouth"], rel=1e-3)
    assert start.taken_up_m3 == pytest.approx(quick.balance.transit_m3.value, rel=0.05)
    usual = {(high.path, high.case, high.holding): high.level_m.value for high in quick.highest}
    compared = 0
    for high in found.highest:
        level = usual.get((high.path, high.case, high.holding))
        if level is not None and high.case == "running":
            compared += 1
            assert abs(high.level_m.value - level) < 0.003, high.path
    assert compared >= 4


def test_no_history_makes_or_loses_water() -> None:
    _, _, found = followed()
    assert max(history.drift for history in found.histories) <= 1e-12
    assert all(history.settled for history in found.histories)
    assert {history.case for history in found.histories if history.lost_m3 > 0.0} == {"leak"}


def test_the_bed_that_is_joined_runs_once_either_stream_has_reached_it() -> None:
    _, _, found = followed()
    first = {fall.fall: fall.first_s for fall in found.history("first start").falls}
    assert None not in first.values()
    assert first["side-over"] < first["mouth"]  # type: ignore[operator]
    assert min(first["over"], first["mouth"]) < first["last"]  # type: ignore[type-var, operator]


def test_stopped_every_pool_stands_at_its_crest_and_nothing_moves() -> None:
    """Sealed stones hold the water of their beds: half an hour after the stop the speed is next to none."""
    feature, loop = loop_of()
    moment = loop.dry()
    for _ in range(600):
        moment, _ = loop.after(moment, How(on=True))
    for _ in range(1800):
        moment, passing = loop.after(moment, How(on=False))
    for reach, crest in (("meeting", "last"), ("side-lower", "mouth"), ("upper", "over")):
        first, beyond = loop.laid.reaches[reach]
        level = loop.laid.channel.bed[first:beyond] + moment.channel.depth[first:beyond]
        stone = next(fall.crest.m for fall in feature.falls if fall.id == crest)
        assert level == pytest.approx(np.full(beyond - first, stone), abs=1e-3)
    assert float(np.abs(moment.channel.speed).max()) < 1e-2
    assert sum(passing.falls_m3s.values()) < 1e-5


def test_a_mouth_under_the_bed_s_water_is_backed_up() -> None:
    """Running and standing, the water of both is one: the side's lower bed stands no lower than the bed it joins."""
    _, loop = loop_of(LOW)
    moment = loop.dry()
    for _ in range(900):
        moment, _ = loop.after(moment, How(on=True))
    levels = []
    for reach in ("meeting", "side-lower"):
        first, beyond = loop.laid.reaches[reach]
        levels.append(loop.laid.channel.bed[first:beyond] + moment.channel.depth[first:beyond])
    assert float(levels[1].mean()) >= float(levels[0].mean()) - 1e-3
