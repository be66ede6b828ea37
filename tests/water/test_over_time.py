"""Starts and stops over time, against the quick tier, by their own invariants, and where something goes wrong."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from rillwright import job
from rillwright.errors import Cancelled, NoAnswer
from rillwright.feature import BodyKind, Document, Feature, complete
from rillwright.progress import silent
from rillwright.shape import shape
from rillwright.sources import default
from rillwright.water import OverTime, Water, over_time, water
from rillwright.water.over_time_layout import layout
from rillwright.water.over_time_loop import How, Loop
from rillwright.water.over_time_play import Bounds, Told, play
from rillwright.water.settled import settle

EXAMPLES = sorted(job.examples())
TEXT = """\
# Invented for the tests.
format: 1
name: Ash Yard
invented: yes
units: metric
marks:
  - {id: pin, role: benchmark, level: 0 m, at: [0 m, 0 m]}
  - {id: head, level: 0.60 m, at: [6 m, 0 m]}
ponds:
  - id: pond
    waterline: 0 m
    outline: {oval: [3 m, 2 m]}
    depth: 0.6 m
    held: at rest
    intake: {kind: skimmer}
streams:
  - id: rill
    into: pond
    head: head
    width: 0.8 m
    course:
      - {bed: b1, length: 1.5 m}
      - {fall: f1, drop: 150 mm, sealed: yes}
      - {bed: b2, length: 1.5 m}
      - {fall: f2}
runs:
  - id: run
    from: pond
    to: rill
    wanted: 2 L/s
    length: 8 m
"""


@cache
def example(name: str) -> tuple[Feature, Water, OverTime]:
    feature = job.open(job.examples()[name]).feature
    formed = shape(feature)
    quick = water(feature, formed)
    return feature, quick, over_time(feature, formed, quick)


def completed(text: str) -> Feature:
    return complete(Document.read(text, file="feature.yaml"), {})


def followed(text: str) -> OverTime:
    feature = completed(text)
    formed = shape(feature)
    return over_time(feature, formed, water(feature, formed))


def fed_m3s(feature: Feature, quick: Water) -> float:
    """What the circuit brings to streams, spouts into ponds left out."""
    bodies = {body.id for body in feature.bodies}
    return sum(outlet.flow_m3s.value for outlet in quick.circuit.outlets if outlet.outlet not in bodies)


def loop_of(feature: Feature) -> Loop:
    formed = shape(feature)
    return Loop(feature, formed, runs=settle(feature, formed).runs, laid=layout(feature), engine="")


# Against the quick tier


@pytest.mark.parametrize("name", [EXAMPLES[0], *(pytest.param(name, marks=pytest.mark.deep) for name in EXAMPLES[1:])])
def test_what_the_streams_take_is_the_water_in_transit(name: str) -> None:
    """Both ways of working it out: steady levels and shallow water. They agree far inside the band."""
    _, quick, found = example(name)
    transit = quick.balance.transit_m3
    assert transit.low < found.history("start").taken_up_m3 < transit.high
    assert found.history("start").taken_up_m3 == pytest.approx(transit.value, rel=0.05)
    assert -found.history("stop").taken_up_m3 == pytest.approx(transit.value, rel=0.05)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_drop_at_start_agrees(name: str) -> None:
    feature, quick, found = example(name)
    body = next(each for each in found.history("start").bodies if each.body == quick.balance.body)
    rest = feature.body(body.body).waterline.m
    assert body.begin_m == pytest.approx(rest, abs=1e-9)
    assert rest - body.lowest_m == pytest.approx(quick.balance.drop_at_start_m.value, rel=0.1)


@pytest.mark.parametrize("name", EXAMPLES)
def test_levels_agree_with_the_quick_tier(name: str) -> None:
    """Of bodies within the band; of reaches within 2 mm, running, and 8 mm where half of the width is blocked."""
    _, quick, found = example(name)
    usual = {(high.path, high.case, high.holding): high.level_m for high in quick.highest}
    compared = 0
    for high in found.highest:
        known = usual.get((high.path, high.case, high.holding))
        if known is None:
            continue
        compared += 1
        most = 0.008 if high.case == "half blocked" else 0.002
        assert abs(high.level_m.value - known.value) < most, (high.path, high.case)
    assert compared >= len(found.highest) // 2


@pytest.mark.parametrize("name", EXAMPLES)
def test_flows_agree_with_the_circuit(name: str) -> None:
    feature, quick, found = example(name)
    last = feature.streams[0].falls[-1].id
    end = next(fall for fall in found.history("start").falls if fall.fall == last)
    assert end.end_m3s == pytest.approx(fed_m3s(feature, quick), rel=0.02)


# Invariants


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_water_is_made_or_lost(name: str) -> None:
    _, _, found = example(name)
    assert max(history.drift for history in found.histories) <= 1e-12
    assert all(history.settled for history in found.histories)
    for history in found.histories:
        assert (history.lost_m3 > 0.0) == (history.case == "leak")


@given(st.integers(0, 2**32 - 1), st.booleans(), st.booleans())
@settings(max_examples=8, deadline=None)
def test_pond_stream_gravel_pipe_and_pools_together_stay_the_same(seed: int, sealed: bool, check_valve: bool) -> None:
    """Whatever is switched on and off."""
    text = TEXT.replace("sealed: yes", f"sealed: {'yes' if sealed else 'no'}")
    feature = completed(text + f"    check_valve: {'yes' if check_valve else 'no'}\n")
    loop, rng = loop_of(feature), np.random.default_rng(seed)
    moment = loop.dry()
    whole = loop.whole_m3(moment)
    for _ in range(6):
        how = How(on=bool(rng.random() < 0.7), top_up=bool(rng.random() < 0.3), leak=bool(rng.random() < 0.2))
        for _ in range(int(rng.integers(5, 40))):
            moment, _ = loop.after(moment, how)
        assert abs(loop.whole_m3(moment) - whole) <= 1e-12 * whole
        assert min(moment.bodies_m3.values()) >= 0.0
        assert float(moment.gravel_m3.min()) >= 0.0
        assert np.isfinite(moment.channel.depth).all()


def test_a_feature_at_rest_stays_at_rest() -> None:
    feature = completed(TEXT)
    loop = loop_of(feature)
    moment = loop.dry()
    for _ in range(30):
        moment, passing = loop.after(moment, How(on=False))
    assert loop.level_m(moment, "pond") == pytest.approx(0.0, abs=1e-12)
    assert loop.stream_m3(moment) == 0.0
    assert not any(passing.falls_m3s.values())


# What is answered


def test_falls_run_from_the_head_down() -> None:
    """Water brought to the stream head alone fills one pool after the other."""
    _, _, found = example("orchard-press")
    times = [fall.first_s for fall in found.history("first start").falls]
    assert None not in times
    assert times == sorted(times, key=lambda each: each or 0.0)
    rested = {fall.fall: fall.first_s or 0.0 for fall in found.history("start").falls}
    assert all(rested[fall.fall] < (fall.first_s or 0.0) for fall in found.history("first start").falls)


@pytest.mark.parametrize("name", EXAMPLES)
def test_lowest_and_highest_and_when(name: str) -> None:
    feature, _, found = example(name)
    for body in found.history("start").bodies:
        assert body.lowest_m < body.begin_m
        assert 0.0 < body.lowest_s <= found.history("start").lasted_s
    for body in found.history("stop", holding="while running").bodies:
        assert body.highest_m > feature.body(body.body).waterline.m
        assert body.highest_s > 60.0  # a stream takes minutes to drain


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_stream_out_of_its_liner_leaves_what_lies_under_the_intake(name: str) -> None:
    feature, quick, found = example(name)
    (leak,) = found.leaks
    body = feature.body(leak.body)
    assert leak.level_m == pytest.approx(quick.balance.left_if_stream_leaks_m, abs=2e-3)
    assert leak.air_s is not None
    assert leak.cut_off_s is not None
    assert 0.0 < leak.cut_off_s < leak.air_s
    assert leak.saved_m3 > 0.0
    assert leak.lost_m3 == pytest.approx(leak.air_s * fed_m3s(feature, quick), rel=0.05)  # by the pump's own flow
    if body.kind is BodyKind.POND:
        assert leak.depth_left_m == pytest.approx(leak.level_m - shape(feature).pond(leak.body).floor_m)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_cut_off_lies_below_the_lowest_that_a_start_may_come_to_or_says_that_it_may_trip(name: str) -> None:
    """A start draws down by what goes into transit, which may be 20 % more; an inch lower the cut-off is set."""
    (leak,) = example(name)[2].leaks
    (body,) = (each for each in example(name)[2].history("start").bodies if each.body == leak.body)
    lowest_m = body.lowest_m - default("transit.band").number * (body.begin_m - body.lowest_m)
    assert leak.may_trip == (leak.cut_off_m >= lowest_m)
    if not leak.may_trip:
        below_m = lowest_m - default("over_time.cut_off").number
        assert leak.cut_off_m <= below_m + 1e-9 or leak.cut_off_m == pytest.approx(leak.level_m, abs=2e-3)
    assert not (leak.trips_first and leak.may_trip_first)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_dirty_intake_brings_less_but_not_nothing(name: str) -> None:
    _, _, found = example(name)
    usual = {fall.fall: fall.end_m3s for fall in found.history("start").falls}
    for fall in found.history("dirty intake").falls:
        assert 0.5 * usual[fall.fall] < fall.end_m3s < usual[fall.fall]


@pytest.mark.parametrize("name", EXAMPLES)
def test_series_are_long_enough_to_draw_and_short_enough_to_print(name: str) -> None:
    _, _, found = example(name)
    for history in found.histories:
        assert 20 <= len(history.times_s) <= 480
        traces = [each.level_m for each in history.levels] + [each.flow_m3s for each in history.crests + history.pumped]
        assert {len(trace) for trace in traces} == {len(history.times_s)}
        assert len(history.film.levels_m) == len(history.film.times_s) <= 60
        assert history.film.times_s[0] == 0.0, "as it was when it began"
        assert {len(row) for row in history.film.levels_m} == {len(history.film.stations)}
        assert list(history.times_s) == sorted(set(history.times_s))


def test_a_pump_without_a_check_valve_lets_its_pipe_run_back() -> None:
    held, emptied = (
        followed(TEXT + f"    check_valve: {said}\n    pipe: {{name: 63 mm}}\n").history("stop").taken_up_m3
        for said in ("yes", "no")
    )
    assert held - emptied > 0.01  # 8 m of pipe


def test_a_pipe_that_ends_under_water_draws_its_bed_down_at_stop() -> None:
    """Mass is held by every step; what its bed loses is the siphon of the quick tier, within a tenth."""
    under = (
        TEXT + "    check_valve: no\n    pipe: {name: 63 mm}\n    outlet: 0.60 m above pin\n    outlet_under_water: "
    )
    feature = completed(under + "yes\n")
    quick = water(feature, shape(feature))
    (siphon,) = quick.siphons
    in_air, drawn = (followed(under + f"{said}\n").history("stop").taken_up_m3 for said in ("no", "yes"))
    assert in_air - drawn == pytest.approx(siphon.back_m3, rel=0.1)


def test_under_a_stone_that_is_not_sealed_the_pool_runs_out() -> None:
    sealed, unsealed = (
        followed(TEXT.replace("sealed: yes", f"sealed: {said}")).history("stop").taken_up_m3 for said in ("yes", "no")
    )
    assert unsealed < sealed - 0.02


# Other shapes of features

TWO_STREAMS = """\
format: 1
name: Beech Yard
invented: yes
units: metric
marks:
  - {id: pin, role: benchmark, level: 0 m, at: [0 m, 0 m]}
  - {id: high, level: 0.80 m, at: [6 m, 0 m]}
  - {id: low, level: 0.45 m, at: [0 m, 6 m]}
ponds:
  - {id: pond, waterline: 0 m, outline: {oval: [4 m, 3 m]}, depth: 0.7 m, intake: {kind: pit}}
streams:
  - id: long
    into: pond
    head: high
    width: 0.8 m
    course: [{bed: a1, length: 2 m}, {fall: g1, drop: 250 mm}, {bed: a2, length: 2 m, pitch: -10 mm}, {fall: g2}]
  - id: short
    into: pond
    head: low
    width: 0.6 m
    course: [{bed: c1, length: 1.2 m}, {fall: k1, drop: 150 mm}, {bed: c2, length: 1 m}, {fall: k2}]
runs:
  - id: main
    from: pond
    pump: {id: p, box: {shut_off: 8 m, greatest_flow: 16 m3/h}}
    pipe: {name: 63 mm}
    length: 3 m
    outlets:
      - {id: up, to: long, wanted: 4 m3/h, length: 6 m}
      - {id: down, to: short, wanted: 3 m3/h, length: 2 m, valve: {k: 30}}
      - {id: spout, to: pond, wanted: 0.5 m3/h, outlet: 300 mm above ponds/pond.waterline, length: 2 m, valve: {k: 900}}
"""


@cache
def two_streams() -> tuple[Feature, Water, OverTime]:
    feature = completed(TWO_STREAMS)
    quick = water(feature, shape(feature))
    return feature, quick, over_time(feature, shape(feature), quick)


def test_a_branching_run_feeds_two_streams_and_a_spout() -> None:
    _, quick, found = two_streams()
    start = found.history("start")
    assert start.settled
    assert start.drift <= 1e-12
    ends = {fall.fall: fall.end_m3s for fall in start.falls}
    flows = {outlet.outlet: outlet.flow_m3s.value for outlet in quick.circuit.outlets}
    assert ends["g2"] == pytest.approx(flows["long"], rel=0.02)
    assert ends["k2"] == pytest.approx(flows["short"], rel=0.02)
    assert start.taken_up_m3 == pytest.approx(quick.balance.transit_m3.value, rel=0.1)
    assert {fall.fall for fall in start.falls if fall.first_s is not None} == {"g1", "g2", "k1", "k2"}


def test_a_pump_over_a_pit_draws_to_the_floor() -> None:
    feature, _, found = two_streams()
    (leak,) = found.leaks
    assert leak.depth_left_m == pytest.approx(0.0, abs=1e-3)
    assert leak.left_m3 == pytest.approx(0.0, abs=0.02)
    assert leak.saved_m3 > 0.5 * shape(feature).pond("pond").volume_m3


def test_both_streams_are_in_the_film_from_head_to_pond() -> None:
    _, _, found = two_streams()
    stations = found.history("start").film.stations
    for stream, length in (("long", 4.0), ("short", 2.2)):
        along = [each.station_m for each in stations if each.stream == stream]
        assert along == sorted(along)
        assert 0.0 < along[0] < 0.3
        assert length - 0.3 < along[-1] < length


# What goes wrong


def test_a_pond_too_small_for_its_stream_sucks_air_at_the_first_start() -> None:
    small = TEXT.replace("[3 m, 2 m]", "[1.2 m, 1 m]").replace("length: 1.5 m", "length: 5 m")
    first = followed(small).history("first start")
    assert first.air_s is not None
    assert first.air_s < 600.0
    assert first.drift <= 1e-12


def test_without_a_stream_there_is_nothing_to_follow() -> None:
    text = TEXT[: TEXT.index("streams:")] + "runs: []\n"
    feature = completed(text)
    formed = shape(feature)
    with pytest.raises(NoAnswer, match="nothing to follow"):
        over_time(feature, formed, water(feature, formed))


def test_a_pump_that_does_not_reach_leaves_its_falls_dry() -> None:
    weak = TEXT.replace(
        "    wanted: 2 L/s\n", "    wanted: 2 L/s\n    pump: {id: p, box: {shut_off: 0.5 m, greatest_flow: 3 m3/h}}\n"
    )
    found = followed(weak)
    start = found.history("start")
    assert start.settled
    assert [fall.first_s for fall in start.falls] == [None, None]
    assert start.taken_up_m3 == pytest.approx(0.0, abs=1e-9)


def test_what_takes_too_long_is_left_and_says_so() -> None:
    """A bound of a minute: the first pool is not full by then."""
    feature = completed(TEXT)
    loop = loop_of(feature)
    bounds = replace(Bounds.usual(), longest_s=60.0)
    told = Told(progress=silent, number=0, of=1)
    played = play(
        loop, loop.dry(), How(on=True), case="first start", holding="at rest", most_s=60.0, told=told, bounds=bounds
    )
    assert not played.history.settled
    assert played.history.why.startswith(
        "followed for 1 min, the longest allowed; what the streams hold still changes by"
    )
    assert played.history.lasted_s == 60.0


@pytest.mark.deep
def test_without_numba_it_is_slower_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    feature = completed(TEXT.replace("length: 1.5 m", "length: 0.4 m"))
    formed = shape(feature)
    quick = water(feature, formed)
    compiled = over_time(feature, formed, quick)
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    found = over_time(feature, formed, quick)
    assert (found.engine, compiled.note) == ("numpy", "")
    assert "numba is not installed" in found.note
    ours, twin = (each.history("start").bodies[0].lowest_m for each in (compiled, found))
    assert ours == pytest.approx(twin, abs=1e-9)


def test_it_can_be_stopped() -> None:
    feature = completed(TEXT)
    formed = shape(feature)
    said: list[tuple[float, str]] = []

    def soon(share: float, doing: str) -> bool:
        said.append((share, doing))
        return len(said) < 3

    with pytest.raises(Cancelled, match="first start: stopped by hand after 20 s"):
        over_time(feature, formed, water(feature, formed), progress=soon)
    shares = [share for share, _ in said]
    assert shares == sorted(shares)


def test_both_engines_tell_the_same() -> None:
    feature = completed(TEXT.replace("length: 1.5 m", "length: 0.6 m"))
    loops = [
        Loop(feature, shape(feature), runs=settle(feature, shape(feature)).runs, laid=layout(feature), engine=engine)
        for engine in ("", "numpy")
    ]
    ends = []
    for loop in loops:
        moment = loop.dry()
        for _ in range(20):
            moment, _ = loop.after(moment, How(on=True))
        ends.append(moment)
    assert np.allclose(ends[0].channel.depth, ends[1].channel.depth, rtol=1e-9, atol=1e-12)
