"""What complete() decides: levels, defaults, ids, and every reference that leads nowhere."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from rillwright.errors import InputError
from rillwright.feature import (
    Document,
    ElementPath,
    Fall,
    Feature,
    KnownPoint,
    Level,
    Origin,
    Reach,
    Surface,
    complete,
)
from tests.feature.courtyard import TEXT


def feature(text: str = TEXT, points: dict[str, KnownPoint] | None = None) -> Feature:
    return complete(Document.read(text, file="feature.yaml"), points)


def problems(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        feature(text)
    return [str(problem) for problem in caught.value.problems]


def test_levels_are_resolved_through_marks_and_offsets() -> None:
    made = feature()
    assert made.body("basin").waterline.m == pytest.approx(0.12 - 4 * 0.0254)  # 4 in below the paving, by default
    assert made.body("sump").waterline.m == pytest.approx(-0.20)
    assert made.stream("gutter").head.m == pytest.approx(0.10)
    assert made.laps[0].upturn.m == pytest.approx(made.body("basin").waterline.m + 0.15)


def test_the_stair_goes_down_by_pitch_and_drop() -> None:
    b1, f1, b2, f2 = feature().stream("rill").links
    assert isinstance(b1, Reach)
    assert isinstance(b2, Reach)
    assert isinstance(f1, Fall)
    assert isinstance(f2, Fall)
    assert b1.bed_start.m == pytest.approx(0.90)
    assert b1.bed_end.m == pytest.approx(0.89)
    assert b2.bed_start.m == pytest.approx(0.69)
    assert b2.bed_end.m == pytest.approx(0.695)  # pitched back
    assert f2.drop_m == pytest.approx(0.695 - 0.0184)  # what is left down to the waterline
    assert f2.crest.m == pytest.approx(0.695 + 3 * 0.0254)  # the spill stone stands on the bed


def test_a_built_crest_takes_the_planned_one_s_place() -> None:
    fall = feature().stream("rill").falls[0]
    assert (fall.crest.m, fall.crest.origin, fall.crest.surface) == (0.95, Origin.BUILT, Surface.STONE_TOP)


def test_the_graph_hangs_together() -> None:
    made = feature()
    for stream in made.streams:
        assert stream.links[0].upstream == stream.id
        assert stream.links[-1].downstream == stream.into
        for upper, lower in zip(stream.links, stream.links[1:], strict=False):
            assert upper.downstream == lower.upstream


def test_an_oval_has_the_area_of_an_ellipse() -> None:
    outline = feature().body("basin").outline
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)) / 2
    assert area == pytest.approx(math.pi * 2.0 * 1.3, rel=1e-9)


def test_a_clockwise_outline_is_turned_round() -> None:
    outline = feature().body("sump").outline
    assert sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)) > 0


def test_every_default_is_listed_and_a_typed_value_is_not() -> None:
    used = {(entry.path, entry.default) for entry in feature().defaults_used}
    assert ("ponds/basin.waterline", "pond.waterline_below_paving") in used
    assert ("reaches/g1.length", "stream.reach_length") in used
    assert not any(path == "ponds/basin.depth" for path, _ in used)
    assert not any(path == "reaches/b1.length" for path, _ in used)


def test_points_of_the_books_are_marks_and_carry_their_doubt() -> None:
    level = Level(1.5, Surface.GROUND, Origin.MEASURED, "book", 0.004)
    text = TEXT.replace("    head: knoll\n    head_ground: knoll\n", "    head: s7\n    head_ground: s7\n")
    made = feature(text, {"s7": KnownPoint(level, (2.0, 3.0))})
    assert made.stream("rill").head == replace(level, surface=Surface.BED, origin=Origin.PLANNED, source="s7")
    assert any(mark.id == "s7" and mark.at == (2.0, 3.0) for mark in made.marks)


def test_a_drawn_path_shares_its_length_among_beds_without_one() -> None:
    text = TEXT.replace(
        "    course:\n      - {bed: b1, length: 2 m, pitch: 10 mm}",
        "    path: [[0 m, 5.3 m], [0 m, 1.3 m]]\n    course:\n      - {bed: b1, pitch: 10 mm}",
    )
    assert [reach.length_m for reach in feature(text).stream("rill").reaches] == pytest.approx([2.5, 1.5])


def test_without_a_run_each_stream_has_one_that_is_only_asked_for() -> None:
    text = TEXT[: TEXT.index("runs:")] + TEXT[TEXT.index("laps:") :]
    runs = feature(text).runs
    assert [(run.source, run.outlet, run.pump) for run in runs] == [("basin", "rill", None), ("sump", "gutter", None)]
    width = max(0.6 * 0.8, 12 * 0.0254)  # first depth's rule: 0.6 of the stream's width, at least 12 in
    assert runs[0].wanted_m3s == pytest.approx(125 * 3.785411784e-3 / 3600 / 0.0254 * width, rel=1e-9)


def test_the_order_of_marks_does_not_matter_and_a_circle_is_named() -> None:
    assert "circle" in problems(TEXT.replace("20 cm below pin", "20 cm below ponds/sump.waterline"))[0]


@pytest.mark.parametrize(
    ("was", "becomes", "says"),
    [
        ("head: knoll\n    head_ground", "head: knol\n    head_ground", "allowed: knoll"),
        ("into: basin", "into: bassin", "allowed: basin"),
        ("{bed: g1}", "{bed: b1}", "used twice"),
        ("length: 1.5 m", "length: 1.5 m\n        pitch: 5 mm", "stands here twice"),
        ("{fall: f1, drop: 200 mm}", "{fall: f1}", "drop, bed to bed, fall f1: is missing"),
        ("{fall: f1, drop: 200 mm}", "{fall: f1, drop: 200 mm, station: 3 m}", "disagree"),
        ("      - fall: f2\n", "      - {fall: f2, station: 1 m}\n", "out of order"),
        ("      - fall: f2\n", "", "ends with a bed"),
        ("greatest_flow: 9 m3/h}", "greatest_flow: 9 m3/h}, curve: [[0 L/s, 5 m], [1 L/s, 6 m]]", "given once"),
        ("box: {shut_off: 6 m, greatest_flow: 9 m3/h}", "curve: [[0 L/s, 5 m], [1 L/s, 6 m]]", "less head"),
        ("box: {shut_off: 6 m, greatest_flow: 9 m3/h}", "curve: [[0 L/s, 5 m], [1 L/s]]", "a value is missing"),
        ("{name: 63 mm}", "{name: 64 mm}", "not a listed pipe"),
        ("to: gutter", "to: guter", "must name a stream"),
        ("at: f2, upturn", "at: f9, upturn", "not a fall"),
        ("limit: falls.last", "limit: falls.lowest", "not a known limit"),
        ("value: 20 cm", "value: 20 L", "20 L"),
        ("at: falls/f1.crest", "at: falls/f1.foot", "nothing there is judged as built"),
        ("at: falls/f1.crest", "at: falls/f8.crest", "not an element"),
        ("shelf: {width: 30 cm, depth: 25 cm}", "shelf: {width: 30 cm, depth: 75 cm}", "below the floor"),
        ("[6 m, 1 m], [8 m, 1 m], [8 m, 0 m]", "[8 m, 1 m], [6 m, 1 m], [8 m, 0 m]", "crosses itself"),
        ("width: 1.1 m}", "width: 1.1 m, machine: dragon}", "not a listed machine"),
        ("soil: unknown", "soil: custard", "not a listed soil"),
        ("soil: unknown", "crew: 0", "must be at least 1"),
    ],
)
def test_what_leads_nowhere_is_named(was: str, becomes: str, says: str) -> None:
    assert was in TEXT
    found = problems(TEXT.replace(was, becomes, 1))
    assert any(says in line for line in found), found
    assert all(line.startswith("feature.yaml:") for line in found), found


def test_a_stream_that_runs_uphill_is_no_error() -> None:
    made = feature(TEXT.replace("drop: 200 mm", "drop: -300 mm"))
    assert made.stream("rill").falls[0].drop_m == pytest.approx(-0.3)


@pytest.mark.parametrize("text", ["falls/f3.crest", "ponds/basin", "rims/r1"])
def test_a_path_reads_back_as_written(text: str) -> None:
    assert str(ElementPath.parse(text)) == text


@pytest.mark.parametrize("text", ["", "falls", "falls/", "fish/f1", "falls/f1.", "falls/../x", "falls/f1.crest.top"])
def test_what_is_no_path_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        ElementPath.parse(text)


STONES = "{fall: f1, drop: 200 mm, stones: [{width: 30 cm, above: 6 mm}, {width: 25 cm}]}"


def test_stones_side_by_side_make_the_width_of_their_crest() -> None:
    fall = feature(TEXT.replace("{fall: f1, drop: 200 mm}", STONES)).falls[0]
    assert fall.crest_width_m == pytest.approx(0.55)
    assert [(stone.width_m, stone.above_m) for stone in fall.stones] == [(0.30, 0.006), (0.25, 0.0)]


def test_stones_that_cannot_be_are_refused() -> None:
    floating = STONES.replace("{width: 25 cm}", "{width: 25 cm, above: 3 mm}")
    (said,) = problems(TEXT.replace("{fall: f1, drop: 200 mm}", floating))
    assert "every one of these lies above it" in said
    (said,) = problems(TEXT.replace("{fall: f1, drop: 200 mm}", STONES[:-1] + ", crest_width: 60 cm}"))
    assert "given by the stones already" in said
    (said,) = problems(TEXT.replace("{fall: f1, drop: 200 mm}", STONES[:-1] + ", tilt: 3 mm}"))
    assert "each at its own level" in said


CLIMATE = """
climate:
  latitude: 41 deg
  elevation: 120 m
  months:
    - {month: July, high: 84 F, low: 17 C, humidity: [85 %, 45 %], wind: 1.5 m/s, sun: 9 h}
    - {month: August, evaporation: 160 mm}
  design_rain: {depth: 2 in, lasts: 30 min}
  frost_depth: 80 cm
supply: {hose: 20 L/min, float_valve: no}
filled:
  - {pond: basin, meter: 1.2 m3, level: 30 cm below ponds/basin.waterline}
"""


def test_the_climate_as_said() -> None:
    made = feature(TEXT + CLIMATE)
    july, august = made.climate.months
    assert july.month == 7
    assert july.humidity_low == pytest.approx(0.45)
    assert july.humidity_high == pytest.approx(0.85)
    assert july.high_c == pytest.approx((84 - 32) / 1.8)
    assert august.month == 8
    assert august.evaporation_m == pytest.approx(0.16)
    assert made.climate.rain_m == pytest.approx(0.0508)
    assert made.climate.rain_s == 1800.0
    assert made.climate.frost_m == pytest.approx(0.8)
    assert made.supply.hose_m3s == pytest.approx(0.02 / 60)
    assert made.filled[0].level.m == pytest.approx(made.body("basin").waterline.m - 0.30)


def test_a_rain_whose_time_nobody_gave_lasts_the_usual_hour_and_that_is_listed() -> None:
    """An hour is common practice, no source."""
    made = feature(TEXT + CLIMATE.replace(", lasts: 30 min", ""))
    assert made.climate.rain_s == 3600.0
    assert "climate.rain_lasts" in {used.default for used in made.defaults_used}


@pytest.mark.parametrize(
    ("typed", "instead", "said"),
    [
        ("August, evaporation: 160 mm", "July, evaporation: 160 mm", "this month is given twice"),
        ("low: 17 C", "low: 40 C", "is colder than 'low'"),
        ("[85 %, 45 %]", "[85 %, 145 %]", "is more than all"),
        ("wind: 1.5 m/s, ", "", "a month needs its 'evaporation'"),
        ("pond: basin", "pond: lake", "must name a pond here"),
    ],
)
def test_a_climate_that_cannot_be_is_refused(typed: str, instead: str, said: str) -> None:
    wrong = problems(TEXT + CLIMATE.replace(typed, instead))
    assert any(said in each for each in wrong), wrong


def test_weather_without_a_latitude_is_refused() -> None:
    assert any("latitude" in each for each in problems(TEXT + CLIMATE.replace("  latitude: 41 deg\n", "")))


def test_an_overflow_is_a_notch_or_a_pipe() -> None:
    basin = "  - id: basin\n"
    made = feature(TEXT.replace(basin, basin + "    overflow: {level: 2 cm above terrace, pipe: 10 cm}\n"))
    overflow = made.body("basin").overflow
    assert overflow is not None
    assert overflow.pipe_m == pytest.approx(0.1)
    assert overflow.width_m is None
    both = "    overflow: {level: 2 cm above terrace, pipe: 10 cm, width: 1 ft}\n"
    assert any("one of them" in each for each in problems(TEXT.replace(basin, basin + both)))


def test_a_cover_is_of_a_reservoir_and_leaves_room() -> None:
    basin = "  - id: basin\n"
    assert feature(TEXT).body("basin").cover_share is None
    said = problems(TEXT.replace(basin, basin + "    cover_share: 40 %\n"))
    assert any("nothing covers an open pond" in each for each in said), said
    buried = basin + "    kind: reservoir\n"
    assert feature(TEXT.replace(basin, buried)).body("basin").cover_share == pytest.approx(0.40)
    for typed in ("0 %", "120 %"):
        said = problems(TEXT.replace(basin, buried + f"    cover_share: {typed}\n"))
        assert any("leaves no room for water" in each for each in said), said


def test_the_top_of_a_cover_is_as_said_else_the_lowest_rim() -> None:
    basin = "  - id: basin\n"
    buried = basin + "    kind: reservoir\n"
    body = feature(TEXT.replace(basin, buried)).body("basin")
    assert body.cover_top is None
    assert body.cover_m == pytest.approx(max(body.waterline.m, min(rim.finished_m for rim in body.rims)))
    said = feature(TEXT.replace(basin, buried + "    cover_top: 7 cm above ponds/basin.waterline\n")).body("basin")
    assert said.cover_m == pytest.approx(said.waterline.m + 0.07)
    wrong = problems(TEXT.replace(basin, buried + "    cover_top: 2 cm below ponds/basin.waterline\n"))
    assert any("lies under the waterline" in each for each in wrong), wrong
    wrong = problems(TEXT.replace(basin, basin + "    cover_top: 7 cm above ponds/basin.waterline\n"))
    assert any("nothing covers an open pond" in each for each in wrong), wrong


def test_an_overflow_has_a_place() -> None:
    basin = "  - id: basin\n"
    made = feature(
        TEXT.replace(basin, basin + "    overflow: {level: 2 cm above terrace, pipe: 10 cm, at: [1 m, 2 m]}\n")
    )
    overflow = made.body("basin").overflow
    assert overflow is not None
    assert overflow.at == pytest.approx((1.0, 2.0))
