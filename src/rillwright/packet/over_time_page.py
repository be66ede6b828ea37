"""What the water does over time: starts and stops as they were followed, then what days and months do to it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from rillwright.assessment import (
    MONTHS,
    Assessment,
    Clearing,
    History,
    Judged,
    Leak,
    Losses,
    Metered,
    NotRun,
    OverTime,
    Rain,
    Water,
    WayOut,
)
from rillwright.drawings import case_words, draw_histories
from rillwright.packet.blocks import Words, column, facts, heading, picture, run, table, title, words
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.say import Say, breakable, rough
from rillwright.units import Band

QUESTION = "What the water does over time"
_HISTORIES_MM, _EACH_FALL_MM, _MOST_MM = 54.0, 6.6, 104.0
_BETWEEN = "With the low and the high end of flow, crests, beds and gravel:"
_FLUSH_M, _DAY_S, _WEEK = 5e-4, 86_400.0, 7.0
Fact = tuple[str, str, str]


def over_time_sheet(judged: Judged) -> Sheet | None:
    """One sheet for hours and months; None where no water was worked out."""
    assessment = judged.assessment
    if isinstance(assessment.water, NotRun):
        return None
    say, paper = Say(assessment.feature.system), READING[assessment.feature.system]
    blocks: list[Block] = [title(QUESTION), *_followed(judged, paper.room[0], say), *_days(assessment.water, say)]
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _followed(judged: Judged, width_mm: float, say: Say) -> list[Block]:
    """Histories, or in a plain sentence why there are none."""
    followed = judged.assessment.over_time
    if isinstance(followed, NotRun):
        return [words(f"Starts and stops were not followed over time: {followed.reason}.")]
    falls = len(judged.assessment.feature.falls)
    high = min(_HISTORIES_MM + _EACH_FALL_MM * falls, _MOST_MM)
    drawing = draw_histories(judged, frame_mm=(width_mm, high))
    blocks = [picture(drawing), _histories(judged.assessment, followed, say)]
    told = list(_ends(judged.assessment, followed, say))
    if told:
        blocks.append(words(run(f"{_BETWEEN} {'; '.join(told)}."), above=1.5, below=1.0))
    blocks += [words(run(_leak(leak, say)), above=1.5, below=1.0) for leak in followed.leaks]
    return blocks


def _ends(assessment: Assessment, followed: OverTime, say: Say) -> Iterator[str]:
    """The main answers from end to end of what is not known; nothing where they were not followed."""
    first = [each for each in followed.ranges if (each.case, each.what) == ("first start", "runs")]
    last = max(first, key=lambda each: each.time_s.value, default=None)
    for reached in followed.ranges:
        element = reached.path.partition("/")[2]
        held = next((body.waterline.m for body in assessment.feature.bodies if body.id == element), 0.0)
        case = (reached.case, reached.what)
        if reached is last:
            after = _span_or_more(reached.time_s, "s", say)
            yield f"started dry, the last fall to run, {element}, does so after {after}"
        elif case == ("first start", "lowest") and reached.level_m is not None:
            drop = Band.exact(held) - reached.level_m
            yield f"at the first start {element} falls {say.band(drop, 'm')} below its waterline"
        elif case == ("start", "lowest") and reached.level_m is not None:
            drop = Band.exact(held) - reached.level_m
            yield f"at a start {element} falls {say.band(drop, 'm')} below its waterline"
        elif case == ("stop", "highest") and reached.level_m is not None and reached.holding == "while running":
            rise = reached.level_m - Band.exact(held)
            yield f"topped up and stopped, it rises {say.band(rise, 'm')} over it"


def _span_or_more(band: Band, unit: str, say: Say) -> str:
    return say.band(band, unit) if math.isfinite(band.high) else f"{say.one(band.low, unit)} or not at all"


def _histories(assessment: Assessment, followed: OverTime, say: Say) -> Block:
    many = len(followed.histories[0].bodies) > 1
    rows = [row for history in followed.histories for row in _rows(assessment, followed, history, say)]
    heads = ("followed", "for", "body", "lowest, from waterline", "highest, from waterline", "into stream and pipes")
    widths = (-2.4, -0.7, -0.9, -1.5, -1.5, -1.1)
    columns = [
        column(head, width, align="left" if head in ("followed", "body") else "right")
        for head, width in zip(heads, widths, strict=True)
        if many or head != "body"
    ]
    return table(columns, [row if many else [*row[:2], *row[3:]] for row in rows], pad=0.7)


def _rows(assessment: Assessment, followed: OverTime, history: History, say: Say) -> Iterator[list[Words]]:
    twice = sum(each.case == history.case for each in followed.histories) > 1
    for index, run_of in enumerate(history.bodies):
        held = assessment.feature.body(run_of.body).waterline.m
        name = case_words(history, held=twice) if index == 0 else ""
        taken = rough(say.one(abs(history.taken_up_m3), "m3"))  # of a band of a third: two digits
        yield [
            run(name, weight="semibold"),
            say.one(history.lasted_s, "s") if index == 0 else "",
            breakable(run_of.body),
            _when(run_of.lowest_m, run_of.lowest_s, held, say),
            _when(run_of.highest_m, run_of.highest_s, held, say),
            "" if index else f"{'−' if history.taken_up_m3 < 0.0 else ''}{taken}",
        ]


def _when(level_m: float, time_s: float, held_m: float, say: Say) -> str:
    off = _off(level_m, held_m, say)
    return f"{off} after {say.one(time_s, 's')}" if time_s > 0.0 else off


def _off(level_m: float, held_m: float, say: Say) -> str:
    """A level by how far it is from the waterline."""
    off = level_m - held_m
    if abs(off) < _FLUSH_M:
        return "waterline"
    return f"{'−' if off < 0.0 else '+'}{say.one(abs(off), 'm')}"


def _trips(leak: Leak) -> str:
    """At which start a cut-off stops the pump as well, or may."""
    if leak.may_trip:
        return " It may trip at any start: set it by eye, below the lowest level that the first starts show."
    if leak.trips_first:
        return " Fill the pools by hose before the first start, or it trips then."
    return " Fill the pools by hose before the first start: it may trip then." if leak.may_trip_first else ""


def _leak(leak: Leak, say: Say) -> str:
    """What is left if a stream leaves its liner, in a sentence."""
    if leak.air_s is None:
        left = say.one(leak.depth_left_m, "m")
        return f"If the stream leaves its liner, {leak.body} still has {left} at the end of the time that was followed."
    cut = "" if leak.cut_off_s is None else (
        f" A low-water cut-off at {say.level(leak.cut_off_m)} water would stop the pump after "
        f"{say.one(leak.cut_off_s, 's')} and save {rough(say.one(leak.saved_m3, 'm3'))}."
        f"{_trips(leak)}"
    )  # fmt: skip
    return (
        f"If the stream leaves its liner, the pump sucks air after {say.one(leak.air_s, 's')}; {leak.body} is left "
        f"with {say.one(leak.depth_left_m, 'm')} over its floor, {rough(say.one(leak.left_m3, 'm3'))}.{cut}"
    )


def _days(water: Water, say: Say) -> list[Block]:
    """What dry days take, what rain brings, how long silt stays, and what the fill meter said."""
    told: list[Fact] = [
        *(fact for losses in water.losses for fact in _losses(losses, say)),
        *(_rain(rain, water, say) for rain in water.rains),
        *(_no_rain(way) for way in water.ways_out if way.body not in {rain.body for rain in water.rains}),
        *(_clearing(clearing, say) for clearing in water.clearings),
    ]
    months = [losses for losses in water.losses if losses.months]
    if not told:
        return []
    climate = "by the climate of the file" if months else "as is usual on summer days: no climate is given"
    blocks: list[Block] = [heading(f"Dry days, rain and silt, {climate}", above=4.0), facts(told, label=46.0, gap=1.4)]
    blocks += [_months(losses, say) for losses in months]
    if water.metered:
        blocks += [heading("What the fill meter says of the volume", above=4.0), _metered(water.metered, say)]
    return blocks


def _losses(losses: Losses, say: Say) -> Iterator[Fact]:
    month = f"in {MONTHS[losses.dry_month - 1]}, the driest month; " if losses.dry_month else ""
    splash = rough(say.one(losses.splash_m3.value, "m3"))
    yield (
        f"a dry day takes from {losses.body}",
        rough(say.one(losses.day_m3.value, "m3")),
        f"{month}{rough(say.may_be(losses.day_m3, 'm3'))}; {splash} of it by splash",
    )
    yield (
        f"a dry week lowers {losses.body} by",
        say.one(losses.week_drop_m.value, "m"),
        f"where nothing tops it up; {say.may_be(losses.week_drop_m, 'm')}",
    )
    if losses.hose_share is not None:
        made_up = say.one(losses.hose_share.value * _DAY_S, "s")
        yield f"the supply tops {losses.body} up in", made_up, "of every dry day"
    if losses.fill_s is not None:
        yield f"the supply fills {losses.body} in", say.one(losses.fill_s, "s"), "from empty"


def _no_rain(way: WayOut) -> Fact:
    """That nobody said how much rain falls, and whether anything lets it out."""
    lets = "no overflow lets it out" if way.sill_m is None else "an overflow lets it out"
    return f"rain raises {way.body} by", "not worked out", f"no climate is given; {lets}"


def _rain(rain: Rain, water: Water, say: Say) -> Fact:
    held = next(each.held_m for each in water.balances if each.body == rain.body)
    blocked = next((way.blocked_m for way in water.ways_out if way.body == rain.body), None)
    caught = f"{say.one(rain.rain_m, 'm')} of rain bring {say.one(rain.caught_m3, 'm3')}; "
    if rain.overflow_head_m is None:
        caught += "no overflow lets it out"
    else:
        caught += f"up to {say.one(rain.overflow_head_m.high, 'm')} over its overflow's sill"
    if blocked is not None:
        caught += f", {say.one(blocked.value - held, 'm')} over the waterline if blocked"
    return (f"rain raises {rain.body} by", say.one(rain.rise_m, "m"), caught)


def _clearing(clearing: Clearing, say: Say) -> Fact:
    low, high = (rough(say.one(value, "s")) for value in (clearing.time_s.low, clearing.time_s.high))
    return (
        f"silt of the build leaves {clearing.body} in",
        rough(say.one(clearing.time_s.value, "s")),
        f"until a twentieth is left, the pump on; may be {low} to {high}. Green water is another matter.",
    )


def _metered(readings: Sequence[Metered], say: Say) -> Block:
    """Every reading of the fill meter beside the drawing, and which of the two stands for the volume."""
    heads = ("pond", "water at", "by the fill meter", "by its drawing", "volumes go by")
    columns = [column(head, -1.0, align="left" if head == "pond" else "right") for head in heads]
    rows: list[list[Words]] = [
        [
            breakable(each.body),
            say.level(each.level_m),
            say.one(each.meter_m3, "m3"),
            say.one(each.worked_out_m3, "m3"),
            "the meter" if each.used else "the drawing" if each.doubt is None else "in doubt",
        ]
        for each in sorted(readings, key=lambda each: (each.body, each.level_m))
    ]
    return table(columns, rows, pad=0.7)


def _months(losses: Losses, say: Say) -> Block:
    """Water lost to the air in a mean week of each month, in two rows: of a day, inches would say too little."""
    heads = [column("a mean week takes, over its whole surface", -1.6)]
    heads += [column(MONTHS[each.month - 1][:3], -1.0, align="right") for each in losses.months]
    volumes: list[Words] = [f"from {breakable(losses.body)}"]
    volumes += [rough(say.one(_WEEK * each.day_m.value * losses.open_m2, "m3")) for each in losses.months]
    depths: list[Words] = [
        "depth off all open water",
        *(say.one(_WEEK * each.day_m.value, "m") for each in losses.months),
    ]
    return table(heads, [depths, volumes], pad=0.7)
