"""The pages of water: what stands on them with and without histories, a climate, outlets."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.assessment import Judged, MonthLoss, NotRun, OutletFlow, Rain, SetCrest, SetReach, SetWater, Water
from rillwright.packet.crests_and_beds import crests_and_beds
from rillwright.packet.flows import flow_of, pail
from rillwright.packet.over_time_page import over_time_sheet
from rillwright.packet.pdf import print_sheets
from rillwright.packet.pump_page import pumps
from rillwright.packet.stream_page import stream_sheets
from rillwright.units import Band
from rillwright.water import Clearing, Losses, MainValve, Metered, StoneShare
from tests.drawings import sample as drawn
from tests.packet import ink, sample

FOOT = {"feature": "a", "levels": "b", "checked": "c", "said": "page "}


@pytest.fixture(scope="module")
def judged() -> Judged:
    return sample.judged(drawn.METRIC)


def water_of(judged: Judged) -> Water:
    water = judged.assessment.water
    assert isinstance(water, Water)
    return water


def with_water(judged: Judged, **values: Any) -> Judged:
    water = replace(water_of(judged), **values)
    return replace(judged, assessment=replace(judged.assessment, water=water))


def printed(sheet: Any, *, most: int = 1) -> str:
    """All words of a sheet as they are read back, on one line; on at most so many pages, nothing over anything."""
    pages = ink.read(print_sheets([sheet], title="t", strip=FOOT)).pages
    assert len(pages) <= most
    for page in pages:
        words = ink.words(page)
        for index, word in enumerate(words):
            assert not any(word.overlaps(other) for other in words[index + 1 :]), word.text
    said = " ".join(str(page.extract_text()) for page in pages)
    return " ".join(said.replace("\u00a0", " ").replace("\u200b", "").split())


def losses(**values: Any) -> Losses:
    plain: dict[str, Any] = {
        "body": "pond", "open_m2": 20.0, "months": (), "dry_day_m": Band(0.006, 0.003, 0.01), "dry_month": None,
        "splash_m3": Band(0.02, 0.01, 0.09), "day_m3": Band(0.14, 0.07, 0.3), "week_drop_m": Band(0.05, 0.02, 0.1),
        "hose_share": None, "fill_s": None,
    }  # fmt: skip
    return Losses(**{**plain, **values})


def test_histories_are_told_case_by_case(judged: Judged) -> None:
    text = printed(over_time_sheet(judged))
    assert "first start, from dry 3.3 min −90 mm after 2 min waterline" in text
    assert "stop, topped up while running 3.3 min waterline +24 mm after 2 min −72 L" in text
    assert "the pump sucks air after 4 min; pond is left with 300 mm over its floor, 3.4 m³" in text
    assert "would stop the pump after 2.2 min and save 600 L" in text


def test_what_was_not_followed_is_said_in_a_sentence(judged: Judged) -> None:
    blank = replace(judged, assessment=replace(judged.assessment, over_time=NotRun("not asked for")))
    text = printed(over_time_sheet(blank))
    assert "Starts and stops were not followed over time: not asked for." in text
    assert "first start, from dry" not in text


def test_dry_days_without_a_climate_take_some_lines(judged: Judged) -> None:
    cleared = (Clearing(body="pond", time_s=Band(36_000.0, 7_000.0, 200_000.0)),)
    text = printed(over_time_sheet(with_water(judged, losses=(losses(),), clearings=cleared)))
    assert "no climate is given" in text
    assert "a dry day takes from pond 140 L may be 70 to 300 L; 20 L of it by splash" in text
    assert "a dry week lowers pond by 50 mm" in text
    assert "silt of the build leaves pond in 10 h" in text
    assert "Green water is another matter" in text


def test_a_climate_is_told_month_by_month(judged: Judged) -> None:
    """4 mm a day off 20 m2 is 560 L a week, 7 mm are 49 mm: arithmetic."""
    months = tuple(MonthLoss(month=n, day_m=Band(0.001 * n, 0.0005 * n, 0.002 * n)) for n in range(1, 13))
    found = losses(months=months, dry_month=7, hose_share=Band(0.02, 0.01, 0.04), fill_s=7200.0)
    rain = Rain(body="pond", rain_m=0.04, caught_m3=1.2, inflow_m3s=1e-3, rise_m=0.06, overflow_head_m=Band.exact(0.02))
    meter = Metered(body="pond", level_m=-0.2, meter_m3=3.2, worked_out_m3=3.0, used=True)
    alone = Metered(body="pond", level_m=-0.1, meter_m3=4.2, worked_out_m3=4.0)
    text = printed(over_time_sheet(with_water(judged, losses=(found,), rains=(rain,), metered=(meter, alone))))
    assert "by the climate of the file" in text
    assert "in July, the driest month" in text
    assert "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec" in text
    assert "a mean week takes" in text
    assert "560 L" in text
    assert "49 mm" in text
    assert "the supply tops pond up in 29 min of every dry day" in text
    assert "the supply fills pond in 2 h" in text
    assert "rain raises pond by 60 mm" in text
    assert "up to 20 mm over its overflow's sill" in text
    assert "pond −0.200 3.2 m³ 3 m³ the meter" in text
    assert "pond −0.100 4.2 m³ 4 m³ the drawing" in text


def test_stations_are_told_bed_by_bed(judged: Judged) -> None:
    (sheet,) = stream_sheets(judged)
    text = printed(sheet)
    assert "r1 0 mm" in text
    assert text.count(" 0.9 ") >= len(judged.assessment.feature.reaches), "the fastest station of each"
    assert "heights drawn" in text


def test_a_stream_without_water_over_its_bed_has_no_sheet(judged: Judged) -> None:
    dry = tuple(replace(each, profile=None) for each in water_of(judged).reaches)
    assert list(stream_sheets(with_water(judged, reaches=dry))) == []


def test_cases_and_outlets_of_a_pump(judged: Judged) -> None:
    (point,) = water_of(judged).circuit.pumps
    outlets = tuple(
        OutletFlow(
            run="run1", outlet="s1", level_m=level, flow_m3s=Band.exact(flow), id=id, wanted_m3s=9e-4, set_m3s=9e-4,
            valve_k=k, valve_loss_m=0.4 if k else 0.0, keep_open=not k,
        )
        for id, level, flow, k in (("head", 1.0, 8e-4, 0.0), ("stone", 0.2, 1.3e-3, 4.4))
    )  # fmt: skip
    circuit = replace(water_of(judged).circuit, outlets=outlets, pumps=(replace(point, settings_share=0.9),))
    text = printed(pumps(with_water(judged, circuit=circuit)))
    assert "worn 1.7 L/s 2.70 m 5.6 % short" in text
    assert "dirty intake 1.9 L/s 3.50 m 5.6 % over" in text
    assert "head +1.000 0.8 L/s 38 % 0.9 L/s leave open" in text
    assert "close until it fills 10 L in 11 s: then it" in text
    assert "K 4.4 more than now" in text
    assert "So set all get 90 % of what is wished for." in text


def test_the_valve_of_the_main_comes_first(judged: Judged) -> None:
    """1.8 L/s: a pail of 10 L is full in 5.6 s, too soon to tell, a barrel of 200 L in 111 s: arithmetic."""
    (point,) = water_of(judged).circuit.pumps
    outlet = OutletFlow(
        run="run1", outlet="s1", level_m=1.0, flow_m3s=Band.exact(2e-3), id="head", wanted_m3s=1.8e-3, set_m3s=1.8e-3,
        keep_open=True,
    )  # fmt: skip
    turned = replace(point, wanted_m3s=1.8e-3, main_valve=MainValve(spare_m=0.9, valve_k=30.0))
    circuit = replace(water_of(judged).circuit, outlets=(outlet,), pumps=(turned,))
    text = printed(pumps(with_water(judged, circuit=circuit)))
    assert (
        text.index("main, first")
        < text.index("close until it fills 200 L in 110 s: then it")
        < text.index("leave open")
    )
    assert "K 30 more than now" in text


def test_pails_and_barrels_tell_a_flow() -> None:
    """250 US gal/h are 5 gal in 72 s; 2,650 US gal/h are 55 gal in 75 s: arithmetic."""
    gallon_hour = 0.003785411784 / 3600.0
    assert pail(250.0 * gallon_hour, "us") == "5 gal in 72 s"
    assert pail(2650.0 * gallon_hour, "us") == "55 gal in 75 s"
    assert pail(0.0, "us") == ""
    assert pail(1.0, "metric") == ""


def test_pages_of_a_stream_say_at_which_flow(judged: Judged) -> None:
    (stream,) = judged.assessment.feature.streams
    water = water_of(judged)
    fed = OutletFlow(run="run1", outlet=stream.id, level_m=1.0, flow_m3s=Band.exact(1.8e-3), set_m3s=1.2e-3)
    so = SetWater(
        crests=tuple(
            SetCrest(fall=fall.id, path=f"falls/{fall.id}", flow_m3s=1.2e-3, depth_m=Band(0.015, 0.014, 0.016))
            for fall in stream.falls
        ),
        reaches=(SetReach(reach=stream.reaches[0].id, path="", flow_m3s=1.2e-3, depth_m=Band(0.05, 0.04, 0.06)),),
    )
    unset = with_water(judged, circuit=replace(water.circuit, outlets=()))
    turned = with_water(judged, circuit=replace(water.circuit, outlets=(fed,)), as_set=None)
    told = with_water(judged, circuit=replace(water.circuit, outlets=(fed,)), as_set=so)
    assert flow_of(unset.assessment, stream) == "at 1.9 L/s"
    assert flow_of(turned.assessment, stream) == "at 1.9 L/s, valves open; set as wished, 1.2 L/s, it stands lower"
    assert flow_of(told.assessment, stream) == (
        "at 1.9 L/s, valves open; set as wished, 1.2 L/s, a head of 14 to 16 mm on its crests, 40 to 60 mm on its beds"
    )
    (sheet,) = stream_sheets(turned)
    assert "Running at 1.9 L/s, valves open" in printed(sheet)
    assert "Crests, at 1.9 L/s, valves open" in str(crests_and_beds(turned.assessment, stream))


def test_energy_has_a_column_only_where_it_is_not_that_of_the_water(judged: Judged) -> None:
    fast = tuple(
        replace(each, profile=replace(each.profile, energies_m=tuple(1.0 for _ in each.profile.levels_m)))
        for each in water_of(judged).reaches
        if each.profile is not None
    )
    (sheet,) = stream_sheets(judged)
    assert "energy" not in printed(sheet)
    (sheet,) = stream_sheets(with_water(judged, reaches=fast))
    assert "Froude energy" in printed(sheet)


def test_crests_say_how_water_comes_down(judged: Judged) -> None:
    (first, second, third, fourth) = water_of(judged).crests
    crests = (
        replace(first, throw_m=None, cling_radius_m=Band(0.02, 0.01, 0.03), tread_m=Band(0.1, 0.09, 0.12)),
        replace(second, throw_m=None, foot_speed_ms=Band(1.4, 1.2, 1.6), foot_depth_m=Band(0.012, 0.01, 0.014)),
        replace(
            third,
            throw_m=Band(0.11, 0.09, 0.13),
            impact_ms=2.0,
            under=Band(0.03, 0.02, 0.05),
            dry_share=0.25,
            at="stone 2",
            pool_depth_m=Band(0.131, 0.12, 0.138),
            pool_length_m=Band(0.38, 0.35, 0.402),
        ),
        replace(fourth, throw_m=None, drowned=0.8, notes=("the water is thin", "it drops far")),
    )
    wet = with_water(judged, crests=crests).assessment
    text = str(crests_and_beds(wet, wet.feature.streams[0]))
    assert "clings to 30 mm round lips, sharp ones 120 mm treads" in text
    assert "1.4 m/s at its foot, 12 mm deep" in text
    assert (
        "lands 90 to 130 mm out at 2 m/s, most at stone 2; pool wanted 140 mm deep, 400 mm long; 25 % of the stone "
        "runs dry; 2 to 5 % goes under the stone"
    ) in text
    assert "drowned from below, 20 % less than free" in text
    assert "Outside what was measured: the water is thin (f4); it drops far (f4)." in text


def test_water_on_crests_and_beds_is_told_with_its_range(judged: Judged) -> None:
    """And that on each of several stones, with its share."""
    first, *others = water_of(judged).crests
    stones = (
        StoneShare(width_m=0.3, above_m=0.0, depth_m=Band(0.021, 0.017, 0.026), share=Band(0.7, 0.62, 0.81)),
        StoneShare(width_m=0.3, above_m=0.05, depth_m=Band(0.0, 0.0, 0.003), share=Band(0.3, 0.19, 0.38)),
    )
    told = replace(
        first, depth_m=Band(0.021, 0.017, 0.026), fall_height_m=Band(0.106, 0.101, 0.111), stones=stones, throw_m=None
    )
    beds = tuple(replace(each, depth_m=Band(0.080, 0.074, 0.084)) for each in water_of(judged).reaches)
    wet = with_water(judged, crests=(told, *others), reaches=beds).assessment
    text = str(crests_and_beds(wet, wet.feature.streams[0]))
    for span in ("17 to 26 mm", "101 to 111 mm", "62 to 81 % of it", "74 to 84 mm"):
        assert span in text, span
    assert "dry" in text


@pytest.mark.parametrize(
    "name",
    ["orchard-press", *(pytest.param(name, marks=pytest.mark.deep) for name in ("weavers-court", "clinic-forecourt"))],
)
def test_an_example_followed_over_time_is_printed_whole(name: str) -> None:
    """Nothing over anything, one page each, the pump one a run; every moment at which a fall first runs is said."""
    judged = job.judge(job.open(job.examples()[name]), tier="full")
    followed = judged.assessment.over_time
    assert not isinstance(followed, NotRun)
    text = printed(over_time_sheet(judged))
    for fall in followed.history("first start").falls:
        assert fall.first_s is not None
        assert fall.fall in text
    assert text.count("runs after") == 2 * len(judged.assessment.feature.falls)
    for sheet in (*stream_sheets(judged), pumps(judged)):
        assert "not drawn" not in printed(sheet, most=len(judged.assessment.feature.runs)).lower()
