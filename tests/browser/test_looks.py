"""Every screen, light and dark: accessible by published rules, no sideways scrolling, keys large enough for gloves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.app.pictures import png
from tests.browser.conftest import Watched
from tests.browser.keys import begin_day, take, touch, wanted
from tests.browser.office import Office

WIDTHS = (360, 768, 1280)
SERIOUS = ("serious", "critical")
LEAST_TARGET_PX = 56
AXE = """async () => {
  const rules = { "color-contrast-enhanced": { enabled: location.pathname === "/day.html" } };
  const found = await axe.run(document, { resultTypes: ["violations"], rules });
  const where = (one) => one.nodes.map((node) => node.html.slice(0, 120)).slice(0, 3);
  return found.violations.map((one) => [one.impact, one.id, where(one)]);
}"""  # the enhanced contrast of 7 to 1: WCAG 2.1, success criterion 1.4.6
SMALL = """(least) => [
  ...document.querySelectorAll(
    "button, a.key, select, input:not([type=checkbox]), label:has([type=checkbox]), summary"
  )
].filter((one) => one.checkVisibility() && one.getBoundingClientRect().height < least - 0.5)
  .map((one) => one.textContent.trim().slice(0, 40))"""


@pytest.fixture(scope="module")
def job(office: Office) -> str:
    return office.job("weavers-court", "looks")


@pytest.fixture(params=["light", "dark"])
def dressed(request: pytest.FixtureRequest, browser: Browser, office: Office) -> Iterator[Watched]:
    scheme: Literal["light", "dark"] = request.param
    found = Watched(browser, office, color_scheme=scheme, bypass_csp=True)  # so that the rules can be put into the page
    yield found
    found.context.close()
    assert found.wrong == []


def look(page: Page, axe: str) -> None:
    """Hold a screen to all of it."""
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(axe)
    found = page.evaluate(AXE)
    assert [each for each in found if each[0] in SERIOUS] == []
    assert page.evaluate(SMALL, LEAST_TARGET_PX) == []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 740})
        assert_fits(page)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 740})
        assert_fits(page)
    page.evaluate("document.documentElement.style.fontSize = ''")
    page.set_viewport_size({"width": 360, "height": 740})


def assert_fits(page: Page) -> None:
    wide, room = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide <= room


def test_first_page_and_visit(dressed: Watched, job: str, axe: str) -> None:
    page = dressed.context.new_page()
    page.goto("/")
    page.get_by_role("link", name="How does it stand?").first.wait_for()
    look(page, axe)
    page.goto("/visit.html")
    look(page, axe)
    touch(page, "feet, inches, eighths")
    page.locator(".pad").wait_for()
    look(page, axe)
    take(page, "4' 7 3/8\"", "Take it")
    touch(page, "the benchmark is the paving")
    for reading in ("1' 2\"", "5' 8\""):
        take(page, reading, "Take it")
    page.get_by_text("height there is", exact=True).wait_for()
    look(page, axe)
    for _ in range(3):
        page.get_by_role("button", name="as usual").first.click()
    for _ in range(2):
        page.get_by_role("button", name="as usual").first.click()
    look(page, axe)


@pytest.mark.deep
def test_what_is_also_noted(dressed: Watched, axe: str) -> None:
    page = dressed.context.new_page()
    page.goto("/visit.html")
    touch(page, "feet, inches, eighths")
    take(page, "4' 7 3/8\"", "Take it")
    touch(page, "the benchmark is the paving")
    for reading in ("1' 2\"", "5' 8\""):
        take(page, reading, "Take it")
    noted = page.get_by_role("region", name="also worth noting").get_by_role("button")
    expect(noted).to_have_count(7)
    for index in range(7):
        noted.nth(index).click()
        page.get_by_text("Also worth noting", exact=True).first.wait_for()
        page.locator("input[type=file]").set_input_files({"name": "a", "mimeType": "", "buffer": png()})
        look(page, axe)
        touch(page, "Back")
    page.goto("/visit.html")
    page.get_by_role("button", name="Go on with it").wait_for()
    look(page, axe)


def test_job(dressed: Watched, job: str, axe: str) -> None:
    page = dressed.context.new_page()
    page.goto(f"/job.html#job={job}")
    page.locator(".picture svg").wait_for()
    look(page, axe)
    page.get_by_label("Of which part").select_option("streams/rill")
    page.get_by_label("width", exact=True).fill("1.1 m")
    page.get_by_role("region", name="what changes").wait_for()
    page.wait_for_load_state("networkidle")  # the section is drawn anew by then
    page.get_by_role("article").first.locator("[data-name]").first.focus()
    page.keyboard.press("Enter")
    page.locator(".picture [tabindex='0']").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("region", name="where it comes from")).to_have_count(2)
    look(page, axe)
    touch(page, "What fits?")
    page.get_by_role("heading", name="What fits in").wait_for()
    look(page, axe)


def test_day(dressed: Watched, job: str, axe: str) -> None:
    page = dressed.context.new_page()
    page.goto(f"/day.html#job={job}")
    page.get_by_label("Your initials").wait_for()
    look(page, axe)
    dark = page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches")
    begin_day(page, job, who="GH" if dark else "EF", benchmark="1.406")  # two phones at one job: two sets of initials
    look(page, axe)
    take(page, f"{wanted(page) + 0.05:.3f}")
    page.get_by_role("region", name="what it comes to").wait_for()
    look(page, axe)
    touch(page, "All")
    look(page, axe)
    page.get_by_role("region", name="hold points").get_by_role("button").nth(2).click()
    look(page, axe)
