"""What a person at a desk waits for: from a value typed in a browser to its sentences and its drawing on the screen.

Reported, not a goal that can be missed. It needs a Chromium of the system and is left out without one. The screens are
those that are installed; `python -m benchmarks.seen --screens DIR` measures others.
"""

from __future__ import annotations

import argparse
import re
import shutil
import statistics
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from benchmarks.measure import ROOT, Unmeasured

SCREENS = ROOT / "src" / "rillwright" / "static"
JOB = "weavers-court"
PART, VALUE = "streams/rill", re.compile(r"^(stream )?width")
WIDTHS = ("0.95 m", "1.00 m", "1.05 m", "1.10 m", "1.15 m", "1.20 m")  # each says something else
WITHIN_MS = 100.0
_TYPED = """
(input, typed) => new Promise((done) => {
  const told = () => document.querySelector('[aria-label="what changes"]')?.textContent ?? "";
  const drawn = () => document.querySelector(".picture svg");
  const before = { told: told(), drawn: drawn() };
  const seen = {};
  const painted = (what) => requestAnimationFrame(() => setTimeout(() => {
    seen[what] = performance.now() - began;
    if (seen.told && seen.drawn) { watch.disconnect(); done(seen); }
  }));
  const watch = new MutationObserver(() => {
    if (seen.told === undefined && told() !== before.told) { seen.told = 0; painted("told"); }
    if (seen.drawn === undefined && drawn() !== before.drawn) { seen.drawn = 0; painted("drawn"); }
  });
  watch.observe(document.body, { subtree: true, childList: true, characterData: true });
  const began = performance.now();
  input.value = typed;
  input.dispatchEvent(new Event("input", { bubbles: true }));
})
"""


@contextmanager
def opened(screens: Path) -> Iterator[Any]:
    """A page of the job in a browser, its service in a process of its own."""
    try:
        from playwright.sync_api import sync_playwright
        from tests.browser.conftest import FLAGS, PROGRAMS
        from tests.browser.office import Office
    except ImportError as reason:
        raise Unmeasured(str(reason)) from reason
    program = next((found for name in PROGRAMS if (found := shutil.which(name))), None)
    if program is None:
        raise Unmeasured("no chromium or google-chrome on the path")
    if not (screens / "job.html").is_file():
        raise Unmeasured(f"no screens in {screens}")
    with tempfile.TemporaryDirectory(prefix="bench-") as place, sync_playwright() as playwright:
        office = Office(Path(place), screens)
        office.job(JOB)
        office.start()
        try:
            browser = playwright.chromium.launch(executable_path=program, args=list(FLAGS))
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            page.goto(f"{office.address}/job.html#job={JOB}")
            page.locator(".picture svg").wait_for()
            page.get_by_label("Of which part").select_option(PART)
            yield page
            browser.close()
        finally:
            office.kill()


def changes(screens: Path, *, many: int) -> list[dict[str, float]]:
    """Times [ms] of so many typed changes, the first few left out: to the sentences, and to the section drawn anew."""
    with opened(screens) as page:
        value = page.get_by_label(VALUE).first
        found = []
        for turn in range(many + len(WIDTHS)):
            found.append(value.evaluate(_TYPED, WIDTHS[turn % len(WIDTHS)]))
            page.wait_for_timeout(150)  # the hand rests
    return found[len(WIDTHS) :]


def in_a_browser(screens: Path = SCREENS, *, many: int = 40) -> Iterator[str]:
    """What was measured, or why it was not, in words."""
    try:
        found = changes(screens, many=many)
    except Unmeasured as reason:
        yield f"typed in a browser: not measured: {reason}"
        return
    for what, words in (("told", "sentences on the screen"), ("drawn", "section drawn anew")):
        times = sorted(each[what] for each in found)
        most = times[-(-95 * len(times) // 100) - 1]
        within = sum(1 for each in times if each <= WITHIN_MS)
        yield (
            f"typed in a browser, {words}: {statistics.median(times):.0f} ms in the middle, {most:.0f} ms in 19 of 20; "
            f"{within} of {len(times)} within {WITHIN_MS:.0f} ms"
        )


def main() -> int:
    parser = argparse.ArgumentParser(description="From a value typed in a browser to its answer on the screen.")
    parser.add_argument("--screens", type=Path, default=SCREENS)
    parser.add_argument("--changes", type=int, default=40)
    asked = parser.parse_args()
    for line in in_a_browser(asked.screens, many=asked.changes):
        print(line)
    return 0


if __name__ == "__main__":
    sys.exit(main())
