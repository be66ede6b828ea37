"""Touching the keys as a thumb does."""

from __future__ import annotations

import re

from playwright.sync_api import Page


def touch(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).first.click()


def key(page: Page, reading: str) -> None:
    """Key a reading such as `4' 7 3/8"` or `1.406` on the pad that stands there."""
    pad = page.locator(".pad")
    feet = re.fullmatch(r"(?:(\d+)' )?(\d+)(?: (\d/\d))?\"", reading)
    if feet is None:
        for letter in reading:
            pad.locator(".keys").get_by_role("button", name="point" if letter == "." else letter, exact=True).click()
        return
    whole, inches, part = feet.groups()
    for digit in whole or "":
        pad.locator(".keys").get_by_role("button", name=digit, exact=True).click()
    if whole:
        pad.get_by_role("button", name="feet", exact=True).click()
    for digit in inches:
        pad.locator(".keys").get_by_role("button", name=digit, exact=True).click()
    if part:
        pad.locator(".inch").get_by_role("button", name=part, exact=True).click()


def take(page: Page, reading: str, done: str = "Keep it") -> None:
    key(page, reading)
    touch(page, done)


def begin_day(page: Page, job: str, *, who: str, benchmark: str) -> None:
    """From the first screen of the day to the first stake, on a rod in metres."""
    page.goto(f"/day.html#job={job}")
    page.get_by_label("Your initials").fill(who)
    touch(page, "metres")
    touch(page, "Set up, and read the benchmark")
    take(page, benchmark)
    page.get_by_role("heading", name="What must the rod read here?").wait_for()


def wanted(page: Page) -> float:
    """The reading wanted at the stake that is shown [m]."""
    return float(page.locator(".wanted .number").first.inner_text().removesuffix(" m"))
