"""The packet: every paper of a job in one PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial

from msgspec.structs import replace

from rillwright.assessment import Judged, NotRun, SiteDay, ToGo
from rillwright.errors import NoAnswer
from rillwright.packet import (
    assumed,
    cut_fill_page,
    drawn,
    holds_page,
    mason_page,
    operator_page,
    orders,
    over_time_page,
    pump_page,
    run_over_page,
    staking,
    stream_page,
    worries,
)
from rillwright.packet.front import QUESTION as FRONT
from rillwright.packet.front import front
from rillwright.packet.holds_page import holds
from rillwright.packet.mason_page import mason
from rillwright.packet.on_paper import on_paper
from rillwright.packet.operator_page import operator
from rillwright.packet.packed import packed
from rillwright.packet.paper import Sheet
from rillwright.packet.pdf import page_count, print_sheets
from rillwright.packet.staking import DayReadings
from rillwright.packet.strip import strip
from rillwright.packet.tightened import tightened
from rillwright.progress import Progress, silent

_PADS_MM = (1.5, 1.2, 0.9)  # white space above and below the rows of long tables
_SHARES = (1.0, 0.8, 0.65)  # of the white space on pages of the day


def packet(
    judged: Judged,
    *,
    readings: Sequence[str] = (),
    date: str = "",
    site_day: DayReadings | None = None,
    to_go: Sequence[ToGo] = (),
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
    to_go
        Every surface at every stake, with what was found there: for the pages of operator and mason.
    progress
        Called with the share done; where it returns False, nothing is made.

    Raises
    ------
    NoAnswer
        If it was stopped.
    """
    judged = on_paper(judged)
    foot = strip(judged.assessment, readings, date)
    pages = _contents(judged, to_go)

    def closest(make: Callable[..., Sheet]) -> Sheet:
        """The roomiest setting that takes no more pages than the tightest."""
        sheets = [make(pad_mm=pad) for pad in _PADS_MM]
        counts = [page_count([sheet], title=judged.assessment.feature.name, strip=foot) for sheet in sheets]
        return sheets[counts.index(min(counts))]

    def tight(sheet: Sheet, whose: str) -> Sheet:
        """A sheet to be taken along, as roomy as its fewest pages allow."""
        taken = replace(sheet, whose=whose)
        sheets = [tightened(taken, share) for share in _SHARES]
        counts = [page_count([one], title=judged.assessment.feature.name, strip=foot) for one in sheets]
        return sheets[counts.index(min(counts))]

    makers: tuple[tuple[str, Callable[[], Iterable[Sheet]]], ...] = (
        (
            worries.QUESTION,
            lambda: (front(judged, readings, foot, pages), closest(partial(worries.worries, judged))),
        ),
        (drawn.PLAN, lambda: (drawn.plan(judged),)),
        (drawn.SECTION, lambda: drawn.sections(judged)),
        (run_over_page.QUESTION, lambda: (sheet for sheet in (run_over_page.run_over(judged),) if sheet)),
        (cut_fill_page.QUESTION, lambda: (sheet for sheet in (cut_fill_page.cut_and_fill(judged),) if sheet)),
        (stream_page.QUESTION, lambda: _waters(judged, foot)),
        (staking.QUESTION, lambda: (tight(staking.staking(judged, site_day), "the rod"),)),
        (
            "pages of the day",
            lambda: (tight(*one) for one in _day_pages(judged, to_go, site_day.day if site_day else None)),
        ),
        (
            orders.QUESTION,
            lambda: (
                closest(partial(orders.orders, judged)),
                closest(partial(assumed.assumed, judged)),
            ),
        ),
    )
    sheets: list[Sheet] = []
    for index, (question, make) in enumerate(makers):
        if not progress(index / (len(makers) + 1), f"drawing: {question}"):
            raise NoAnswer(f"the packet was stopped before the page {question!r}")
        sheets += make()
    progress(len(makers) / (len(makers) + 1), "printing")
    return print_sheets(sheets, title=judged.assessment.feature.name, strip=foot)


def _waters(judged: Judged, foot: Mapping[str, str]) -> list[Sheet]:
    """How deep it runs, what the pumps give, what happens over time, one after another on as few pages as can be."""
    title = judged.assessment.feature.name
    streams = list(stream_page.stream_sheets(judged))
    times = [sheet for sheet in (over_time_page.over_time_sheet(judged),) if sheet]
    tried = []
    for close in (False, True):
        pump = [sheet for sheet in (pump_page.pumps(judged, close=close),) if sheet]
        for order in ([*streams, *pump, *times], [*streams, *times, *pump]):
            sheets = packed(order, title=title, strip=foot)
            tried.append((page_count(sheets, title=title, strip=foot) if sheets else 0, sheets))
    least = min(count for count, _ in tried)
    return next(sheets for count, sheets in tried if count == least)


def _day_pages(judged: Judged, to_go: Sequence[ToGo], day: SiteDay | None) -> list[tuple[Sheet, str]]:
    """One page for the operator and one for the mason where there are stakes, and the hold points."""
    cards = [(operator(judged, to_go, day), "the operator"), (mason(judged, to_go, day), "the mason")] if to_go else []
    return [*cards, (holds(judged, day), "the lead")]


def _contents(judged: Judged, to_go: Sequence[ToGo]) -> list[tuple[str, list[str]]]:
    """The questions of the packet by who needs them."""
    water = judged.assessment.water
    pumps = [pump_page.QUESTION] if not isinstance(water, NotRun) and water.circuit.pumps else []
    streams, times = stream_page.questions(judged), [] if isinstance(water, NotRun) else [over_time_page.QUESTION]
    cards = [operator_page.QUESTION, mason_page.QUESTION] if to_go else []
    sections = drawn.section_questions(judged.assessment.feature)
    site = [*run_over_page.questions(judged), *cut_fill_page.questions(judged)]
    return [
        ("Pages: ", [FRONT, worries.QUESTION, drawn.PLAN, *sections, *site, *streams, *pumps, *times]),
        ("To take along: ", [staking.QUESTION, *cards, holds_page.QUESTION]),
        ("For the office: ", [orders.QUESTION, assumed.QUESTION]),
    ]
