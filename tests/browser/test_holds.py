"""Hold points on the phone: ticked, taped, initialled and asked about, with or without signal."""

from __future__ import annotations

import csv

from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched
from tests.browser.keys import begin_day, take, touch, wanted


def ticks(person: Watched, job: str) -> list[dict[str, str]]:
    file = person.office.folder / job / "holds.csv"
    if not file.exists():
        return []
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def to_hold(page: Page, words: str) -> None:
    touch(page, "All")
    page.get_by_role("region", name="hold points").get_by_role("button", name=words).first.click()
    page.get_by_role("heading", level=1, name=words).wait_for()


def test_a_hold_point_is_ticked_and_initialled_and_outlives_the_tab(person: Watched) -> None:
    job = person.office.job("weavers-court", "hold")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    to_hold(page, "Buried services are located")
    for box in page.get_by_role("checkbox").all():
        box.check()
    expect(page.get_by_text("open, 3 of 4 done")).to_be_visible()
    initials = page.get_by_label("Initials of the lead")
    initials.fill("CD")
    initials.blur()
    expect(page.get_by_text("✓ done, CD")).to_be_visible()
    expect(page.locator(".waiting")).to_contain_text("All 1 reading and 4 ticks with the office")
    assert [(row["hold"], row["initials"], row["who"]) for row in ticks(person, job)] == [
        *[("services", "AB", "AB")] * 3,
        ("services", "CD", "AB"),
    ]
    page.close()
    page = person.context.new_page()
    page.goto(f"/day.html#job={job}")
    to_hold(page, "Buried services are located")
    expect(page.get_by_text("✓ done, CD")).to_be_visible()
    page.get_by_role("checkbox").first.uncheck()
    expect(page.get_by_text("open, 3 of 4 done")).to_be_visible()
    expect(page.get_by_text("provisional until synced")).to_have_count(0)
    assert [row["state"] for row in ticks(person, job)] == [*["done"] * 4, "undone"]


def test_ticks_without_signal_arrive_once(person: Watched) -> None:
    """Ticked while the service is gone, the tab killed, ticked again, and the service killed once more after it."""
    job = person.office.job("weavers-court", "ticks-offline")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    expect(page.locator(".waiting")).to_contain_text("1 reading with the office")
    person.away = True
    person.office.kill()
    to_hold(page, "Before underlay goes into the hole")
    taped = page.get_by_label("What it taped: length of the hole")
    taped.fill("3.05 m")
    taped.blur()
    expect(page.get_by_text("provisional until synced")).to_be_visible()
    expect(page.locator(".waiting")).to_contain_text("1 tick kept in the phone")
    page.close()  # the tab is killed

    page = person.context.new_page()
    page.goto(f"/day.html#job={job}")
    to_hold(page, "Before underlay goes into the hole")
    expect(page.get_by_label("What it taped: length of the hole")).to_have_value("3.05 m")
    page.get_by_role("region", name="Photograph").get_by_role("checkbox").check()
    expect(page.locator(".waiting")).to_contain_text("2 ticks kept in the phone")
    expect(page.get_by_text("the office is not reached")).to_be_visible()
    assert ticks(person, job) == []
    person.office.start()
    page.evaluate("dispatchEvent(new Event('focus'))")  # the phone is looked at again
    expect(page.locator(".waiting")).to_contain_text("All 1 reading and 2 ticks with the office")
    expect(page.get_by_text("provisional until synced")).to_have_count(0)
    expect(page.get_by_text("the office is not reached")).to_have_count(0)
    person.office.kill()
    person.office.start()
    page.reload()
    expect(page.locator(".waiting")).to_contain_text("All 1 reading and 2 ticks with the office")
    rows = ticks(person, job)
    assert [row["item"].split()[0] for row in rows] == ["tape", "photograph"]
    assert rows[0]["note"] == "3.05 m"
    assert len({row["uuid"] for row in rows}) == 2


def test_a_level_shot_marks_its_line_and_what_is_open_before_is_named(person: Watched) -> None:
    job = person.office.job("weavers-court", "hold-shot")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    to_hold(page, "Before underlay goes into the hole")
    expect(page.get_by_role("region", name="open before this")).to_contain_text("Buried services")
    page.get_by_role("region", name="Shoot").get_by_role("button").first.click()
    take(page, f"{wanted(page):.3f}")
    touch(page, "Back")
    line = page.get_by_role("region", name="Shoot").locator(".line").first
    expect(line.get_by_role("checkbox")).to_be_checked()
    expect(line).to_contain_text("shot, within tolerance")


def test_what_is_taped_and_signed_is_asked_about(person: Watched) -> None:
    job = person.office.job("weavers-court", "taped")
    page = person.context.new_page()
    begin_day(page, job, who="AB", benchmark="1.406")
    to_hold(page, "Before underlay goes into the hole")
    line = page.get_by_role("region", name="Tape").locator(".line").first
    figure, box, asked = line.get_by_role("textbox"), line.get_by_role("checkbox"), line.locator(".ask")
    metres = float(line.locator(".number").inner_text().removesuffix(" m"))
    box.click()
    expect(asked).to_contain_text("No figure stands beside it")
    expect(box).not_to_be_checked()
    for wrong, why in (("abc", "cannot be read as a length"), ("2/0", "cannot be read"), ("99 ft", "was taped, and")):
        figure.fill(wrong)
        figure.blur()
        expect(asked).to_contain_text(f"{wrong} {why}")
        expect(box).not_to_be_checked()
    line.get_by_role("button", name="It tapes so").click()
    expect(box).to_be_checked()
    expect(asked).to_contain_text("99 ft was taped")  # kept, and asked about for as long as it stands
    figure.fill(f"{metres:.2f} m")
    figure.blur()
    expect(asked).to_have_count(0)
    expect(box).to_be_checked()
    lead = page.get_by_label("Initials of the lead")
    lead.fill("CD")
    lead.blur()
    sign = page.get_by_role("region", name="Initial", exact=True).locator(".ask")
    expect(sign).to_contain_text("lines are open here, and what comes before it is open")
    expect(page.locator(".waiting")).to_contain_text("All 1 reading and 5 ticks with the office")
    sign.get_by_role("button", name="Sign as CD").click()
    expect(sign).to_contain_text("Initialled, and")
    expect(page.locator(".waiting")).to_contain_text("All 1 reading and 6 ticks with the office")
    rows = [(row["note"], row["state"], row["initials"]) for row in ticks(person, job)]
    words = [("abc", "undone"), ("2/0", "undone"), ("99 ft", "undone"), ("99 ft", "done"), (f"{metres:.2f} m", "done")]
    assert rows == [*((note, state, "AB") for note, state in words), ("", "done", "CD")]
