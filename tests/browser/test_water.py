"""How does it run: pump, depths and crests on the job screen; numbers are traced, what is typed draws it anew."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import touch
from tests.browser.office import Office
from tests.browser.test_looks import look

PLACE = "How does it run?"
PATIENCE_MS = 120_000  # the kernels may have to be compiled first


@pytest.fixture
def page(person: Watched, request: pytest.FixtureRequest) -> Page:
    id = person.office.job("weavers-court", "run-" + request.node.name.split("[")[0])
    found = person.context.new_page()
    found.set_viewport_size({"width": 1280, "height": 800})
    found.goto(f"/job.html#job={id}")
    touch(found, PLACE)
    found.get_by_role("table", name="Crests").wait_for()
    return found


def row(page: Page, name: str) -> Locator:
    return page.get_by_role("table", name="Crests").get_by_role("row").filter(has=page.get_by_role("button", name=name))


def test_a_number_of_a_row_is_traced_and_typed_anew(page: Page) -> None:
    """Touched, it says where it comes from and leads to its value; typed, rows and drawings are others."""
    water = row(page, "f2").get_by_role("cell").nth(5).locator("[data-name]")
    before = water.inner_text()
    section = page.get_by_role("region", name="depths along the stream")
    section.locator("svg").wait_for()
    drawn = section.inner_html()
    water.click()
    came = page.get_by_role("region", name="where it comes from")
    expect(came).to_have_count(1)
    expect(came).to_contain_text("ater on the crest of fall f2")
    expect(came).to_contain_text("width of the crest, fall f2: typed in the file: 500 mm.", ignore_case=True)
    came.get_by_role("button", name="Change width of the crest, fall f2").click()
    width = page.get_by_label("width of the crest", exact=True)
    expect(width).to_be_focused()
    width.fill("800 mm")
    expect(row(page, "f2").get_by_role("cell").nth(4)).to_have_text("800\u00a0mm")
    expect(water).not_to_have_text(before)
    page.wait_for_function(
        "before => document.querySelector('[aria-label=\"depths along the stream\"]').innerHTML !== before", arg=drawn
    )
    touch(page, "Leave as it was")
    expect(water).to_have_text(before)


def test_a_number_is_told_in_one_place_and_closed_by_touching_it_again(page: Page) -> None:
    came = page.get_by_role("region", name="where it comes from")
    flow = page.get_by_role("region", name="pump", exact=True).locator("p [data-name]").first
    flow.click()
    expect(came).to_contain_text("low of pipe run long")
    page.locator("[data-of='runs/long flow; runs/long head']").first.click()
    expect(came).to_have_count(1)
    expect(came).to_contain_text("ead of pipe run long")
    flow.click()
    expect(came).to_have_count(1)
    expect(came).not_to_contain_text("ead of pipe run long")
    flow.click()
    expect(came).to_have_count(0)


def test_another_run_is_chosen(page: Page) -> None:
    said = page.get_by_role("region", name="pump", exact=True).locator("p").first
    first = said.inner_text()
    page.get_by_label("which pipe run").select_option(label="pipe run short")
    expect(said).not_to_have_text(first)
    page.locator("[data-of='runs/short flow; runs/short head']").first.wait_for()
    page.get_by_text("With another pipe").click()
    expect(page.get_by_role("table", name="With another pipe").get_by_role("row")).to_have_count(6)


def test_a_row_leads_to_its_values_and_stays_in_sight(page: Page) -> None:
    row(page, "f5").get_by_role("button", name="f5").click()
    expect(page.get_by_label("Of which part")).to_have_value("falls/f5")
    expect(page.get_by_role("table", name="Crests")).to_be_visible()
    assert page.get_by_role("region", name="depths along the stream").locator(".chosen").count() > 0


def test_on_a_phone_each_row_is_a_list(page: Page) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    cells = row(page, "f1").get_by_role("cell")
    boxes = [box for box in (cells.nth(index).bounding_box() for index in range(8)) if box]
    assert len({round(box["y"]) for box in boxes}) == 5, "its name, three pairs, how the water comes down"
    assert all(box["x"] + box["width"] <= 390 for box in boxes)


def test_odds_of_edges_are_drawn_by_a_key(page: Page) -> None:
    touch(page, "Where would it run over?")
    page.get_by_text("How often would such work run over?").click()
    expect(page.get_by_text("For the builder alone")).to_be_visible()
    touch(page, "Draw it")
    expect(page.get_by_text(re.compile("such crews' work"))).to_be_visible(timeout=PATIENCE_MS)
    page.get_by_role("button", name=re.compile("^Pond basin: it spills in")).click()
    expect(page.get_by_label("Of which part")).to_have_value("ponds/basin")


@pytest.fixture(params=["light", "dark"])
def dressed(request: pytest.FixtureRequest, browser: Browser, office: Office) -> Iterator[Watched]:
    found = Watched(browser, office, color_scheme=request.param, bypass_csp=True)
    yield found
    found.context.close()
    assert found.wrong == []


def test_it_is_accessible_and_fits(dressed: Watched, axe: str) -> None:
    dark = "matchMedia('(prefers-color-scheme: dark)').matches"
    page = dressed.context.new_page()
    page.goto("/")
    id = dressed.office.job("orchard-press", f"run-dressed-{page.evaluate(dark)}")
    page.goto(f"/job.html#job={id}")
    touch(page, PLACE)
    page.get_by_role("region", name="depths along the stream").locator("svg").wait_for()
    for fold in ("All of pipe run supply", "What comes out where", "Beds: depth"):
        page.get_by_text(fold).click()
    page.get_by_role("table", name="Crests").locator("[data-name]").first.click()
    expect(page.get_by_role("region", name="where it comes from")).to_be_visible()
    look(page, axe)
