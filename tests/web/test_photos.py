"""What the page says of photos before it sends them is what the service says of them."""

from __future__ import annotations

import re

from rillwright import job
from rillwright.visit import LONGEST_NOTES
from tests.web.node import WEB


def test_page_and_service_have_one_bound() -> None:
    photos = (WEB / "src" / "visit" / "photos.ts").read_text(encoding="utf-8")
    notes = (WEB / "src" / "visit" / "Notes.svelte").read_text(encoding="utf-8")
    (largest,) = re.findall(r"LARGEST_PHOTO = ([\d_]+);", photos)
    (longest,) = re.findall(r"LONGEST = (\d+);", notes)
    assert (int(largest), int(longest)) == (job.LARGEST_PHOTO, LONGEST_NOTES)
