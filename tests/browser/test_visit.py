"""The visit from nothing to a packet, by touch alone; what is also noted; a tab that is killed on the way."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, Route, expect

from rillwright import job
from tests.app.pictures import PICTURES, png
from tests.browser.conftest import Watched
from tests.browser.keys import key, take, touch

MOST_SCREENS = 12
PICTURE = png(side=40)


def test_from_nothing_to_a_packet(person: Watched) -> None:
    page = person.context.new_page()
    page.goto("/")
    screens = ["first page"]

    def see() -> None:
        heading = page.get_by_role("heading", level=1).inner_text()
        if heading != screens[-1]:
            screens.append(heading)

    page.get_by_role("link", name="Begin a visit").click()
    page.get_by_label("What the job is called").fill("Larch Bank <b>&amp;</b>")
    see()
    touch(page, "feet, inches, eighths")
    page.get_by_text("Answer 1 of 9").wait_for()
    see()
    take(page, "4' 7 3/8\"", "Take it")
    touch(page, "the benchmark is the paving")
    for reading in ("1' 2\"", "5' 8\""):
        see()
        take(page, reading, "Take it")
    expect(
        page.get_by_text("height there is", exact=True)
    ).to_be_visible()  # the page is there from the third answer on
    first_price = page.locator("details.large .value").inner_text()
    see()
    take(page, "16' 0\"", "Take it")  # the pond's length; the rest as usual
    expect(page.locator("details.large .value")).not_to_have_text(first_price)
    while page.get_by_role("button", name="Keep it as a job").count() == 0:
        see()
        usual = page.get_by_role("button", name=re.compile("as usual$"))
        (usual if usual.count() else page.locator("footer .words button")).first.click()
    see()
    expect(page.get_by_role("heading", name="Three worries")).to_be_visible()
    touch(page, "pond width: 8 ft")  # a default is one step from being changed
    expect(page.get_by_role("heading", name="How large is the pond?")).to_be_visible()
    page.get_by_role("button", name=re.compile("^8 ft, as usual")).click()
    while page.get_by_role("button", name="Keep it as a job").count() == 0:
        usual = page.get_by_role("button", name=re.compile("as usual$|^Leave it$"))
        (usual if usual.count() else page.locator("footer .words button")).first.click()
    with page.expect_download(timeout=60_000) as leaf:
        touch(page, "The page as a PDF, for the client")
    assert leaf.value.path().read_bytes().startswith(b"%PDF-")
    touch(page, "Keep it as a job")
    page.get_by_role("heading", name="How does it stand?").wait_for()
    see()
    expect(page.get_by_text("Larch Bank <b>&amp;</b>", exact=True)).to_be_visible()  # a name is text and nothing else
    with page.expect_download(timeout=60_000) as papers:
        touch(page, "Papers to take along")
    assert papers.value.path().read_bytes().startswith(b"%PDF-")
    assert len(screens) - 1 <= MOST_SCREENS, screens
    assert (person.office.folder / papers.value.suggested_filename.removesuffix(".pdf") / "feature.yaml").is_file()


def begin(person: Watched, name: str) -> Page:
    """A visit with its three readings, at the pond."""
    page = person.context.new_page()
    page.goto("/visit.html")
    page.get_by_label("What the job is called").fill(name)
    touch(page, "feet, inches, eighths")
    take(page, "4' 7 3/8\"", "Take it")
    touch(page, "the benchmark is the paving")
    for reading in ("1' 2\"", "5' 8\""):
        take(page, reading, "Take it")
    page.get_by_text("height there is", exact=True).wait_for()
    return page


def also(page: Page, name: str) -> Locator:
    return page.get_by_role("region", name="also worth noting").get_by_role("button", name=re.compile(f"^{name}"))


def to_the_end(page: Page) -> None:
    """The rest of the nine as usual."""
    keep = page.get_by_role("button", name="Keep it as a job")
    while keep.count() == 0:
        usual = page.get_by_role("button", name=re.compile("as usual$|^Leave it$"))
        (usual if usual.count() else page.locator("footer .words button")).first.click()


def choose(page: Page, *files: tuple[str, bytes]) -> None:
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name=re.compile("photo$")).click()
    said = [{"name": name, "mimeType": "image/jpeg", "buffer": content} for name, content in files]
    chooser.value.set_files(said)  # type: ignore[arg-type]


def test_what_is_also_noted_is_a_touch_away_and_kept_as_typed(person: Watched) -> None:
    page = begin(person, "Sallow Yard")
    asked = page.get_by_role("heading", level=1)
    expect(page.get_by_text("Answer 4 of 9")).to_be_visible()
    also(page, "power").click()
    take(page, "40' 0\"", "Take it")
    with page.expect_response("**/api/visit"):  # the page is drawn anew
        touch(page, "yes")
    expect(asked).to_have_text("How large is the pond?")  # back where it was left
    expect(also(page, "power")).to_contain_text("40' 0\", protected: yes")

    touch(page, "soil: unknown")  # from what was taken without an answer
    expect(page.get_by_text("Also worth noting", exact=True).first).to_be_visible()
    touch(page, "clay")
    also(page, "topped up").click()
    touch(page, "at rest")
    also(page, "groundwater").click()
    take(page, "5' 0\"", "Take it")

    also(page, "a machine of your own").click()
    for said in ("3' 6\"", "9' 0\""):
        take(page, said, "Take it")
    expect(page.locator("output")).to_contain_text("What it lifts, by its chart, in lb")
    touch(page, "Back")  # the group is left at once
    expect(also(page, "a machine")).to_contain_text("2 of 4 figures: not whole yet")
    expect(page.get_by_role("button", name="machine: small loader")).to_be_visible()
    also(page, "a machine of your own").click()
    page.get_by_role("button", name=re.compile("^What it lifts")).click()
    page.locator(".pad .keys").get_by_role("button", name="6", exact=True).click()
    for _ in range(2):
        page.locator(".pad .keys").get_by_role("button", name="0", exact=True).click()
    touch(page, "Take it")
    take(page, "6' 0\"", "Take it")
    expect(page.get_by_role("button", name="machine: small loader")).to_have_count(0)

    also(page, "notes").click()
    touch(page, "services")
    page.keyboard.type("gas along the hedge <b>")
    touch(page, "neighbours")
    page.keyboard.type("2 ft lower")
    touch(page, "Keep it")
    expect(also(page, "notes")).to_contain_text("gas along the hedge <b>")

    to_the_end(page)
    touch(page, "Keep it as a job")
    page.get_by_role("heading", name="How does it stand?").wait_for()
    opened = job.open(person.office.folder / "sallow-yard")
    site = opened.document.said.site
    assert site is not None
    assert (site.soil, site.note) == ("clay", "services: gas along the hedge <b>\nneighbours: 2 ft lower")
    assert site.power is not None
    assert site.power.distance is not None
    assert (site.power.distance.text, site.power.residual_current_device) == ("40' 0\"", True)
    assert "600 lb" in opened.document.text
    assert "5' 0\\\" below paving" in opened.document.text
    assert opened.feature.bodies[0].holding.value == "at rest"
    page.goto("/visit.html")
    expect(page.get_by_role("button", name="Go on with it")).to_have_count(0)  # it is a job now


def test_what_was_noted_can_be_taken_back(person: Watched) -> None:
    page = begin(person, "Fern Gate")
    also(page, "soil").click()
    touch(page, "sand")
    expect(also(page, "soil")).to_contain_text("sand")
    also(page, "soil").click()
    touch(page, "Say nothing of it")
    expect(also(page, "soil")).to_contain_text("not said")
    expect(page.get_by_role("button", name="soil: unknown")).to_be_visible()


def test_photos_wait_for_the_job_and_lie_there_by_their_hash(person: Watched, tmp_path: Path) -> None:
    page = begin(person, "Photo Lane")
    also(page, "photos").click()
    large = tmp_path / "large.jpg"
    with large.open("wb") as file:
        file.write(PICTURES["jpg"])
        file.truncate(job.LARGEST_PHOTO + 1)
    page.locator("input[type=file]").set_input_files(large)
    expect(page.get_by_role("alert").filter(has_text="large.jpg: too big, 20.1 MB; up to 20 MB")).to_be_visible()
    choose(page, ("yard.jpg", PICTURE), ("page.jpg", b"<script>alert(1)</script>"), ("p.heic", PICTURES["heic"]))
    expect(page.get_by_role("alert").filter(has_text="page.jpg: no picture that can be kept")).to_be_visible()
    picture = page.get_by_role("img", name="photo 1")
    expect(picture).to_be_visible()
    assert picture.evaluate("async (one) => { await one.decode(); return one.naturalWidth }") == 40
    expect(page.get_by_text("HEIC, kept as it is")).to_be_visible()
    choose(page, ("again.jpg", PICTURE))  # the same one is one
    expect(page.get_by_text(re.compile("^photo [0-9]"))).to_have_count(2)
    choose(page, ("other.png", png(200)))
    page.get_by_role("button", name="Take photo 3 away").click()
    touch(page, "Done")
    expect(also(page, "photos")).to_contain_text("2 to be kept")

    to_the_end(page)
    assert not (person.office.folder / "photo-lane").exists()
    touch(page, "Keep it as a job")
    page.get_by_role("heading", name="How does it stand?").wait_for()
    names = [f"{hashlib.sha256(one).hexdigest()}.{end}" for one, end in ((PICTURE, "png"), (PICTURES["heic"], "heic"))]
    folder = person.office.folder / "photo-lane"
    assert sorted(file.name for file in (folder / "files").iterdir()) == sorted(names)
    assert job.open(folder).document.said.photos == [f"files/{name}" for name in reversed(names)]


def test_a_killed_tab_loses_no_answer(person: Watched) -> None:
    page = begin(person, "Gorse End")
    take(page, "16' 0\"", "Take it")
    also(page, "soil").click()
    touch(page, "clay")
    also(page, "a machine of your own").click()
    take(page, "3' 6\"", "Take it")
    touch(page, "Back")
    also(page, "photos").click()
    choose(page, ("yard.png", PICTURE))
    page.get_by_role("img", name="photo 1").wait_for()
    touch(page, "Done")
    also(page, "notes").click()
    touch(page, "sight lines")
    page.keyboard.type("from the kitch")  # in the middle of a word
    page.close()

    page = person.context.new_page()
    page.goto("/visit.html")
    expect(page.get_by_text("Gorse End, with a photo")).to_be_visible()
    touch(page, "Go on with it")
    expect(page.get_by_role("heading", level=1)).to_have_text("How large is the pond?")
    expect(page.get_by_role("button", name="Length of the pond")).to_contain_text("16' 0\"")
    expect(also(page, "soil")).to_contain_text("clay")
    expect(also(page, "a machine")).to_contain_text("1 of 4 figures")
    expect(also(page, "photos")).to_contain_text("1 to be kept")
    expect(also(page, "notes")).to_contain_text("sight lines: from the kitch")
    expect(page.get_by_text("height there is", exact=True)).to_be_visible()


def test_begun_anew_takes_the_place_of_what_was_begun_at_its_first_answer(person: Watched) -> None:
    page = begin(person, "Old One")
    also(page, "photos").click()
    choose(page, ("yard.png", PICTURE))
    page.get_by_role("img", name="photo 1").wait_for()
    for answered in (False, True):
        page.goto("/visit.html")
        expect(page.get_by_text("Old One, with a photo")).to_be_visible()
        page.get_by_label("What the job is called").fill("New One")
        touch(page, "metres")
        if answered:
            take(page, "1.406", "Take it")
            touch(page, "the benchmark is the paving")
        page.get_by_text(re.compile("Answer [12] of 9")).wait_for()
    page.goto("/visit.html")
    touch(page, "Go on with it")
    expect(page.get_by_text("Answer 2 of 9")).to_be_visible()
    expect(also(page, "photos")).to_contain_text("not said")


@pytest.mark.deep
@pytest.mark.parametrize("on", ["again", "without"])
def test_a_photo_that_does_not_arrive_is_told_and_the_job_is_kept(person: Watched, on: str) -> None:
    page = begin(person, f"Weak {on}")
    also(page, "photos").click()
    choose(page, ("yard.png", PICTURE))
    touch(page, "Done")
    to_the_end(page)

    def lost(route: Route) -> None:
        route.abort()

    person.away = True
    person.context.route("**/photos", lost)
    touch(page, "Keep it as a job")
    expect(page.get_by_text("The job is kept. A photo is not there yet")).to_be_visible()
    folder = person.office.folder / f"weak-{on}"
    assert (folder / "feature.yaml").is_file()
    page.close()  # and the tab is killed on top of it
    person.context.unroute("**/photos", lost)
    page = person.context.new_page()
    page.goto("/visit.html")
    touch(page, "Go on with it")
    touch(page, "Send the photo again" if on == "again" else "On to the job without the photo")
    page.get_by_role("heading", name="How does it stand?").wait_for()
    assert (folder / "files").exists() == (on == "again")
    assert not (person.office.folder / f"weak-{on}-2").exists()


@pytest.mark.parametrize("size", [(195, 422), (180, 320)], ids=["phone", "small phone"])
def test_where_letters_are_large_the_keys_stand_before_the_page(person: Watched, size: tuple[int, int]) -> None:
    """A page at 200 % has half the width and height."""
    page = begin(person, "Large")
    page.set_viewport_size({"width": size[0], "height": size[1]})
    also(page, "soil").click()
    for name in ("unknown", "fill"):
        page.get_by_role("button", name=name, exact=True).scroll_into_view_if_needed()
        expect(page.get_by_role("button", name=name, exact=True)).to_be_in_viewport(ratio=1)
    box = page.get_by_role("button", name="unknown", exact=True).bounding_box()
    seen = page.get_by_role("region", name="the page so far").bounding_box()
    assert box is not None
    assert seen is not None
    assert box["y"] < seen["y"]
    wide, room = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide <= room
    touch(page, "fill")
    expect(also(page, "soil")).to_contain_text("fill")


def test_a_bare_number_is_asked_about_and_no_key_is_dropped(person: Watched) -> None:
    page = begin(person, "Bare")
    pad = page.locator(".pad")
    place = pad.locator(".keys").get_by_role("button", name="7", exact=True).bounding_box()
    key(page, '24"')
    touch(page, "Take it")
    expect(pad).to_contain_text("24 ft or 24 in?")
    touch(page, "24 ft")
    expect(page.get_by_role("button", name="Length of the pond")).to_contain_text("24' 0\"")
    key(page, "1' 13\"")
    expect(pad).to_contain_text("12 inches or more")
    expect(page.get_by_role("button", name="Take it")).to_be_disabled()
    assert pad.locator(".keys").get_by_role("button", name="7", exact=True).bounding_box() == place, (
        "the keys lie still"
    )
    touch(page, "take back the last key")
    touch(page, "Take it")
    expect(page.get_by_role("button", name="Width of the pond")).to_contain_text("1' 1\"")


@pytest.mark.parametrize("size", [(390, 844), (360, 640)], ids=["phone", "small phone"])
def test_letters_twice_as_large_leave_room_for_the_question(person: Watched, size: tuple[int, int]) -> None:
    page = begin(person, "Twice")
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    expect(page.locator("footer")).to_have_count(0)
    box = page.get_by_role("button", name="Length of the pond").bounding_box()
    pad = page.locator(".pad").bounding_box()
    assert box is not None
    assert pad is not None
    assert box["y"] + box["height"] <= pad["y"]
