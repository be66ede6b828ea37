"""The job: values typed anew are judged at once, kept or left; findings lead to their element."""

from __future__ import annotations

import itertools
import re
import time

import pytest
from playwright.sync_api import Page, expect

from tests.app.pictures import png
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
    touch(page, "Take back: width of stream rill")
    expect(page.get_by_role("status")).to_have_text("Taken back: width of stream rill.")
    assert file.read_text(encoding="utf-8") == before


def test_what_cannot_be_read_is_told_and_not_saved(page: Page, person: Watched) -> None:
    person.away = True  # a browser notes every refusal
    page.get_by_label("Of which part").select_option("streams/rill")
    page.get_by_label(WIDTH, exact=True).fill("wide")
    said = page.get_by_role("alert").filter(has_text="width, stream rill")
    expect(said).to_be_visible()
    for unwanted in ("stream.width", "feature.yaml", "line", "Try again"):
        expect(said).not_to_contain_text(unwanted)
    field, told = page.get_by_label(WIDTH, exact=True).bounding_box(), said.bounding_box()
    assert field
    assert told
    assert 0 < told["y"] - field["y"] - field["height"] < 80, "said under the value, not at the top"
    expect(page.get_by_role("button", name="Save it")).to_be_disabled()
    touch(page, "Leave as it was")
    expect(page.get_by_label(WIDTH, exact=True)).to_have_value("0.90 m")


def test_what_stands_at_the_foot_is_covered_by_nothing(page: Page) -> None:
    """Wherever the page is scrolled to, in each view, a finger on a key at the foot meets that key."""
    views = (
        "How does it fall?", "How does it run?", "Where is it?", "What fits?", "How does it start and stop?",
        "Where would it run over?", "What will it look like?",
    )  # fmt: skip
    for (width, height), view in itertools.product(((390, 844), (1440, 900)), views):
        page.set_viewport_size({"width": width, "height": height})
        touch(page, view)
        page.wait_for_timeout(300)
        for share in (0.0, 0.21, 0.4, 0.47, 0.53, 0.6, 0.77, 1.0):
            page.evaluate("share => scrollTo(0, share * document.documentElement.scrollHeight)", share)
            assert page.evaluate(COVERED) == [], (view, share)


COVERED = """() => [...document.querySelectorAll("footer button")].flatMap((key) => {
  const box = key.getBoundingClientRect();
  const points = [0.03, 0.2, 0.4, 0.6, 0.8, 0.97].flatMap((x) => [0.1, 0.5, 0.9].map((y) => [x, y]));
  return points.map(([x, y]) => document.elementFromPoint(box.x + x * box.width, box.y + y * box.height))
    .filter((met) => met?.closest("button") !== key).map((met) => met?.outerHTML.slice(0, 80));
})"""


def test_a_reading_of_somebody_is_asked_about_before_it_is_taken_back(page: Page, person: Watched) -> None:
    id = page.evaluate("location.hash.slice(5)")
    row = {
        "uuid": "22222222-2222-4222-8222-222222222222", "time": "2026-05-04T22:10:00+02:00", "who": "jm",
        "setup": "2026-05-04/1", "rod": "metric", "path": "falls/f1.crest", "surface": "stone top", "reading": "1.150",
        "state": "kept", "re": "", "note": "",
    }  # fmt: skip
    asked = {"format": 1, "kit": "", "shots": [row]}
    headers = {"origin": person.office.address}
    answer = page.request.post(f"{person.office.address}/api/jobs/{id}/shots", data=asked, headers=headers)
    assert answer.ok, answer.text()
    page.reload()
    key = page.get_by_role("button", name=re.compile("^Take back: reading s[0-9]+ of jm, 22:10$"))
    key.click()
    expect(page.get_by_text("The reading is withdrawn for everybody")).to_be_visible()
    touch(page, "Leave it")
    expect(key).to_be_visible()
    key.click()
    touch(page, "Take it back")
    expect(page.get_by_role("status")).to_contain_text("Taken back: reading s")
    expect(page.get_by_role("button", name="Nothing to take back")).to_be_disabled()


def test_what_changes_stands_under_the_value_that_is_typed(page: Page) -> None:
    """On a phone it is seen together with the value, above the foot."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.get_by_label("Of which part").select_option("streams/rill")
    page.get_by_label(WIDTH, exact=True).fill("1.2 m")
    told = page.get_by_role("region", name="what changes")
    expect(told.get_by_role("listitem").first).to_be_in_viewport()
    page.wait_for_timeout(300)
    first = told.get_by_role("listitem").first
    places = [one.bounding_box() for one in (page.get_by_label(WIDTH, exact=True), first, page.locator("footer"))]
    tops = [place["y"] for place in places if place]
    assert 0 <= tops[0] < tops[1] < tops[2]


def test_the_same_worry_is_said_once(page: Page) -> None:
    """Whatever is open says another thing than all else; the elements of the same thing are named with it."""
    worries = page.get_by_role("region", name="worries")
    titles = worries.get_by_role("article").get_by_role("heading").all_inner_texts()
    assert len(titles) == len(set(titles)) == 3
    worries.get_by_text(re.compile("^[0-9]+ more worr")).click()
    expect(worries.get_by_role("article").nth(3)).to_be_visible()
    titles = worries.get_by_role("article").get_by_role("heading").all_inner_texts()
    assert len(titles) == len(set(titles)) > 3


def test_photos_are_shown_and_one_touch_larger(page: Page, person: Watched) -> None:
    id = page.evaluate("location.hash.slice(5)")
    headers = {"origin": person.office.address, "content-type": "application/octet-stream"}
    answer = page.request.post(f"{person.office.address}/api/jobs/{id}/photos", data=png(), headers=headers)
    assert answer.ok, answer.text()
    page.reload()
    photos = page.get_by_role("region", name="photos")
    photos.get_by_role("button").click()
    expect(photos.get_by_role("img", name="photo 1, large")).to_be_visible()
    photos.locator("figure").get_by_role("button").click()
    expect(photos.get_by_role("img", name="photo 1, large")).to_be_hidden()


def test_the_plan_fits_a_phone(page: Page) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    page.reload()
    touch(page, "Where is it?")
    drawing = page.get_by_role("region", name="drawing")
    drawing.locator("svg [data-path='ponds/basin']").first.wait_for()
    assert drawing.evaluate("one => one.scrollWidth <= one.clientWidth")
    letters = drawing.locator("svg text").first.bounding_box()
    assert letters
    assert letters["height"] > 10


def unfold(page: Page) -> None:
    """All worries, for which are the three worst is the examples' own."""
    folds = page.get_by_role("region", name="worries").get_by_text(re.compile("^[0-9]+ (more worr|caution|matter)"))
    for fold in folds.all():
        fold.click()


def test_a_finding_leads_to_its_element(page: Page) -> None:
    unfold(page)
    page.get_by_role("button", name="Show bed b6").first.click()
    assert page.locator(".picture .chosen").count() > 0
    expect(page.get_by_label("Of which part")).to_have_value("reaches/b6")
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
    unfold(page)
    finding = page.get_by_role("article").filter(has_text="The bank's liner stands above the highest water").first
    numbers = finding.locator("[data-name]")
    numbers.nth(1).evaluate("one => one.scrollIntoView({ block: 'center' })")
    box = numbers.nth(1).bounding_box()
    assert box is not None
    page.mouse.click(box["x"] - 6, box["y"] + box["height"] / 2)  # beside it: a finger is not so exact
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
    assert page.locator(".picture").inner_html() == before
