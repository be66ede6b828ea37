"""Pieces that both day pages are made of: a stake's place, its reading, what is to go, and cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rillwright.assessment import Assessment, Judged, SiteDay, Stake, Surface, ToGo
from rillwright.drawings import typeset
from rillwright.judge import matters
from rillwright.packet.blocks import Words, blank, blanks, heading, run, words
from rillwright.packet.checked import relative_to
from rillwright.packet.paper import DAY_PT, Block
from rillwright.packet.say import Say, breakable
from rillwright.packet.worries import in_full
from rillwright.sources import default
from rillwright.units import show_rod, style_for

READING_PT = 16.0
OUT_OF_SIGHT = "“Set up higher” stands where a surface lies above the instrument, “set up lower” where no rod reaches."
BOX = "☐"


def instrument(assessment: Assessment, day: SiteDay | None) -> list[Block]:
    """Today's height of instrument, or lines to write it on."""
    mark = assessment.feature.datum
    again = f"{relative_to(assessment)}. Shoot {mark} again at noon and at the end."
    if day is None:
        return [
            words(run(breakable(f"{again} Write in what the rod must read: height of instrument − level."), pt=DAY_PT)),
            blanks(("date", f"rod on {mark}", "height of instrument", "by"), pt=DAY_PT),
        ]
    height = typeset(show_rod(day.height_of_instrument_m, day.rod))
    said = f"On {day.date} the height of instrument is {height} above the datum. {OUT_OF_SIGHT}"
    return [words(run(said, pt=DAY_PT, weight="semibold")), words(run(breakable(again), pt=DAY_PT))]


def place(stake: Stake, say: Say) -> list[object]:
    """Where it is, and where its peg stands."""
    told: list[object] = [run(breakable(stake.text), pt=DAY_PT)]
    if stake.station_m is not None:
        told.append(run(f"at {say.one(stake.station_m, 'm')}", pt=DAY_PT, colour="quiet"))
    if stake.peg is not None:
        peg = f"peg {say.one(stake.peg.away_m, 'm')} {stake.peg.way}"
        told.append(run(peg, pt=DAY_PT, colour="quiet"))
        if not stake.peg.clear:
            told.append(run("other work lies there: set the peg aside, and tape it", pt=DAY_PT, weight="semibold"))
    return told


def reading(row: ToGo, day: SiteDay | None, say: Say) -> Words:
    """What the rod must read, large, over the level; or room to write it in."""
    level = say.level(row.wanted_m)
    if day is None or row.reading_m is None:
        return [run(level, pt=DAY_PT, weight="semibold"), blank(6.5)]
    return [rod_words(row.reading_m, day.rod, pt=READING_PT), run(level, pt=DAY_PT, colour="quiet")]


def rod_words(reading_m: float, rod: str, *, pt: float, lead: str = "") -> dict[str, object]:
    """What the rod must read [m], in words of a size [pt] behind a `lead`; what to do where no rod reads it."""
    if reading_m < 0.0:
        return run("set up higher", pt=DAY_PT, weight="semibold")
    if reading_m > default("stake.rod").number:
        return run("set up lower", pt=DAY_PT, weight="semibold")
    return run(lead + typeset(show_rod(reading_m, rod)), pt=pt, weight="semibold")


def left(row: ToGo, say: Say) -> Words:
    """What is to cut or to fill, from what; whether it is met; else a box to tick."""
    within = f"±{say.one(row.tolerance_m, 'm')}"
    if row.to_go_m is None:
        return [run(f"{BOX} {within}", pt=DAY_PT)]
    way = "cut" if row.to_go_m > 0.0 else "fill"
    amount = say.one(abs(row.to_go_m), "m")
    if row.met is None and abs(row.to_go_m) <= row.tolerance_m:
        return [run("as it lies", pt=13.0, weight="semibold"), run(within, pt=DAY_PT)]
    if row.met is None:
        of = "ground" if row.found_of is Surface.GROUND else str(row.found_of)
        return [run(f"{way} {amount}", pt=13.0, weight="semibold"), run(f"from the {of}; {within}", pt=DAY_PT)]
    if row.met:
        return [run("met", pt=13.0, weight="semibold", colour="ink"), run(f"off by {amount}; {within}", pt=DAY_PT)]
    return [run(f"{way} {amount}", pt=13.0, weight="semibold", colour="stop"), run(f"not met; {within}", pt=DAY_PT)]


def settles(row: ToGo, say: Say) -> list[object]:
    """What is built above the finished height, because fill settles."""
    if row.stake.settles_m <= 0.0:
        return []
    finished = say.level(row.wanted_m - row.stake.settles_m)
    text = f"built {say.one(row.stake.settles_m, 'm')} high: it settles to {finished}"
    return [run(text, pt=DAY_PT, weight="semibold")]


def cautions(judged: Judged, codes: Iterable[str], always: Sequence[str]) -> list[Block]:
    """What can hurt somebody at this work: what was found, and what always holds."""
    wanted = tuple(codes)
    system = judged.assessment.feature.system
    found = matters([one for one in judged.findings if one.code.startswith(wanted)], style_for(system))
    blocks: list[Block] = [heading("Before you start", pt=DAY_PT + 1.0)]
    if found:
        blocks.append(in_full(found, system, pt=DAY_PT, basis=False))
    blocks += [words(run(line, pt=DAY_PT), above=1.5, below=1.5) for line in always]
    return blocks
