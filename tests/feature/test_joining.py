"""A stream that runs into a bed of another, in the file: what it becomes, what is refused and how. Invented.

Levels and stations by hand; no source.
"""

from __future__ import annotations

import math

import pytest

from rillwright.errors import InputError
from rillwright.feature import Level
from tests.feature.joining import SITE, joined

MAIN, SIDE = SITE[SITE.index("  - id: main") : SITE.index("  - id: side")], SITE[SITE.index("  - id: side") :]
SIDE = SIDE[: SIDE.index("run:")]


def refused(*changes: tuple[str, str]) -> str:
    text = SITE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(InputError) as error:
        joined(text)
    return "\n".join(f"{p.field} {p.message} {p.found} {p.allowed}" for p in error.value.problems)


def test_the_joint_lies_where_the_path_ends() -> None:
    """Its end at y = 4.4 m is 3.6 m below the other's head at y = 8 m."""
    side = joined().stream("side")
    assert side.joins is not None
    assert (side.joins.stream, side.joins.reach) == ("main", "meeting")
    assert side.joins.station_m == pytest.approx(3.6)
    assert side.into == "pond"


def test_its_last_fall_goes_down_to_the_bed_there() -> None:
    """The bed meeting begins at 0.70 - 0.01 - 0.16 and falls 10 mm over 3.6 m; the joint is 1.2 m below its start."""
    feature = joined()
    side = feature.stream("side")
    bed = 0.70 - 0.01 - 0.16 - 0.01 * 1.2 / 3.6
    last = side.falls[-1]
    assert last.foot.m == pytest.approx(bed)
    assert last.drop_m == pytest.approx(0.80 - 0.01 - 0.10 - 0.01 - bed)
    assert feature.foot_m(side, last) == pytest.approx(bed)
    assert feature.below(side, last) == feature.joined(side) == feature.stream("main").reaches[1]
    assert feature.joining(feature.stream("main").reaches[1]) == (side,)


def test_the_lap_stands_over_the_crest_below_that_bed() -> None:
    """Six inches over the water that the next crest holds, as at any other fall."""
    feature = joined()
    lap = next(lap for lap in feature.laps if lap.at == "falls/mouth")
    assert (lap.reach, lap.body) == ("meeting", None)
    assert lap.upturn.m == pytest.approx(feature.stream("main").falls[-1].crest.m + 6 * 0.0254)


def test_the_order_of_the_file_changes_nothing() -> None:
    turned = SITE.replace(MAIN, "").replace(SIDE, SIDE + MAIN)
    one, other = joined(), joined(turned)
    assert [stream.id for stream in other.streams] == ["side", "main"]
    assert other.stream("side") == one.stream("side")
    assert other.stream("main") == one.stream("main")


@pytest.mark.parametrize("bed", ["upper", "meeting"])
def test_without_a_path_it_comes_in_square_to_the_middle_of_the_bed(bed: str) -> None:
    path = "    path: [[-5 m, 6.4 m], [-3 m, 4.4 m], [-0.6 m, 4.4 m]]\n"
    text = SITE.replace(path, "").replace("into: meeting", f"into: {bed}")
    text = text.replace("{bed: side-lower, pitch: 10 mm}", "{bed: side-lower, length: 2 m, pitch: 10 mm}")
    side = joined(text).stream("side")
    reach = next(reach for reach in joined(text).reaches if reach.id == bed)
    middle = reach.station_m + 0.5 * reach.length_m
    assert side.joins is not None
    assert side.joins.station_m == pytest.approx(middle)
    assert side.path[-1] == pytest.approx((0.5 * reach.width_m, 8.0 - middle))
    assert math.dist(*side.path) == pytest.approx(side.length_m)


def test_a_third_stream_joins_the_one_that_joins() -> None:
    third = """
  - id: third
    into: side-upper
    head: 1.1 m
    course: [{bed: third-bed, length: 1 m}, {fall: third-fall}]
"""
    feature = joined(SITE.replace("run:\n", third.lstrip("\n") + "run:\n", 1))
    last = feature.stream("third")
    assert last.into == "pond"
    assert [feature.joints_below(stream) for stream in feature.streams] == [0, 1, 2]
    assert [stream.id for stream in feature.downstream_first] == ["main", "side", "third"]


def test_a_bed_as_built_lowers_the_foot_that_falls_on_it() -> None:
    feature = joined(
        SITE + "built: [{at: reaches/meeting.start, level: 0.50 m}, {at: reaches/meeting.end, level: 0.50 m}]"
    )
    side = feature.stream("side")
    assert feature.foot_m(side, side.falls[-1]) == pytest.approx(0.50)
    assert isinstance(side.falls[-1].foot, Level)


def test_what_leads_nowhere_is_refused() -> None:
    said = refused(("into: meeting", "into: meting"))
    assert "streams[1].into is not a pond here, nor a bed of another stream meting meeting" in said
    said = refused(("into: meeting", "into: main"))
    assert "is a stream: say which bed of it this one runs into main upper, meeting" in said
    said = refused(("into: meeting", "into: side-upper"))
    assert "a stream cannot run into a bed of its own side-upper pond, upper, meeting" in said
    said = refused(("id: main\n    into: pond", "id: main\n    into: side-lower"))
    assert "the streams run into one another in a ring and reach no pond side-lower -> meeting -> side-lower" in said


def test_a_path_that_ends_beside_another_bed_is_refused() -> None:
    said = refused(("into: meeting", "into: upper"))
    assert "streams[1].path the path does not end beside the bed that the stream runs into" in said
    assert "nearest to bed meeting of main, 3.60 m below its head" in said
    assert "'into: meeting'" in said
