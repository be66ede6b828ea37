"""The pieces that line a stream, parted at its laps."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.feature import Fall, Feature, Lap, Reach, Stream
from rillwright.liner.result import Sheet
from rillwright.liner.rolls import sheets_of
from rillwright.sources import default
from rillwright.units import Term


class Piece(Struct, frozen=True, kw_only=True):
    """The links that one piece lies under, with the lap at its upper and at its lower end, where there is one."""

    links: tuple[Reach | Fall, ...]
    above: Lap | None
    below: Lap | None

    @property
    def reaches(self) -> tuple[Reach, ...]:
        return tuple(link for link in self.links if isinstance(link, Reach))

    @property
    def falls(self) -> tuple[Fall, ...]:
        return tuple(link for link in self.links if isinstance(link, Fall))


def stream_sheets(feature: Feature, stream: Stream) -> tuple[Sheet, ...]:
    """Liner and underlay of every piece of one stream, from the head down: `l-<stream>-1`, `l-<stream>-2` ..."""
    found: list[Sheet] = []
    for number, piece in enumerate(pieces(feature, stream), start=1):
        length, width = _length(stream, piece), (*_width(stream, piece), *_mouths(feature, stream, piece))
        found += sheets_of(
            feature,
            id=f"l-{stream.id}-{number}",
            path=f"streams/{stream.id}",
            length_m=sum(term.value for term in length),
            width_m=sum(term.value for term in width),
            because=(*length, *width),
        )
    return tuple(found)


def pieces(feature: Feature, stream: Stream) -> tuple[Piece, ...]:
    """The stream parted at each fall behind which a lap lies; the lap belongs to the piece above it and below it."""
    laps = {lap.at: lap for lap in feature.laps}
    found: list[Piece] = []
    links: list[Reach | Fall] = []
    above: Lap | None = None
    for link in stream.links:
        links.append(link)
        lap = laps.get(f"falls/{link.id}") if isinstance(link, Fall) else None
        if lap is not None:
            found.append(Piece(links=tuple(links), above=above, below=lap))
            links, above = [], lap
    if links:
        found.append(Piece(links=tuple(links), above=above, below=None))
    return tuple(found)


def _length(stream: Stream, piece: Piece) -> tuple[Term, ...]:
    """Beds, drops, plunge pools, the lap over the piece below, and the upper end turned up: behind a lap's face, or at
    the head."""
    first = piece.reaches[0] if piece.reaches else None
    terms = [
        Term(name="length of the beds", value=sum(reach.length_m for reach in piece.reaches), unit="m"),
        Term(name="length of the drops", value=sum(max(fall.drop_m, 0.0) for fall in piece.falls), unit="m"),
    ]
    if first is not None:
        end = first.bank_m + first.gravel_m
        if piece.above is not None:
            end = max(0.0, piece.above.upturn.m - (first.bed_start.m - first.gravel_m))
        terms.append(Term(name="length turned up at the upper end", value=end, unit="m"))
    if piece.below is not None:
        terms.append(Term(name="length over the piece below", value=piece.below.run_m, unit="m"))
    pools = sum(_pool_m(stream, reach) for reach in piece.reaches)
    if pools > 0.0:
        terms.append(Term(name="length down into plunge pools and up out of them", value=2.0 * pools, unit="m"))
    return tuple(terms)


def _pool_m(stream: Stream, reach: Reach) -> float:
    """Depth of the plunge pool in a bed [m]; 0 where there is none."""
    pool = stream.plunge_in(reach)
    return 0.0 if pool is None else pool.depth_m


def _floor_m(reach: Reach) -> float:
    """Liner across the floor [m]: down to the middle of a dished bed and up again."""
    return reach.floor_width_m * math.hypot(1.0, 2.0 * reach.dish_m / reach.width_m)


def _bank_m(reach: Reach) -> float:
    """Liner up one bank [m]: along its side where one is said, else straight up behind the stones along the bed."""
    edge = reach.dish_m * reach.floor_width_m / reach.width_m  # of the floor, over its middle
    high, side = reach.bank_m - edge + reach.gravel_m, reach.side_up_per_across
    return high if side is None else high * math.hypot(1.0, 1.0 / side)


def _mouths(feature: Feature, stream: Stream, piece: Piece) -> tuple[Term, ...]:
    """What the side of a piece must rise behind the mouth of a stream that joins, over what it has there anyhow."""
    more = 0.0
    for reach in piece.reaches:
        for one in feature.joining(reach):
            lap = next((lap for lap in feature.laps if lap.at == f"falls/{one.falls[-1].id}"), None)
            if lap is not None:
                liner = feature.foot_m(one, one.falls[-1]) - reach.gravel_m
                more = max(more, lap.upturn.m - liner - (reach.bank_m + reach.gravel_m) - stream.splash_m)
    return (Term(name="width turned up behind a stream that joins", value=more, unit="m"),) if more > 0.0 else ()


def _width(stream: Stream, piece: Piece) -> tuple[Term, ...]:
    """The widest floor, both banks down to the liner, both sides of a plunge pool, splash to both sides, and the spare:
    of each the most that any of its beds takes."""
    wide = max((_floor_m(reach) for reach in piece.reaches), default=stream.width_m)
    bank = max((_bank_m(reach) for reach in piece.reaches), default=0.0)
    pool = max((_pool_m(stream, reach) for reach in piece.reaches), default=0.0)
    return (
        Term(name="width of the bed", value=wide, unit="m"),
        Term(name="width up both banks", value=2.0 * bank, unit="m"),
        *((Term(name="width up both sides of a plunge pool", value=2.0 * pool, unit="m"),) if pool > 0.0 else ()),
        Term(name="width for splash, both sides", value=2.0 * stream.splash_m, unit="m"),
        Term(name="width to spare, both sides together", value=default("liner.stream_spare").number, unit="m"),
    )
