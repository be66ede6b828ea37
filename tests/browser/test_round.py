"""Three dimensions and edges of liner on the job screen: loaded when touched, drawn, turned, told in words."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import touch
from tests.browser.office import Office
from tests.browser.test_looks import look

LOOK, OVER = "What will it look like?", "Where would it run over?"
PATIENCE_MS = 60_000
WITHOUT = """HTMLCanvasElement.prototype.getContext = () => null;"""  # a browser that does not draw in three dimensions
LEAST_SHARE = 0.05  # of a picture's pixels that are not paper


@pytest.fixture(scope="module")
def job(office: Office) -> str:
    return office.job("weavers-court", "round")


def opened(person: Watched, job: str, view: str, *, wide: bool = True) -> Page:
    """The job screen at that view."""
    page = person.context.new_page()
    if wide:
        page.set_viewport_size({"width": 1280, "height": 900})
    page.goto(f"/job.html#job={job}")
    page.locator(".picture svg").wait_for()
    touch(page, view)
    return page


def drawn(page: Page) -> Locator:
    """The picture, once it was drawn."""
    canvas = page.locator("canvas[data-drawn]")
    canvas.wait_for(timeout=PATIENCE_MS)
    page.wait_for_timeout(200)
    return canvas


def seen(canvas: Locator) -> Image.Image:
    """The picture without what lies over it, and without its very edge."""
    canvas.evaluate("one => one.scrollIntoView({ block: 'center' })")
    for over in ("footer", ".north"):
        canvas.page.locator(over).evaluate("one => one.style.setProperty('visibility', 'hidden')")
    found = Image.open(io.BytesIO(canvas.screenshot())).convert("RGB")
    for over in ("footer", ".north"):
        canvas.page.locator(over).evaluate("one => one.style.removeProperty('visibility')")
    return found.crop((4, 4, found.width - 4, found.height - 4))


def inked(picture: Image.Image) -> float:
    """Share of its pixels that are of another colour than its corner [-]."""
    paper = picture.getpixel((4, 4))
    counts = picture.getcolors(picture.width * picture.height) or []
    return sum(count for count, colour in counts if colour != paper) / (picture.width * picture.height)


def test_it_is_loaded_when_touched_drawn_and_turned(person: Watched, job: str) -> None:
    asked: list[str] = []
    person.context.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    page = person.context.new_page()
    page.goto(f"/job.html#job={job}")
    page.locator(".picture svg").wait_for()
    page.wait_for_load_state("networkidle")
    assert not {"round.js", "surface.glb", "surface"} & set(asked), "nothing of it is loaded before it is asked for"
    page.set_viewport_size({"width": 1280, "height": 900})
    touch(page, LOOK)
    canvas = drawn(page)
    assert {"round.js", "surface.glb"} <= set(asked)
    first = seen(canvas)
    assert inked(first) > LEAST_SHARE
    place = page.get_by_role("application")
    place.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(200)
    turned = seen(canvas)
    assert turned.tobytes() != first.tobytes()
    page.get_by_role("button", name="All of it").click()
    page.wait_for_timeout(200)
    assert seen(canvas).tobytes() == first.tobytes(), "as it was seen at first"
    box = canvas.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.7 * box["width"], box["y"] + 0.5 * box["height"], steps=4)
    page.mouse.up()
    page.wait_for_timeout(200)
    assert seen(canvas).tobytes() != first.tobytes()


@pytest.mark.deep
def test_surfaces_water_and_heights_are_switched_and_said(person: Watched, job: str) -> None:
    page = opened(person, job, LOOK)
    canvas = drawn(page)
    surfaces = page.get_by_role("group", name="surfaces").get_by_role("button")
    assert surfaces.all_inner_texts() == ["stone and gravel", "liner", "dug", "ground before"]
    pictures = [seen(canvas).tobytes()]
    for act in (
        lambda: page.get_by_label("Water").select_option(label="no water"),
        lambda: page.get_by_label("Heights").select_option(label="three times as large as they are"),
        lambda: surfaces.nth(3).click(),
        lambda: surfaces.nth(0).click(),
    ):
        act()
        page.wait_for_timeout(200)
        pictures.append(seen(canvas).tobytes())
    assert len(set(pictures)) == len(pictures), "each is seen"
    expect(page.get_by_text("Heights are drawn three times as large as they are.")).to_be_visible()
    surfaces.nth(3).click()
    page.wait_for_timeout(200)
    assert inked(seen(canvas)) == 0.0, "nothing is shown where nothing is switched on"


def test_a_part_that_is_touched_shows_its_values(person: Watched, job: str) -> None:
    page = opened(person, job, LOOK)
    canvas = drawn(page)
    page.get_by_label("Water").select_option(label="no water")
    for _ in range(8):
        page.get_by_role("button", name="look from higher").click()
    before = seen(canvas).tobytes()
    box = canvas.bounding_box()
    assert box is not None
    select = page.get_by_label("Of which part")
    for down in (0.5, 0.6, 0.7, 0.8):  # wherever along the stream and in the pond it comes to lie
        page.mouse.click(box["x"] + 0.5 * box["width"], box["y"] + down * box["height"])
        if select.input_value():
            break
    assert re.match(r"(ponds|reaches|falls)/", select.input_value())
    page.wait_for_timeout(200)
    assert seen(canvas).tobytes() != before, "it stands out"
    page.get_by_label("which drawing").select_option("A")
    page.get_by_role("region", name="drawing").locator("svg").wait_for()
    expect(canvas).to_be_hidden()
    page.get_by_label("which drawing").select_option("")
    expect(canvas).to_be_visible()


def test_where_it_cannot_be_drawn_that_is_said(browser: Browser, office: Office, job: str) -> None:
    person = Watched(browser, office)
    person.context.add_init_script(WITHOUT)
    page = opened(person, job, LOOK)
    expect(page.get_by_text("This browser does not draw in 3-D")).to_be_visible(timeout=PATIENCE_MS)
    person.context.close()
    assert person.wrong == []


def test_edges_are_unrolled_and_follow_what_is_typed(person: Watched, job: str) -> None:
    page = opened(person, job, OVER)
    strip = page.get_by_role("region", name="drawing").locator("svg")
    strip.wait_for()
    told = page.get_by_role("region", name="edges of liner")
    expect(told.get_by_role("heading").first).to_have_text("Least to spare")
    before = told.inner_text()
    told.get_by_role("button").first.click()
    expect(page.get_by_label("Of which part")).not_to_have_value("")
    page.get_by_label("Of which part").select_option("streams/rill")
    page.get_by_label("liner's edge above the bed", exact=True).fill("150 mm")
    page.get_by_role("region", name="what changes").wait_for()
    expect(told).not_to_have_text(re.compile("^" + re.escape(before) + "$"))
    touch(page, "On the ground")
    page.locator(".picture svg").wait_for()
    expect(page.get_by_role("button", name=OVER)).to_have_attribute("aria-pressed", "true")
    touch(page, "Leave as it was")


@pytest.fixture(params=["light", "dark"])
def dressed(request: pytest.FixtureRequest, browser: Browser, office: Office) -> Iterator[Watched]:
    found = Watched(browser, office, color_scheme=request.param, bypass_csp=True)  # so that the rules can be put in
    yield found
    found.context.close()
    assert found.wrong == []


@pytest.mark.parametrize("view", [LOOK, OVER])
def test_both_are_accessible_and_fit_a_phone(dressed: Watched, job: str, axe: str, view: str) -> None:
    page = opened(dressed, job, view, wide=False)
    if view == LOOK:
        drawn(page)
    else:
        page.get_by_role("region", name="edges of liner").wait_for()
    look(page, axe)
    assert dressed.wrong == []
