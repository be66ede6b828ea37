"""Levels as built in the plan's place: what moves, what stays, what is refused."""

from __future__ import annotations

import pytest

from rillwright.errors import InputError
from rillwright.feature import (
    BuiltLevel,
    Document,
    ElementPath,
    Fall,
    Feature,
    Level,
    Origin,
    Surface,
    complete,
    overlay,
    places,
)
from tests.feature.courtyard import TEXT


def planned() -> Feature:
    return complete(Document.read(TEXT, file="feature.yaml").with_ids())


def built(path: str, m: float, surface: Surface = Surface.STONE_TOP) -> BuiltLevel:
    return BuiltLevel(path=ElementPath.parse(path), level=Level(m, surface, Origin.BUILT, "shot", 0.003))


def fall(feature: Feature, id: str) -> Fall:
    return next(each for each in feature.falls if each.id == id)


def test_nothing_built_changes_nothing() -> None:
    assert overlay(planned(), []) == planned()


def test_only_the_place_itself_moves() -> None:
    was, now = planned(), overlay(planned(), [built("falls/f2.crest", 0.5)])
    assert fall(now, "f2").crest.m == 0.5
    assert fall(now, "f2").crest.origin is Origin.BUILT
    assert fall(now, "f1") == fall(was, "f1")
    assert (now.bodies, now.laps, now.reaches) == (was.bodies, was.laps, was.reaches)


def test_a_bed_built_at_the_stream_head_is_the_head() -> None:
    """The height there is is bed at the stream head less held water: what was built there, not what was planned."""
    stream = planned().streams[0]
    first, last = stream.reaches[0].id, stream.reaches[-1].id
    low = overlay(planned(), [built(f"reaches/{first}.start", 0.9, Surface.BED)])
    assert low.streams[0].head.m == 0.9
    assert low.streams[0].reaches[0].bed_start.m == 0.9
    end = overlay(planned(), [built(f"reaches/{last}.end", 0.1, Surface.BED)])
    assert end.streams[0].head == stream.head


def test_of_several_the_last_counts_and_the_same_again_is_no_mistake() -> None:
    twice = overlay(planned(), [built("falls/f2.crest", 0.5), built("falls/f2.crest", 0.6)])
    assert fall(twice, "f2").crest.m == 0.6
    assert overlay(twice, [built("falls/f2.crest", 0.6)]) == twice


@pytest.mark.parametrize(
    ("shots", "crest_m", "tilt_m", "low"),
    [
        ((("@left", 0.50), ("@right", 0.51)), 0.505, 0.01, "left"),
        ((("@right", 0.50), ("@left", 0.51)), 0.505, 0.01, "right"),
        ((("@left", 0.50), ("@right", 0.50)), 0.50, 0.0, ""),
        ((("@left", 0.50), ("@right", 0.52), ("@left", 0.52)), 0.52, 0.0, ""),  # shimmed, and that end read again
        ((("@left", 0.50), ("@right", 0.52), ("", 0.60)), 0.60, None, ""),  # set anew
        ((("", 0.60), ("@left", 0.50)), 0.50, None, ""),  # one end alone says nothing of tilt
    ],
    ids=["left low", "right low", "level", "shimmed", "set anew", "one end"],
)
def test_two_ends_give_level_and_tilt(
    shots: tuple[tuple[str, float], ...], crest_m: float, tilt_m: float | None, low: str
) -> None:
    found = fall(overlay(planned(), [built(f"falls/f2.crest{end}", m) for end, m in shots]), "f2")
    assert found.crest.m == pytest.approx(crest_m)
    assert found.tilt_m == (None if tilt_m is None else pytest.approx(tilt_m, abs=1e-12))
    assert found.low_end == low


def test_fill_under_a_rim_settles_yet() -> None:
    """Ground at 5 cm, built up to 18 cm: 13 cm of fill, of which the planned tenth goes down (common practice)."""
    (rim,) = overlay(planned(), [built("rims/r1.top", 0.18, Surface.LINER)]).body("basin").rims
    assert rim.settlement == pytest.approx(0.1)
    assert rim.finished_m == pytest.approx(0.18 - 0.1 * 0.13)
    assert rim.top is not None
    assert rim.top.m == 0.18


def test_a_rim_below_its_ground_was_dug_and_does_not_settle() -> None:
    (rim,) = overlay(planned(), [built("rims/r1.top", 0.02, Surface.GROUND)]).body("basin").rims
    assert (rim.finished_m, rim.berm_m, rim.ground.origin) == (0.02, 0.0, Origin.BUILT)


def test_beds_and_upturns_take_their_level_and_the_pitch_follows() -> None:
    lap = planned().laps[0].id
    rows = [built("reaches/g1.start", 0.30, Surface.BED), built("reaches/g1.end", 0.28, Surface.BED)]
    now = overlay(planned(), [*rows, built(f"laps/{lap}.upturn", 0.2, Surface.LINER)])
    reach = next(each for each in now.reaches if each.id == "g1")
    assert reach.pitch_m == pytest.approx(0.02)
    assert now.laps[0].upturn.m == 0.2


def test_everything_that_cannot_be_is_said_at_once() -> None:
    with pytest.raises(InputError) as caught:
        overlay(planned(), [built("falls/f9.crest", 1.0), built("ponds/basin.waterline", 1.0, Surface.WATER)])
    assert [problem.found for problem in caught.value.problems] == ["falls/f9.crest", "ponds/basin.waterline"]


def test_every_judged_place_can_be_built_and_takes_the_level() -> None:
    for place in places(planned()):
        if place.judged:
            level = Level((place.planned_m or 0.0) + 0.01, place.surface, Origin.BUILT, "shot", 0.003)
            changed = overlay(planned(), [BuiltLevel(path=place.path, level=level)])
            there = next(p for p in places(changed) if (p.path, p.surface) == (place.path, place.surface))
            assert there.planned_m == pytest.approx(level.m), str(place.path)


def test_dig_lies_under_liner_and_liner_under_bed() -> None:
    """By the layers that the feature names: 3 in of gravel on 5 mm of underlay and 1.1 mm of liner by default."""
    by_key = {(str(p.path), p.surface): p.planned_m or 0.0 for p in places(planned())}
    bed, liner, dig = (by_key["reaches/g1.start", each] for each in (Surface.BED, Surface.LINER, Surface.DIG))
    assert bed - liner == pytest.approx(3 * 0.0254)
    assert liner - dig == pytest.approx(0.0061)


@pytest.mark.parametrize("text", ["falls/f3.crest@left", "ponds/pond.floor@north", "points/TP1", "rims/r1.top"])
def test_a_path_with_a_place_reads_back(text: str) -> None:
    assert str(ElementPath.parse(text)) == text
