"""Starts and stops on the job screen: followed on demand, played, paused, dragged, by keys and with little motion."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import touch
from tests.browser.office import Office
from tests.browser.test_looks import look
from tests.water.test_over_time import TWO_STREAMS

PATIENCE_MS = 120_000  # the kernels may have to be compiled first
PLACE = "How does it start and stop?"


@pytest.fixture(scope="module")
def job(office: Office) -> str:
    return office.job("orchard-press", "player")


def opened(person: Watched, job: str, *, wide: bool = True) -> Page:
    """The job screen with its first start on it, at its beginning."""
    page = person.context.new_page()
    if wide:
        page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(f"/job.html#job={job}")
    touch(page, PLACE)
    follow = page.get_by_role("button", name="Follow starts and stops")
    follow.or_(page.locator(".stage svg")).first.wait_for()
    if follow.count():
        follow.click()
    page.locator(".stage svg [data-layer='water'] path").first.wait_for(state="attached", timeout=PATIENCE_MS)
    return page


def at(page: Page) -> float:
    return float(page.get_by_label("time", exact=True).input_value())


def surface(page: Page) -> str:
    """The line of the first bed's water as it is drawn now."""
    return page.locator(".stage svg [data-layer='water'] path").first.get_attribute("d") or ""


def said(page: Page) -> Locator:
    return page.locator(".standing")


def test_it_is_followed_on_demand_and_can_be_left_off(person: Watched) -> None:
    id = person.office.job("orchard-press", "left-off")
    page = person.context.new_page()
    page.goto(f"/job.html#job={id}")
    touch(page, PLACE)
    expect(page.get_by_text("Not followed yet")).to_be_visible()
    touch(page, "Follow starts and stops")
    page.get_by_role("progressbar").wait_for()
    touch(page, "Leave it off")
    expect(page.get_by_text("Left off.")).to_be_visible(timeout=PATIENCE_MS)
    expect(page.get_by_role("button", name="Follow starts and stops")).to_be_visible()


def test_it_plays_and_pauses_and_the_water_moves(person: Watched, job: str) -> None:
    page = opened(person, job)
    before = surface(page)
    expect(said(page)).to_contain_text("no fall runs")
    touch(page, "Play")
    expect(said(page)).to_contain_text("water over r1")
    touch(page, "Pause")
    stopped = at(page)
    page.wait_for_timeout(300)
    assert at(page) == stopped
    assert surface(page) != before
    expect(said(page)).to_contain_text("below its waterline")


def test_time_is_dragged_and_stepped_by_keys(person: Watched, job: str) -> None:
    page = opened(person, job)
    time = page.get_by_label("time", exact=True)
    time.focus()
    page.keyboard.press("ArrowRight")
    assert at(page) == 1.0
    page.keyboard.press("End")
    expect(said(page)).to_contain_text("all falls run")
    assert re.match(r"After .* min: ", time.get_attribute("aria-valuetext") or "")
    page.keyboard.press("Home")
    expect(said(page)).to_contain_text("no fall runs")
    chart = page.locator(".chart svg")
    chart.scroll_into_view_if_needed()
    box = chart.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 0.3 * box["width"], box["y"] + 0.5 * box["height"])
    page.mouse.down()
    early = at(page)
    page.mouse.move(box["x"] + 0.8 * box["width"], box["y"] + 0.5 * box["height"])
    page.mouse.up()
    assert 0.0 < early < at(page)
    mark = page.locator(".chart [data-mark='time']").get_attribute("d") or ""
    assert re.match(r"M\d", mark)


def test_the_pond_falls_as_the_stream_fills(person: Watched, job: str) -> None:
    page = opened(person, job)
    level = page.locator(".stage svg [data-layer='water wash'] rect")
    high = float(level.get_attribute("y") or "nan")
    page.get_by_label("time", exact=True).focus()
    page.keyboard.press("End")
    assert float(level.get_attribute("y") or "nan") > high, "down on the screen"


def test_a_moment_leads_to_its_time_and_another_history_begins_anew(person: Watched, job: str) -> None:
    page = opened(person, job)
    moments = page.get_by_role("list", name="what happens when").get_by_role("button")
    moments.nth(1).click()
    expect(moments.nth(1)).to_have_attribute("aria-pressed", "true")
    assert at(page) > 10.0
    page.get_by_role("combobox", name="What is shown").select_option(label="stop, topped up while running")
    expect(page.get_by_role("list", name="what happens when")).to_contain_text("highest")
    assert at(page) == 0.0


def test_where_less_motion_is_wished_for_it_steps(browser: Browser, office: Office, job: str) -> None:
    person = Watched(browser, office, reduced_motion="reduce")
    page = opened(person, job)
    touch(page, "Play")
    seen = {at(page)}
    for _ in range(30):
        page.wait_for_timeout(100)
        seen.add(at(page))
    assert len(seen) <= 3, "one step in two seconds"
    assert len(seen) > 1
    person.context.close()
    assert person.wrong == []


@pytest.fixture(params=["light", "dark"])
def dressed(request: pytest.FixtureRequest, browser: Browser, office: Office) -> Iterator[Watched]:
    found = Watched(browser, office, color_scheme=request.param, bypass_csp=True)  # so that the rules can be put in
    yield found
    found.context.close()
    assert found.wrong == []


def test_it_is_accessible_and_fits_a_phone(dressed: Watched, job: str, axe: str) -> None:
    page = opened(dressed, job, wide=False)
    look(page, axe)
    page.get_by_label("time", exact=True).focus()
    page.keyboard.press("End")
    expect(page.get_by_role("button", name="Play again")).to_be_visible()
    look(page, axe)


def test_another_stream_is_played_from_where_it_was(person: Watched) -> None:
    """Of two streams one is chosen; its beds and falls are shown, at the same time of the same history."""
    folder = person.office.folder / "two-streams"
    folder.mkdir()
    (folder / "feature.yaml").write_text(TWO_STREAMS, encoding="utf-8")
    page = opened(person, "two-streams")
    stage = page.locator(".stage svg")
    expect(stage.locator("[data-path='falls/g1']").first).to_be_attached()
    page.get_by_label("time", exact=True).fill("60")
    page.get_by_label("Along which stream").select_option(label="stream short")
    expect(stage.locator("[data-path='falls/k1']").first).to_be_attached()
    expect(stage.locator("[data-path='falls/g1']")).to_have_count(0)
    assert at(page) == 60.0
    touch(page, "How does it run?")
    page.get_by_label("which stream").select_option(label="stream short")
    rows = page.get_by_role("table", name="Crests").get_by_role("row")
    expect(rows.locator("td:first-child")).to_have_text(["k1", "k2"])
