"""The visit from nothing to a packet, by touch alone."""

from __future__ import annotations

import re

from playwright.sync_api import expect

from tests.browser.conftest import Watched
from tests.browser.keys import take, touch

MOST_SCREENS = 12


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
    touch(page, "Keep it as a job")
    page.get_by_role("heading", name="How does it stand?").wait_for()
    see()
    expect(page.get_by_text("Larch Bank <b>&amp;</b>")).to_be_visible()  # a name is text and nothing else
    with page.expect_download(timeout=60_000) as papers:
        touch(page, "Papers to take along")
    assert papers.value.path().read_bytes().startswith(b"%PDF-")
    assert len(screens) - 1 <= MOST_SCREENS, screens
    assert (person.office.folder / papers.value.suggested_filename.removesuffix(".pdf") / "feature.yaml").is_file()
