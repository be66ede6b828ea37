"""The packet: every paper of a job in one PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from rillwright.assessment import Assessment, Judged
from rillwright.drawings import PAPER_CAP_MM
from rillwright.packet import assumed, drawn, orders, staking, worries
from rillwright.packet.checked import checked, relative_to
from rillwright.packet.front import front
from rillwright.packet.paper import READING, Sheet
from rillwright.packet.pdf import print_sheets
from rillwright.packet.say import fitted
from rillwright.packet.staking import DayReadings
from rillwright.progress import Progress, silent

_PARTS_PAPER_MM = 1.05  # capitals of the strip's words are a little larger than the least


def packet(
    judged: Judged,
    *,
    readings: Sequence[str] = (),
    date: str = "",
    site_day: DayReadings | None = None,
    progress: Progress = silent,
) -> bytes:
    """All papers of a job as the bytes of one PDF; the same values give the same bytes.

    Parameters
    ----------
    judged
        What was assessed and judged.
    readings
        What it was checked against, as people say it: books with their dates; else the books of the survey.
    date
        As it is to stand on every page.
    site_day
        The rod readings for a given height of instrument; None: columns to write in.
    progress
        Called with the share done; where it returns False, the sheets that are left are not made.
    """
    makers: tuple[tuple[str, Callable[[], Iterable[Sheet]]], ...] = (
        (worries.QUESTION, lambda: (front(judged, readings), worries.worries(judged))),
        (drawn.PLAN, lambda: (drawn.plan(judged),)),
        (drawn.SECTION, lambda: drawn.sections(judged)),
        (drawn.PUMP, lambda: (sheet for sheet in (drawn.pumps(judged),) if sheet)),
        (staking.QUESTION, lambda: (staking.staking(judged, site_day),)),
        (orders.QUESTION, lambda: (orders.orders(judged), assumed.assumed(judged))),
    )
    sheets: list[Sheet] = []
    for index, (question, make) in enumerate(makers):
        progress(index / (len(makers) + 1), f"drawing: {question}")
        sheets += make()
    progress(len(makers) / (len(makers) + 1), "printing")
    return print_sheets(sheets, title=judged.assessment.feature.name, strip=strip(judged.assessment, readings, date))


def strip(assessment: Assessment, readings: Sequence[str], date: str) -> dict[str, str]:
    """What stands along the foot of every page, cut to the narrowest of them."""
    feature = assessment.feature
    room = READING[feature.system].room[0]
    said = [date] if date else []
    said += [f"revision {feature.revision}"] if feature.revision else []
    cap = PAPER_CAP_MM * _PARTS_PAPER_MM
    return {
        "feature": fitted(feature.name, 0.45 * room, cap_mm=cap),
        "levels": fitted(relative_to(assessment), 0.5 * room, cap_mm=cap),
        "checked": fitted(checked(assessment, readings), room, cap_mm=cap),
        "said": fitted(" · ".join(said), 0.35 * room, cap_mm=cap) + (" · page " if said else "page "),
    }
