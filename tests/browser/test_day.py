"""The day: answers at once, with or without signal; every reading arrives, and arrives once."""

from __future__ import annotations

import csv
from collections import Counter

from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import begin_day, take, touch, wanted


def readings(person: Watched, job: str) -> list[dict[str, str]]:
    with (person.office.folder / job / "shots.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def with_the_office(page: Page, many: int) -> None:
    expect(page.locator(".waiting")).to_contain_text(f"All {many} readings with the office")


def test_three_shots_and_what_changed(person: Watched) -> None:
    job = person.office.job("weavers-court", "three-shots")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    take(page, f"{wanted(page) + 0.008:.3f}")
    expect(page.get_by_text("within tolerance").first).to_be_visible()
    touch(page, "Next stake")
    low = wanted(page) + 0.090  # the rod reads more where it stands lower
    take(page, f"{low:.3f}")
    answer = page.get_by_role("region", name="what it comes to")
    expect(answer).to_contain_text("0.090 m")
    expect(answer).to_contain_text("to fill")
    expect(page.get_by_role("heading", name="What changed?")).to_be_visible()
    expect(answer.get_by_role("listitem").first).to_be_visible()
    touch(page, "Next stake")
    high = wanted(page) - 0.040
    take(page, f"{high:.3f}")
    expect(answer).to_contain_text("to cut")
    with_the_office(page, 4)
    assert [row["reading"] for row in readings(person, job)][2:] == [f"{low:.3f}", f"{high:.3f}"]


def test_a_doubted_reading_is_asked_about_and_read_once_more(person: Watched) -> None:
    job = person.office.job("weavers-court", "doubted")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    right = wanted(page)
    take(page, f"{right + 1:.3f}")  # a metre misread downward: deeper than planned, where nothing is to be filled
    answer = page.get_by_role("region", name="what it comes to")
    expect(answer).to_contain_text("Misread by one metre?")
    touch(page, "Read it once more")
    take(page, f"{right:.3f}")
    expect(answer).to_contain_text("within tolerance")
    with_the_office(page, 3)
    rows = readings(person, job)
    assert len(rows) == 3, "nothing is dropped"
    assert rows[2]["re"] == rows[1]["uuid"]


def test_a_day_offline_with_a_killed_tab_and_a_killed_service(person: Watched) -> None:
    job = person.office.job("weavers-court", "offline")
    page = person.context.new_page()
    begin_day(page, job, who="CD", benchmark="1.406")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    with_the_office_one(page)
    person.away = True
    person.office.kill()  # a service that is gone and a phone without signal are the same to a page
    for _ in range(3):
        take(page, f"{wanted(page):.3f}")
        expect(page.get_by_text("provisional until synced")).to_be_visible()
        touch(page, "Next stake")
    expect(page.locator(".waiting")).to_contain_text("3 readings kept in the phone")
    page.close()  # the tab is killed

    page = person.context.new_page()
    page.goto(f"/day.html#job={job}")
    page.get_by_role("heading", name="What must the rod read here?").wait_for()
    expect(page.locator(".waiting")).to_contain_text("3 readings kept in the phone")
    take(page, f"{wanted(page):.3f}")
    expect(page.get_by_text("provisional until synced")).to_be_visible()
    page.close()
    person.office.start()  # and a phone that comes back finds a service that was started anew
    page = person.context.new_page()
    page.goto(f"/day.html#job={job}")
    with_the_office(page, 5)
    page.reload()
    page.get_by_role("heading", name="What must the rod read here?").wait_for()
    person.office.kill()
    person.office.start()
    page.reload()
    with_the_office(page, 5)
    rows = readings(person, job)
    assert len(rows) == 5
    assert max(Counter(row["uuid"] for row in rows).values()) == 1


def with_the_office_one(page: Page) -> None:
    expect(page.locator(".waiting")).to_contain_text("All 1 reading with the office")


def test_the_page_says_how_long_it_lives(person: Watched) -> None:
    job = person.office.job("weavers-court", "tab")
    page = person.context.new_page()
    page.add_init_script("Object.defineProperty(window, 'isSecureContext', { value: false })")  # as on plain http
    page.goto(f"/day.html#job={job}")
    expect(page.get_by_text("Leave this tab open.")).to_be_visible()


def test_a_hold_point_is_ticked_and_initialled_and_outlives_the_tab(person: Watched) -> None:
    job = person.office.job("weavers-court", "hold")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    touch(page, "All")
    page.get_by_role("region", name="hold points").get_by_role("button").nth(1).click()
    box = page.get_by_role("checkbox").first
    box.check()
    initials = page.get_by_label("Initials of").first
    initials.fill("AB")
    initials.blur()
    title = page.get_by_role("heading", level=1).inner_text()
    page.reload()
    touch(page, "All")
    page.get_by_role("region", name="hold points").get_by_role("button").nth(1).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(title)
    expect(page.get_by_role("checkbox").first).to_be_checked()
    expect(page.get_by_label("Initials of").first).to_have_value("AB")
