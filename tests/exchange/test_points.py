"""Points in and out: round trips, orders that are said, and bad files."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rillwright.errors import InputError, OutputError, Problem
from rillwright.exchange import (
    ExchangePoint,
    points_of_survey,
    read_points_csv,
    read_points_geojson,
    write_points_csv,
    write_points_geojson,
)
from rillwright.feature import Surface
from rillwright.survey import read_book, reduce
from rillwright.units import parse

FOOT_M = parse("1 ft", "length").si
TENTH_MM = 0.0001


def from_csv(text: str) -> tuple[ExchangePoint, ...]:
    return read_points_csv(text, file="p.csv")


def from_geojson(text: str) -> tuple[ExchangePoint, ...]:
    return read_points_geojson(text, file="p.geojson")


FORMATS = [
    pytest.param(write_points_csv, from_csv, id="csv"),
    pytest.param(write_points_geojson, from_geojson, id="geojson"),
]
Write = Callable[[tuple[ExchangePoint, ...]], str]
Read = Callable[[str], tuple[ExchangePoint, ...]]


@pytest.mark.parametrize("header", ["P,N,E,Z,D", "point,northing,easting,elevation,description", "Pt,Y,X,Z,Code"])
def test_header_says_the_order(header: str) -> None:
    (p,) = from_csv(f"{header}\n7,200.5,100.25,12.125,edge\n")
    assert (p.id, p.northing_m, p.easting_m, p.level_m, p.note) == ("7", 200.5, 100.25, 12.125, "edge")


def test_argument_says_the_order() -> None:
    (p,) = read_points_csv("7,100.25,200.5,12.125\n", file="p.csv", order="P,E,N,Z")
    assert (p.easting_m, p.northing_m) == (100.25, 200.5)


def test_order_is_never_guessed() -> None:
    with pytest.raises(InputError, match="northing and easting"):
        from_csv("7,100.25,200.5,12.125,edge\n")


def test_feet() -> None:
    (p,) = read_points_csv("P,N,E,Z\n7,10,20,100\n", file="p.csv", unit="ft")
    assert p.level_m == pytest.approx(100 * FOOT_M, abs=1e-12)
    assert p.northing_m == pytest.approx(3.048, abs=1e-12)


def problems(call: Callable[[], object]) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        call()
    return caught.value.problems


def test_all_problems_of_a_csv_by_line() -> None:
    text = (
        "P,N,E,Z,S\n1,1,2,3,ground\n,1,2,3,\n3,x,2,3,\n4,1,,3,\n5,1,2,nan,\n6,1,2,3,sea\n"
        "7,1,2,3,,9\n1,1,2,3,ground\n8,1,2,1e3,\n9,1,99999999,,\n"
    )
    found = {p.line or p.field for p in problems(lambda: from_csv(text))}
    assert found == {3, 4, 5, 6, 7, 8, 10, 11, "line 9"}


@pytest.mark.parametrize(
    "text",
    ["", "P,N,E\n", "P,N,Z\n1,2,3\n", "P,N,E,E\n1,2,3,4\n", "P,N,E,Q\n1,2,3,4\n", 'P,N,E\n"1,2,3\n'],
    ids=["empty", "header alone", "no easting", "twice", "unknown", "quote"],
)
def test_csv_that_cannot_be_used(text: str) -> None:
    assert all(p.file == "p.csv" for p in problems(lambda: from_csv(text)))


def test_too_many_points() -> None:
    assert "too many" in problems(lambda: from_csv("P,N,E\n" + "1,2,3\n" * 200_001))[0].message


def feature(**changes: object) -> dict[str, object]:
    whole = {
        "type": "Feature",
        "id": "1",
        "geometry": {"type": "Point", "coordinates": [1.0, 2.0, 3.0]},
        "properties": {"surface": "stone top", "note": "n"},
    }
    return whole | changes


def collection(*features: object) -> str:
    return json.dumps({"type": "FeatureCollection", "features": list(features)})


def test_surface_is_a_property() -> None:
    (p,) = from_geojson(collection(feature()))
    assert (p.surface, p.note, p.level_m) == (Surface.STONE_TOP, "n", 3.0)
    assert json.loads(write_points_geojson([p]))["features"][0]["properties"]["surface"] == "stone top"


def test_all_problems_of_a_geojson_by_index() -> None:
    line = {"type": "LineString", "coordinates": [[0, 0], [1, 1]]}
    text = collection(
        feature(),
        feature(id="2", geometry=line),
        feature(id=None),
        feature(id="4", properties={"surface": "sea"}),
        feature(id="5", geometry={"type": "Point", "coordinates": [1]}),
        feature(id="6", geometry={"type": "Point", "coordinates": [True, 2]}),
        feature(id="7", properties={"units": "ft"}),
        "no feature",
        feature(),
    )
    fields = [p.field for p in problems(lambda: from_geojson(text))]
    assert [int(f.split("[")[1].split("]")[0]) for f in fields] == [1, 2, 3, 4, 5, 6, 7, 8]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"type": "Feature"}',
        '{"type": "FeatureCollection"}',
        '{"type": "FeatureCollection", "features": []}',
        '{"type": "FeatureCollection", "features": [NaN]}',
        "[" * 200_000,
        '{"type": "FeatureCollection", "crs": {}, "features": [1]}',
        "1" * 6000,
    ],
    ids=["empty", "broken", "list", "feature", "none", "no features", "nan", "deep", "crs", "long number"],
)
def test_geojson_that_cannot_be_used(text: str) -> None:
    assert all(p.file == "p.geojson" for p in problems(lambda: from_geojson(text)))


def test_infinite_coordinate() -> None:
    text = collection(feature()).replace("1.0", "1e999")
    assert problems(lambda: from_geojson(text))[0].field == "features[0].geometry"


@pytest.mark.parametrize("write", [write_points_csv, write_points_geojson])
@pytest.mark.parametrize(
    "point",
    [
        ExchangePoint(id="", easting_m=0, northing_m=0),
        ExchangePoint(id="a\nb", easting_m=0, northing_m=0),
        ExchangePoint(id="1", easting_m=float("nan"), northing_m=0),
        ExchangePoint(id="1", easting_m=0, northing_m=0, level_m=float("inf")),
    ],
    ids=["no number", "line end", "nan", "inf"],
)
def test_what_could_not_be_read_again_is_not_written(write: Write, point: ExchangePoint) -> None:
    with pytest.raises(OutputError):
        write((point,))


def test_a_survey_goes_out_with_its_doubts() -> None:
    book = read_book(
        "point,backsight,intermediate,x,y\nBM,1.0,,0,0\nP,,1.30,4,5\nP,,1.35,4,5\nQ,,1.1,,\n",
        file="b.csv",
        rod="metric",
    )
    points = points_of_survey(reduce([book], datum=None))
    assert [p.id for p in points] == ["BM", "P"]
    assert points[1].note.startswith("doubted")
    assert from_csv(write_points_csv(points))[1].level_m == pytest.approx(-0.3, abs=TENTH_MM)


METRES = st.floats(min_value=-1e6, max_value=1e6)
NAMES = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=20)
NOTES = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"], include_characters=" "), max_size=30)
POINTS = st.builds(
    ExchangePoint,
    id=NAMES,
    easting_m=METRES,
    northing_m=METRES,
    level_m=st.none() | METRES,
    surface=st.none() | st.sampled_from(Surface),
    note=NOTES.map(lambda s: " ".join(s.split())),
)
LISTS = st.lists(POINTS, min_size=1, max_size=8, unique_by=lambda p: (p.id, p.surface)).map(tuple)


@pytest.mark.parametrize(("write", "read"), FORMATS)
@given(points=LISTS)
def test_round_trip_to_a_tenth_of_a_millimetre(write: Write, read: Read, points: tuple[ExchangePoint, ...]) -> None:
    again = read(write(points))
    assert [(p.id, p.surface, p.note) for p in again] == [(p.id, p.surface, p.note) for p in points]
    for a, b in zip(again, points, strict=True):
        assert abs(a.easting_m - b.easting_m) < TENTH_MM
        assert abs(a.northing_m - b.northing_m) < TENTH_MM
        assert (a.level_m is None) == (b.level_m is None)
        assert abs((a.level_m or 0) - (b.level_m or 0)) < TENTH_MM
    assert write(again) == write(points)


BITS = st.sampled_from(
    ["P,N,E,Z,S\n", "1", ",", "\n", '"', "2.5", "nan", "ground", "#", "\r", "\x00", "\ud800", "{", "[", "]"]
)
TEXTS = st.one_of(
    st.text(max_size=100),
    st.lists(BITS, max_size=30).map("".join),
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(max_size=5) | st.integers(),
        lambda inner: (
            st.lists(inner, max_size=4)
            | st.dictionaries(
                st.sampled_from(["type", "geometry", "coordinates", "properties", "id", "surface"]), inner
            )
        ),
        max_leaves=12,
    ).map(lambda x: collection(x, feature(geometry=x), feature(properties=x, id=x))),
)


def read_both(text: str) -> None:
    """Anything but an InputError comes through and fails the test."""
    for read in (from_csv, from_geojson):
        result: object = None
        try:
            result = read(text)
        except InputError as error:
            result = error.problems
        assert result


@given(TEXTS)
def test_any_text_is_points_or_an_input_error(text: str) -> None:
    read_both(text)


@pytest.mark.deep
@settings(max_examples=10_000, deadline=None)
@given(TEXTS)
def test_any_text_is_points_or_an_input_error_deep(text: str) -> None:
    read_both(text)
