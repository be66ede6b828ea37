"""What lies under and over an edge of liner, what goes through it, and laps the wrong way round: typed, then judged."""

from __future__ import annotations

import pytest
from tests.containment.leak import TEXT, found, site

from rillwright.assessment import Containment, Judged
from rillwright.errors import InputError
from rillwright.feature import Document, Feature, complete
from rillwright.judge import remedy_of, text_of
from rillwright.sources import cover, covers, default, fill, fills
from rillwright.units import METRIC, US

INCH_M = 0.0254


def feature(*, rim: str = "", pond: str = "", lap: str = "", bed: str = "") -> Feature:
    """The made site, its east rim with more said of it."""
    text = (
        TEXT.replace("BOULDER_\n", "").replace("BERM_\n", "").replace("UPTURN_, run: 24 in, cover: stone", f"6 in{lap}")
    )
    text = text.replace("at: [6.2 ft, 0 ft], cover: stone", f"at: [6.2 ft, 0 ft]{rim}")
    text = text.replace("  shelf: none\n", f"  shelf: none\n{pond}").replace("length: 4 ft}", f"length: 4 ft{bed}}}")
    return complete(Document.read(text, file="feature.yaml"))


def judged(**said: str) -> Judged:
    from rillwright.assess import Inputs, assess
    from rillwright.assessment import NotRun
    from rillwright.judge import judge
    from rillwright.sources import price_book

    return judge(assess(Inputs(feature=feature(**said), surveyed=NotRun("no book"), prices=price_book())))


def contained(result: Judged) -> Containment:
    assert isinstance(result.assessment.containment, Containment)
    return result.assessment.containment


@pytest.mark.parametrize(("kind", "share"), [("compacted", 0.05), ("trodden", 0.10), ("solid", 0.0)])
def test_a_berm_settles_by_its_kind_of_fill(kind: str, share: float) -> None:
    """Earth dams: about 5 percent rolled, about 10 otherwise (Agriculture Handbook 590, as quoted on a public page);
    blocks do not settle (common practice, no source).
    """
    rim = feature(rim=f", berm: 4 in, fill: {kind}").bodies[0].rims[0]
    assert rim.settlement == pytest.approx(share)
    assert rim.finished_m == pytest.approx(6 * INCH_M + 4 * INCH_M * (1.0 - share))


def test_what_is_typed_goes_before_the_kind_of_fill() -> None:
    assert feature(rim=", berm: 4 in, fill: loose, settlement: 30 %").bodies[0].rims[0].settlement == pytest.approx(0.3)


def test_nothing_said_of_the_fill_settles_as_before() -> None:
    done = feature(rim=", berm: 4 in")
    assert done.bodies[0].rims[0].settlement == default("pond.settlement").number
    used = [each for each in done.defaults_used if each.path == "rims/east.settlement"]
    assert [each.default for each in used] == ["pond.settlement"]


def test_loose_fill_takes_what_it_may_settle_from_its_rim() -> None:
    """2 ft of tipped earth: at the most its table says (a quarter), 0.07 x 24 in less than at the likeliest."""
    (berm,) = contained(judged(rim=", berm: 24 in, fill: loose")).settles
    kind = fill("loose").settles
    by_rim = {top.path: top for top in contained(judged(rim=", berm: 24 in, fill: loose")).tops}
    assert by_rim["rims/east"].freeboard_m.low - berm.spare_m.low == pytest.approx(
        24 * INCH_M * (kind.high - kind.value)
    )


@pytest.mark.parametrize("key", [row.key for row in fills()])
def test_every_kind_of_fill_can_be_typed(key: str) -> None:
    assert feature(rim=f", berm: 4 in, fill: {key}").bodies[0].rims[0].fill == key


@pytest.mark.parametrize("key", [row.key for row in covers()])
def test_every_cover_can_be_typed(key: str) -> None:
    done = feature(rim=f", cover: {key}", lap=f", on_top: lower, cover: {key}")
    assert (done.bodies[0].rims[0].cover, done.laps[0].cover, done.laps[0].on_top) == (key, key, "lower")


def test_what_is_no_cover_is_refused() -> None:
    with pytest.raises(InputError, match="cover"):
        feature(rim=", cover: wool")


def test_soil_over_a_rim_wicks() -> None:
    """Silt lifts water up to a metre (Heath 1982, as tabulated by Salim and Hampton): more than a rim stands."""
    finding = found(judged(rim=", cover: soil"), "edge.wicks", "rims/east")
    assert finding is not None
    assert finding.limit == pytest.approx(1.0)
    assert "ceiling and no prediction" in text_of(finding, METRIC)
    assert found(judged(rim=", cover: stone"), "edge.wicks", "rims/east") is None


def test_gravel_over_a_lap_silts_up_but_over_a_rim_it_does_not() -> None:
    """Fine gravel lifts 1.5 cm (Fetter, as tabulated); what settles in it over a lap lifts as silt does."""
    over_lap = found(judged(lap=", cover: gravel"), "edge.wicks", "laps/lap")
    assert over_lap is not None
    assert over_lap.limit == pytest.approx(cover("silt").rise_m)
    assert found(judged(rim=", cover: gravel"), "edge.wicks", "rims/east") is None


def test_the_caution_goes_when_every_cover_is_said() -> None:
    assert found(site(), "edge.cover", "feature/whole") is None
    assert found(judged(), "edge.cover", "feature/whole") is not None


def test_a_pipe_under_the_highest_water_needs_a_flange() -> None:
    """The water comes back to half an inch above the waterline."""
    rows = "  penetrations:\n    - {id: inlet, kind: pipe, level: LEVEL}\n"
    under = judged(pond=rows.replace("LEVEL", "6 in below ponds/pond.waterline"))
    finding = found(under, "penetration.wet", "penetrations/inlet")
    assert finding is not None
    assert finding.value == pytest.approx(-6 * INCH_M - 0.015, abs=0.002)
    assert "penetration inlet" in text_of(finding, US)
    assert "flange" in remedy_of(finding, US)
    flanged = judged(pond=rows.replace("LEVEL}", "6 in below ponds/pond.waterline, flange: yes}"))
    assert found(flanged, "penetration.wet", "penetrations/inlet") is None
    above = judged(pond=rows.replace("LEVEL", "2 in above ponds/pond.waterline"))
    assert found(above, "penetration.wet", "penetrations/inlet") is None


def test_a_cable_through_a_bed_stands_against_the_water_of_its_bed() -> None:
    rows = ", penetrations: [{id: lamp, kind: cable, level: 1 in above reaches/b1.start}]"
    (each,) = contained(judged(bed=rows)).throughs
    assert each.against.path == "reaches/b1"
    assert each.above_m.value < 0.0


def test_an_id_twice_is_refused() -> None:
    rows = "  penetrations:\n    - {id: a, kind: pipe, level: 1 in}\n    - {id: a, kind: drain, level: 2 in}\n"
    with pytest.raises(InputError, match="twice"):
        feature(pond=rows)


def test_a_lap_the_wrong_way_round_stops() -> None:
    """Fact of the trade (common practice, no source): laid with the flow, upper over lower, as tiles are."""
    finding = found(judged(lap=", on_top: lower"), "lap.reversed", "laps/lap")
    assert finding is not None
    assert finding.severity == "stop"
    assert found(judged(lap=", on_top: lower, sealed: yes"), "lap.reversed", "laps/lap") is None
