"""The job: values typed anew are judged at once, kept or left; findings lead to their element."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import touch


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
    page.get_by_label("stream width").fill("1.2 m")
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
    page.get_by_label("stream width").fill("wide")
    expect(page.get_by_role("alert")).to_contain_text("wide")
    expect(page.get_by_role("button", name="Save it")).to_be_disabled()
    touch(page, "Leave as it was")
    expect(page.get_by_label("stream width")).to_have_value("0.90 m")


def test_a_finding_leads_to_its_element(page: Page) -> None:
    page.get_by_role("button", name="Show streams/rill").first.click()
    assert page.locator(".picture .chosen").count() > 0
    expect(page.get_by_label("stream width")).to_be_visible()
    touch(page, "Where is it?")
    page.locator(".picture svg [data-path='ponds/basin']").first.wait_for()
    assert page.locator(".picture .chosen").count() > 0
    touch(page, "What fits?")
    expect(page.get_by_role("heading", name="What fits in 1300 mm of rill")).to_be_visible()


def test_a_number_says_where_it_came_from(page: Page) -> None:
    touched = page.get_by_text("height there is", exact=True)
    touched.click()
    expect(page.get_by_text("nothing left over").last).to_be_visible()
    page.get_by_text("Where the limit comes from").first.click()
    expect(page.get_by_text("common practice").first).to_be_visible()
