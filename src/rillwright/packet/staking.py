"""What to dig and set: per stake the level of each surface, and what the rod must read there."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from rillwright.assessment import Assessment, Judged, NotRun, SiteDay, Stake, StakeReading
from rillwright.drawings import typeset
from rillwright.packet.blocks import Words, blank, blanks, column, heading, run, table, title, words
from rillwright.packet.checked import relative_to
from rillwright.packet.day_rows import OUT_OF_SIGHT, rod_words
from rillwright.packet.paper import DAY_PT, READING, Block, Sheet
from rillwright.packet.say import Say, breakable
from rillwright.units import show_rod

QUESTION = "What to dig and set"
_READING_PT = 14.0
_SURFACES = (("dig", "dig_m"), ("liner", "liner_m"), ("stone top", "stone_top_m"), ("water", "water_m"))
_RODS = {"tenths": "in feet and tenths", "ft-in": "in feet and inches", "metric": "in metres"}


class DayReadings(Struct, frozen=True, kw_only=True):
    """Today's instrument, and what the rod must read at each stake."""

    day: SiteDay
    readings: tuple[StakeReading, ...]


def staking(judged: Judged, day: DayReadings | None) -> Sheet:
    """The staking table, as rod readings where the height of instrument is known."""
    assessment = judged.assessment
    system = assessment.feature.system
    blocks: list[Block] = [title(QUESTION)]
    blocks += _instrument(assessment, day)
    if isinstance(assessment.build, NotRun):
        blocks.append(words(run(f"No stakes: {assessment.build.reason}", pt=DAY_PT)))
    else:
        blocks.append(_table(assessment.build.stakes, day, Say(system), beside=_book_rod(assessment)))
    blocks += _marks(assessment, day)
    return Sheet(question=QUESTION, paper=READING[system], blocks=tuple(blocks))


def _instrument(assessment: Assessment, day: DayReadings | None) -> list[Block]:
    rule = f"{relative_to(assessment)}. Rod reading = height of instrument − level, at the surface named."
    if day is None:
        mark, read_with = assessment.feature.datum, _book_rod(assessment)
        if read_with:
            rule += f" Under each level stands what it is {_RODS[read_with]}, with which the book was read."
        return [
            words(run(f"{rule} Write in today's readings; shoot {mark} again at noon and at the end.", pt=DAY_PT)),
            blanks(("date", f"rod on {mark}", "height of instrument", "by"), pt=DAY_PT),
        ]
    height = typeset(show_rod(day.day.height_of_instrument_m, day.day.rod))
    said = f"On {day.day.date} the height of instrument is {height} above the datum. The rod must read, at each stake:"
    return [words(run(said, pt=DAY_PT, weight="semibold")), words(run(f"{rule} {OUT_OF_SIGHT}", pt=DAY_PT))]


def _book_rod(assessment: Assessment) -> str:
    """The one division with which all books were read, where levels on paper have another; else nothing."""
    if isinstance(assessment.survey, NotRun):
        return ""
    rods = {setup.rod for setup in assessment.survey.setups}
    own = "metric" if assessment.feature.system == "metric" else "ft-in"
    return next(iter(rods)) if len(rods) == 1 and own not in rods and rods <= set(_RODS) else ""


def _table(stakes: tuple[Stake, ...], day: DayReadings | None, say: Say, *, beside: str) -> Block:
    shown = {reading.stake.id: reading for reading in day.readings} if day else {}
    rod = day.day.rod if day else ""
    rows = [_row(stake, shown, rod or beside, say) for stake in stakes]
    columns = [column("stake", 13.0), column("where", -1.0)]
    columns += [column(name, 30.0, align="right") for name, _ in _SURFACES]
    return table(columns, rows, pt=DAY_PT, pad=1.8)


def _row(stake: Stake, shown: Mapping[str, StakeReading], rod: str, say: Say) -> list[Words]:
    place = [run(breakable(stake.text), pt=DAY_PT)]
    if stake.station_m is not None:
        place.append(run(f"at {say.one(stake.station_m, 'm')}", pt=DAY_PT, colour="quiet"))
    cells: list[Words] = [run(breakable(stake.id), pt=DAY_PT, weight="semibold"), place]
    for surface, name in _SURFACES:
        level = getattr(stake, name)
        fill = surface == "dig" and level is not None and stake.ground_m is not None and level > stake.ground_m
        if level is None:
            cells.append(run("–", pt=DAY_PT, colour="quiet"))
            continue
        lead: list[object] = [run("fill to", pt=DAY_PT, weight="semibold")] if fill else []
        if stake.id in shown:
            reading = rod_words(getattr(shown[stake.id], name), rod, pt=_READING_PT)
            cells.append([*lead, reading, run(say.level(level), pt=DAY_PT, colour="quiet")])
        else:
            other = [run(_signed(level, rod), pt=DAY_PT, colour="quiet")] if rod else []
            cells.append([*lead, run(say.level(level), pt=DAY_PT, weight="semibold"), *other, blank(7.0)])
    return cells


def _signed(level_m: float, rod: str) -> str:
    """A level [m] in the division of a rod, with its sign."""
    return f"{'−' if level_m < 0.0 else '+'}{typeset(show_rod(abs(level_m), rod))}"


def _marks(assessment: Assessment, day: DayReadings | None) -> list[Block]:
    """Marks and shot ground, on which a set-up can be checked."""
    say = Say(assessment.feature.system)
    rows: list[list[Words]] = []
    for mark in assessment.feature.marks:
        cells: list[Words] = [
            run(breakable(mark.id), pt=DAY_PT, weight="semibold"),
            run(mark.role, pt=DAY_PT),
            run(mark.level.surface.value, pt=DAY_PT),
            run(say.level(mark.level.m), pt=DAY_PT),
        ]
        if day is not None:
            wanted = day.day.height_of_instrument_m - mark.level.m
            cells.append(rod_words(wanted, day.day.rod, pt=_READING_PT))
        rows.append(cells)
    if not rows:
        return []
    columns = [
        column("mark", 30.0),
        column("what it is", 36.0),
        column("surface", 30.0),
        column("level", -1.0, align="right"),
    ]
    if day is not None:
        columns.append(column("rod", -1.0, align="right"))
    return [heading("Marks, to check the set-up on", pt=DAY_PT), table(columns, rows, pt=DAY_PT)]
