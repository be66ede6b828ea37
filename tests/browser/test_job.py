"""The job: values typed anew are judged at once, kept or left; findings lead to their element."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import touch

WIDTH = "width"


@pytest.fixture
def page(person: Watched, request: pytest.FixtureRequest) -> Page:
    id = person.office.job("weavers-court", request.node.name.split("[")[0])
    found = person.context.new_page()
    found.set_viewport_size({"width": 1280, "height": 800})
    found.goto(f"/job.html#job={id}")
    found.locator(".picture svg").wait_for()
    return found


def test_a_value_typed_is_judged_and_saved_and_taken_back(page: Page, person: Watched) -> None:
    file = person.office.folder / "test_a_value_typed_is_judged_and_saved_and_taken_back" / "feature.yaml"
    before = file.read_text(encoding="utf-8")
    page.get_by_label("Of which part").select_option("streams/rill")
    began = time.perf_counter()
    page.get_by_label(WIDTH, exact=True).fill("1.2 m")
    expect(page.get_by_role("region", name="what changes")).to_contain_text("1.20 m wide")
    assert time.perf_counter() - began < 10.0  # docs/screens.md says what was measured
    assert file.read_text(encoding="utf-8") == before, "nothing is written by trying"
    touch(page, "Save it")
    expect(page.get_by_text("Saved.")).to_be_visible()
    assert "1.2 m" in file.read_text(encoding="utf-8")
    touch(page, "Take back the last step")
    expect(page.get_by_text("The last step is taken back.")).to_be_visible()
    assert file.read_text(encoding="utf-8") == before


def test_what_cannot_be_read_is_told_and_not_saved(page: Page, person: Watched) -> None:
    person.away = True  # a browser notes every refusal
    page.get_by_label("Of which part").select_option("streams/rill")
    page.get_by_label(WIDTH, exact=True).fill("wide")
    expect(page.get_by_role("alert")).to_contain_text("width, stream rill")
    expect(page.get_by_role("alert")).not_to_contain_text("stream.width")
    expect(page.get_by_role("button", name="Save it")).to_be_disabled()
    touch(page, "Leave as it was")
    expect(page.get_by_label(WIDTH, exact=True)).to_have_value("0.90 m")


def test_a_finding_leads_to_its_element(page: Page) -> None:
    page.get_by_role("button", name="Show stream rill").first.click()
    assert page.locator(".picture .chosen").count() > 0
    expect(page.get_by_label(WIDTH, exact=True)).to_be_visible()
    touch(page, "Where is it?")
    page.locator(".picture svg [data-path='ponds/basin']").first.wait_for()
    assert page.locator(".picture .chosen").count() > 0
    touch(page, "What fits?")
    expect(page.get_by_role("heading", name="What fits in 1300 mm of rill")).to_be_visible()


def test_a_number_says_where_it_came_from(page: Page) -> None:
    touched = page.get_by_text("height there is", exact=True)
    touched.click()
    expect(page.get_by_text("nothing left over").last).to_be_visible()


def test_a_number_in_a_sentence_leads_to_what_it_is_made_of(page: Page) -> None:
    finding = page.get_by_role("article").filter(has_text="The bank's liner stands above the highest water").first
    numbers = finding.locator("[data-name]")
    numbers.nth(1).evaluate("one => one.scrollIntoView({ block: 'center' })")
    box = numbers.nth(1).bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] + 6)  # beside it: a finger is not so exact
    came = finding.get_by_role("region", name="where it comes from")
    expect(came).to_contain_text("The usual limit. Source: common practice, no source.")
    numbers.nth(0).focus()
    page.keyboard.press("Enter")
    expect(came).to_contain_text("liner's edge above the highest water in the bed, bed b6")
    expect(came).to_contain_text("typed in the file: 230 mm.")
    came.get_by_role("button", name="Change liner's edge above the bed, stream rill").click()
    expect(page.get_by_label("liner's edge above the bed", exact=True)).to_be_focused()
    came.get_by_role("button", name="Close").click()
    expect(came).to_be_hidden()


def test_a_number_in_a_drawing_is_followed_to_the_reading(page: Page) -> None:
    page.locator(".picture [data-of='streams/rill.head bed']").first.click()
    came = page.get_by_role("region", name="where it comes from")
    expect(came).to_contain_text("the stream head of stream rill, bed")
    expect(came).to_contain_text("Planned at 1.30 m above the waterline of pond basin.")
    expect(came).to_contain_text("Read in books/levels.csv, line 5: paving, 1.470 on the rod")
    came.get_by_role("button", name="Change level of the bed at the stream head, stream rill").click()
    level = page.get_by_label("level of the bed at the stream head", exact=True)
    expect(level).to_be_focused()
    level.fill("1.31 m above ponds/basin.waterline")
    page.get_by_role("region", name="what changes").wait_for()
    page.locator(".picture [data-of='streams/rill.head bed']").first.click()  # closes it
    page.locator(".picture [data-of='streams/rill.head bed']").first.click()
    expect(came).to_contain_text("Planned at 1.31 m above the waterline of pond basin.")


def test_numbers_of_a_drawing_are_one_stop_for_keys(page: Page) -> None:
    stops = page.locator(".picture [tabindex='0']")
    assert stops.count() == 1
    stops.focus()
    first = page.evaluate("document.activeElement.getAttribute('aria-label')")
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") != first
    assert stops.count() == 1
    page.keyboard.press("Enter")
    expect(page.get_by_role("region", name="where it comes from")).to_contain_text("Read in books/levels.csv, line 17")


def test_parts_are_chosen_by_their_names(page: Page) -> None:
    page.get_by_label("Of which part").select_option(label="bed b1")
    expect(page.get_by_label("pitch, fall from start to end", exact=True)).to_have_value("10 mm")
    page.get_by_label("Of which part").select_option(label="stream rill")
    expect(page.get_by_label("point 3 along the stream, across the sheet", exact=True)).to_have_value("4.0 m")
    shown = page.locator("main").inner_text()
    for path in ("streams/rill", "falls/f1", "reaches/b1", "rims/"):
        assert path not in shown


def test_the_plan_too_is_drawn_anew_for_what_is_typed(page: Page) -> None:
    touch(page, "Where is it?")
    page.locator(".picture svg [data-path='ponds/basin']").first.wait_for()
    page.get_by_label("Of which part").select_option("streams/rill")
    before = page.locator(".picture").inner_html()
    page.get_by_label(WIDTH, exact=True).fill("1.4 m")
    page.wait_for_function("before => document.querySelector('.picture').innerHTML !== before", arg=before)
    touch(page, "Leave as it was")
    page.wait_for_function("before => document.querySelector('.picture').innerHTML === before", arg=before)
