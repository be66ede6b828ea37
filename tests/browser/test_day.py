"""The day: answers at once, with or without signal; every reading arrives, and arrives once."""

from __future__ import annotations

import csv
import re
import time
from collections import Counter

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import begin_day, key, take, touch, wanted


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
    expect(page.locator(".waiting")).to_contain_text(re.compile(r"^\s*1 reading with the office"))


def test_the_page_says_how_long_it_lives(person: Watched) -> None:
    job = person.office.job("weavers-court", "tab")
    page = person.context.new_page()
    page.add_init_script("Object.defineProperty(window, 'isSecureContext', { value: false })")  # as on plain http
    page.goto(f"/day.html#job={job}")
    expect(page.get_by_text("Leave this tab open.")).to_be_visible()


def test_a_dig_a_metre_shallow_is_asked_about_first_and_seen_in_the_list(person: Watched) -> None:
    job = person.office.job("weavers-court", "shallow")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    right = wanted(page)
    take(page, f"{right - 1:.3f}")  # deeper is more on the rod: a metre too little is a metre to cut, or misread
    answer = page.get_by_role("region", name="what it comes to")
    expect(answer).to_contain_text("Misread by one metre?")
    expect(page.locator("footer button.now")).to_have_text("Read it once more")
    touch(page, "All")
    first = page.get_by_role("region", name="stakes").locator(".line").first
    expect(first).to_contain_text("1.000 m to cut, asked about")
    touch(page, "Back")
    touch(page, "It reads so")
    expect(page.locator("footer button.now")).to_have_text("Next stake")
    touch(page, "All")
    expect(first).to_contain_text("1.000 m to cut")
    expect(first).not_to_contain_text("asked about")
    due = page.get_by_text("the benchmark was not read again after the last reading")
    expect(due).to_be_visible()
    touch(page, "Benchmark again")
    take(page, "1.406")
    touch(page, "All")
    expect(due).to_have_count(0)


def test_many_set_ups_leave_the_rod_rows_free(person: Watched) -> None:
    job = person.office.job("weavers-court", "many")
    page = person.context.new_page()
    page.set_viewport_size({"width": 360, "height": 640})
    begin_day(page, job, who="AA", benchmark="1.406")
    for count in range(4):
        touch(page, "All")
        touch(page, "New set-up, or another rod")
        page.get_by_label("Your initials").fill("ABCD"[count] * 2)
        touch(page, "Set up, and read the benchmark")
        take(page, "1.406")
        page.get_by_role("heading", name="What must the rod read here?").wait_for()
    touch(page, "All")
    touch(page, "New set-up, or another rod")
    expect(page.locator("footer button")).to_have_count(3)
    expect(page.locator("footer button").first).to_have_text("Go on from DD-1")
    page.get_by_text("Other set-ups").click()
    expect(page.locator("main").get_by_role("button", name=re.compile("^Go on from"))).to_have_count(3)
    metres = page.get_by_role("button", name="metres", exact=True)
    metres.scroll_into_view_if_needed()
    expect(metres).to_be_in_viewport(ratio=1)
    metres.click()
    page.get_by_label("Your initials").fill("")
    expect(page.get_by_text("Say your initials first.")).to_be_visible()
    expect(page.get_by_role("button", name="Set up, and read the benchmark")).to_be_disabled()


def test_a_killed_tab_keeps_surface_stake_and_what_was_half_typed(person: Watched) -> None:
    job = person.office.job("weavers-court", "half-typed")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    touch(page, "All")
    surfaces = page.get_by_role("group", name="which surface")
    surfaces.get_by_role("button", name="liner", exact=True).click()
    page.get_by_role("region", name="stakes").get_by_role("button").nth(8).click()
    where = page.locator("header p").inner_text()
    key(page, "1.2")
    expect(page.locator("output")).to_contain_text("1.2")
    page.wait_for_timeout(200)  # a thumb is slower than a phone that writes
    page.close()
    page = person.context.new_page()
    page.goto(f"/day.html#job={job}")
    page.get_by_role("heading", name="What must the rod read here?").wait_for()
    expect(page.locator("header p")).to_have_text(where)
    expect(page.locator(".wanted")).to_contain_text("liner")
    expect(page.locator("output")).to_contain_text("1.2")
    key(page, "34")
    touch(page, "Keep it")
    with_the_office(page, 2)
    row = readings(person, job)[1]
    assert (row["surface"], row["reading"]) == ("liner", "1.234")


def test_the_same_initials_on_two_phones_are_asked_about(person: Watched, browser: Browser) -> None:
    job = person.office.job("weavers-court", "namesakes")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    with_the_office_one(page)
    other = Watched(browser, person.office)
    page = other.context.new_page()
    page.goto(f"/day.html#job={job}")
    page.get_by_label("Your initials").fill("ab")
    expect(page.get_by_text("reads today from another phone")).to_be_visible()
    expect(page.get_by_role("button", name="Set up, and read the benchmark")).to_be_disabled()
    page.get_by_label("Your initials").fill("AC")
    expect(page.get_by_text("reads today from another phone")).to_be_hidden()
    page.get_by_label("Your initials").fill("AB")
    touch(page, "That was me")
    touch(page, "metres")
    touch(page, "Set up, and read the benchmark")
    take(page, "1.406")
    with_the_office_one(page)
    other.context.close()
    assert other.wrong == []
    setups = [row["setup"] for row in readings(person, job)]
    assert len(set(setups)) == 2


def test_two_phones_without_signal_and_of_the_same_initials_are_told_when_they_meet(
    person: Watched, browser: Browser
) -> None:
    job = person.office.job("weavers-court", "unknowing")
    other = Watched(browser, person.office)
    pages = [each.context.new_page() for each in (person, other)]
    for page in pages:  # both fetch the kit before the other has read anything
        page.goto(f"/day.html#job={job}")
        page.get_by_label("Your initials").fill("AB")
        touch(page, "metres")
        touch(page, "Set up, and read the benchmark")
    for page in pages:
        take(page, "1.406")
        with_the_office_one(page)
    assert len({row["setup"] for row in readings(person, job)}) == 2
    expect(pages[1].get_by_text("from another phone")).to_be_visible()
    other.context.close()
    assert other.wrong == []


def test_a_laser_rod_that_reads_direct(person: Watched) -> None:
    """Read direct, the level goes up with the reading: HI = RL - BS, RL = HI + reading (common practice, no source)."""
    job = person.office.job("weavers-court", "laser")
    page = person.context.new_page()
    page.goto(f"/day.html#job={job}")
    page.get_by_label("Your initials").fill("AB")
    touch(page, "metres")
    touch(page, "laser rod, read direct")
    touch(page, "Set up, and read the benchmark")
    take(page, "0.5")
    page.get_by_role("heading", name="What must the rod read here?").wait_for()
    at = wanted(page)
    touch(page, "minus") if at < 0 else None
    take(page, f"{abs(at - 0.09):.3f}")
    expect(page.get_by_role("region", name="what it comes to")).to_contain_text("0.090 m")
    with_the_office(page, 2)
    benchmark, row = readings(person, job)
    assert {benchmark["rod"], row["rod"]} == {"laser metric"}
    assert float(row["reading"]) == pytest.approx(at - 0.09)


def test_what_is_wanted_and_the_answer_stay_in_sight_on_a_small_phone(person: Watched) -> None:
    """360 by 640; keys of at least 48 px, for gloves."""
    job = person.office.job("orchard-press", "small")
    page = person.context.new_page()
    page.set_viewport_size({"width": 360, "height": 640})
    page.goto(f"/day.html#job={job}")
    page.get_by_label("Your initials").fill("AB")
    touch(page, "feet, inches, eighths")
    touch(page, "Set up, and read the benchmark")
    take(page, "4' 10 3/4\"")
    page.get_by_role("heading", name="What must the rod read here?").wait_for()
    pad = page.locator(".pad").bounding_box()
    read = page.locator(".wanted .number").first.bounding_box()
    assert pad is not None
    assert read is not None
    assert read["y"] + read["height"] <= pad["y"]
    assert pad["y"] + pad["height"] <= 640
    for button in page.locator(".pad button").all():
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 48, button.inner_text()
    take(page, "4' 7 3/8\"")
    answer = page.locator("section p.go, section p.met").first.bounding_box()
    foot = page.locator("footer").bounding_box()
    assert answer is not None
    assert foot is not None
    assert answer["y"] + answer["height"] <= foot["y"]


def test_without_signal_the_phone_says_what_still_fits_in_the_words_of_the_service(person: Watched) -> None:
    job = person.office.job("weavers-court", "fits")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    with_the_office_one(page)
    person.away = True
    person.office.kill()
    touch(page, "All")
    page.get_by_role("group", name="which surface").get_by_role("button", name="bed", exact=True).click()
    page.get_by_role("region", name="stakes").get_by_role("button").filter(has_text="b6 ends").click()
    take(page, f"{wanted(page) + 0.045:.3f}")  # the last bed is built 45 mm low
    answer = page.get_by_role("region", name="what it comes to")
    expect(answer.get_by_role("heading", name="What still fits?")).to_be_visible()
    expect(answer).to_contain_text("provisional until synced")
    said = answer.get_by_role("listitem").all_inner_texts()
    assert any("The height there is" in each for each in said), said
    assert any("arrangement" in each for each in said), said
    person.office.start()
    page.evaluate("dispatchEvent(new Event('focus'))")  # the phone is looked at again
    expect(answer.get_by_role("heading", name="What changed?")).to_be_visible()
    expect(answer).not_to_contain_text("provisional")
    service = answer.get_by_role("listitem").all_inner_texts()
    assert set(said) <= set(service), (said, service)


BEHIND = """
const now = window.fetch;
const older = (body) => body.replace('"format":1', '"format":0');
window.fetch = (asked, more) => now(asked, more?.body ? { ...more, body: older(more.body) } : more);
"""


def test_a_page_of_an_older_format_keeps_its_readings_and_says_what_to_do(person: Watched) -> None:
    job = person.office.job("weavers-court", "behind")
    page = person.context.new_page()
    page.add_init_script(BEHIND)
    person.away = True  # the refusal is told in words on the page, and by the browser to its console
    begin_day(page, job, who="AB", benchmark="1.406")
    waiting = page.locator(".waiting")
    expect(waiting).to_contain_text("1 reading kept in the phone")
    expect(waiting).to_contain_text("older than the service: open it again")
    page.close()
    page = person.context.new_page()
    page.goto(f"/day.html#job={job}")
    with_the_office_one(page)
    assert len(readings(person, job)) == 1


def test_a_clock_that_jumps_back_keeps_the_set_up(person: Watched) -> None:
    job = person.office.job("weavers-court", "clock")
    page = person.context.new_page()
    now = time.time()
    page.clock.install(time=now)
    begin_day(page, job, who="AB", benchmark="1.406")
    page.clock.set_fixed_time(now - 36 * 3600)
    take(page, f"{wanted(page):.3f}")
    answer = page.get_by_role("region", name="what it comes to")
    expect(answer).to_contain_text("within tolerance")
    expect(answer).to_contain_text("clock has jumped back")
    with_the_office(page, 2)
    page.reload()
    page.get_by_role("heading", name="What must the rod read here?").wait_for()
    assert len({row["setup"] for row in readings(person, job)}) == 1


def test_two_phones_that_read_one_place_are_told_of_each_other(person: Watched, browser: Browser) -> None:
    """A stone found 20 mm higher than another phone read it: both readings are kept, the later one is asked about."""
    job = person.office.job("weavers-court", "both")
    other = Watched(browser, person.office)
    pages = [each.context.new_page() for each in (person, other)]
    for who, page in zip(("AB", "CD"), pages, strict=True):
        begin_day(page, job, who=who, benchmark="1.406")
        with_the_office_one(page)
        touch(page, "All")
        surfaces = page.get_by_role("group", name="which surface")
        surfaces.get_by_role("button", name="stone top", exact=True).click()
        page.get_by_role("region", name="stakes").get_by_role("button").filter(has_text="crest of f6").click()
    at = wanted(pages[0])
    take(pages[0], f"{at:.3f}")
    with_the_office(pages[0], 2)
    take(pages[1], f"{at - 0.020:.3f}")
    with_the_office(pages[1], 2)
    answer = pages[1].get_by_role("region", name="what it comes to")
    expect(answer).to_contain_text(re.compile("set anew since, or misread|reads otherwise than before"))
    expect(pages[1].get_by_text("The plan is another since")).to_be_hidden()
    other.context.close()
    assert other.wrong == []
    assert len(readings(person, job)) == 4


def test_a_plan_changed_in_the_office_is_told_on_the_phone(person: Watched) -> None:
    job = person.office.job("weavers-court", "another-plan")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    with_the_office_one(page)
    file = person.office.folder / job / "feature.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("depth: 400 mm", "depth: 350 mm"), encoding="utf-8")
    take(page, f"{wanted(page):.3f}")
    expect(page.get_by_text("The plan is another since")).to_be_visible()
