"""Cut and fill along a stream, from its long section."""

from __future__ import annotations

import itertools
from bisect import bisect_left

from msgspec import Struct, structs

from rillwright.feature import Fall, Reach, Stream
from rillwright.shape import Line, LongSection


class BedFill(Struct, frozen=True, kw_only=True):
    """The highest fill under a bed [m], from known ground to the underlay, and its station [m]."""

    reach: str
    path: str
    high_m: float
    station_m: float


class StreamEarth(Struct, frozen=True, kw_only=True):
    """Soil cut in the bank [m3], fill placed under bed and banks [m3], deepest cut [m], mean width of the bed [m]."""

    cut_m3: float
    fill_m3: float
    deepest_m: float
    width_m: float


def level_on(line: Line, station_m: float) -> float:
    """Level [m] of a line at a station [m], straight between its points; the nearest end beyond them."""
    if station_m <= line[0][0]:
        return line[0][1]
    after = bisect_left(line, (station_m,))
    if after == len(line):
        return line[-1][1]
    (a, low), (b, high) = line[after - 1], line[after]
    return low + (high - low) * (station_m - a) / (b - a)


def cut_area_m2(width_m: float, depth_m: float, *, up_per_across: float) -> float:
    """Area [m2] of a cut with a level floor `width_m` [m] wide, `depth_m` [m] deep, sides `up_per_across` [-]; never
    below nought."""
    deep = max(depth_m, 0.0)
    return deep * (width_m + deep / up_per_across)


def bank_cut_m2(width_m: float, depth_m: float, *, bank_m: float, bank_side: float, up_per_across: float) -> float:
    """Area [m2] of a cut with a level floor `width_m` [m] wide, `depth_m` [m] deep: up to `bank_m` [m] over its floor
    by the side of its banks, above that by that of any cut [up per across, -]; never below nought."""
    deep = max(depth_m, 0.0)
    low = min(deep, bank_m)
    edge = width_m + 2.0 * low / bank_side
    return low * (width_m + low / bank_side) + cut_area_m2(edge, deep - low, up_per_across=up_per_across)


def ridge_area_m2(height_m: float, *, crest_m: float, up_per_across: float) -> float:
    """Area [m2] of a bank `height_m` [m] high with a level top `crest_m` [m] and sides `up_per_across` [-]; never
    below nought."""
    high = max(height_m, 0.0)
    return high * (crest_m + high / up_per_across)


def prismoid_m3(length_m: float, *, areas_m2: tuple[float, float, float]) -> float:
    """Volume [m3] over a length [m] from the areas [m2] at its start, its middle and its end.

    The middle's area is that of the body there, never the mean of the ends.

    References
    ----------
    Closed form, the prismoidal formula V = L (A1 + 4 Am + A2) / 6: exact where depth goes straight.
    """
    start, middle, end = areas_m2
    return length_m * (start + 4.0 * middle + end) / 6.0


def stream_earth(
    stream: Stream,
    section: LongSection,
    *,
    cut_side: float,
    crest_m: float,
    fill_side: float,
    beside: tuple[Line, Line] | None = None,
    under_m: float = 0.0,
) -> StreamEarth:
    """Cut and fill along a stream by the prismoidal formula, span by span between the points of dig and ground.

    Parameters
    ----------
    stream
        With the widths of its beds and the height of its banks.
    section
        Its long section.
    cut_side : float
        Sides of the dig, up per across [-], where the banks have none of their own.
    crest_m : float
        Level top of a bank that is built up [m].
    fill_side : float
        Sides of such a bank, up per across [-].
    beside : two lines or None
        Ground at the left and the right edge of the liner [m]; None: as along the middle.
    under_m : float
        Thickness of liner and underlay [m].

    Returns
    -------
    StreamEarth
        Volumes [m3] and deepest cut [m].

    References
    ----------
    Closed form, the prismoidal formula V = L (A1 + 4 Am + A2) / 6: exact where depth goes straight.
    """
    cut = fill = deepest = 0.0
    for reach, a, b in _spans(stream, section):
        areas = []
        for station in (a, 0.5 * (a + b), b):
            inner = min(max(station, a + 1e-9), b - 1e-9)  # on the face of a fall, the side that belongs to the span
            ground, dig = level_on(section.ground, inner), level_on(section.dig, inner)
            bed = reach.bed_start.m - reach.pitch_m * (inner - reach.station_m) / reach.length_m
            banks = sum(
                ridge_area_m2(bed + reach.bank_m - level_on(line, inner), crest_m=crest_m, up_per_across=fill_side)
                for line in beside or (section.ground, section.ground)
            )
            pool = pool_at_m(stream, reach, inner, wall_m=under_m)
            over, wide = dig + pool - ground, reach.floor_width_m  # the bed's dig over the ground; a pool lies under it
            areas.append(
                (
                    _cut_m2(reach, -over, under_m=under_m, up_per_across=cut_side)
                    + wide * min(max(pool - over, 0.0), pool),
                    banks + wide * max(over - pool, 0.0) + _under_dish_m2(reach, over),
                )
            )
            deepest = max(deepest, ground - dig)
        (cut_a, fill_a), (cut_m, fill_m), (cut_b, fill_b) = areas
        cut += prismoid_m3(b - a, areas_m2=(cut_a, cut_m, cut_b))
        fill += prismoid_m3(b - a, areas_m2=(fill_a, fill_m, fill_b))
    mean = sum(reach.width_m * reach.length_m for reach in stream.reaches) / stream.length_m
    return StreamEarth(cut_m3=cut, fill_m3=fill, deepest_m=deepest, width_m=mean)


def _cut_m2(reach: Reach, depth_m: float, *, under_m: float, up_per_across: float) -> float:
    """Area [m2] of the cut under a bed `depth_m` [m] below the ground, by the side of its banks where one is said."""
    side, dish = reach.side_up_per_across, reach.dish_m
    if dish > 0.0:
        wide = reach.floor_width_m
        high = dish * wide / reach.width_m  # of the floor's edges over its middle
        low = min(max(depth_m, 0.0), high)
        bed = wide if side is None else wide + 2.0 * reach.gravel_m / side
        flat = structs.replace(reach, dish_m=0.0, bank_m=reach.bank_m - high, width_m=bed)
        over = _cut_m2(flat, depth_m - high, under_m=under_m, up_per_across=up_per_across)
        return 0.5 * wide * low * low / high + over
    if side is None:
        return cut_area_m2(reach.width_m, depth_m, up_per_across=up_per_across)
    bank = reach.bank_m + reach.gravel_m + under_m
    return bank_cut_m2(reach.floor_width_m, depth_m, bank_m=bank, bank_side=side, up_per_across=up_per_across)


def _under_dish_m2(reach: Reach, over_m: float) -> float:
    """Area [m2] of fill under the sides of a dished bed whose middle is dug `over_m` [m] over the ground."""
    wide = reach.floor_width_m
    high = reach.dish_m * wide / reach.width_m
    if high <= 0.0:
        return 0.0
    filled = min(max(high + over_m, 0.0), high)  # below the edges of the floor, over the ground
    return 0.5 * wide * filled * filled / high


def pool_at_m(stream: Stream, reach: Reach, station_m: float, *, wall_m: float = 0.0) -> float:
    """How deep the dig of a plunge pool lies below that of the bed [m] at a station [m]; 0 where there is none.

    It begins at the dug face, under the stones of its fall, and ends `wall_m` [m] behind its far wall.
    """
    pool = stream.plunge_in(reach)
    if pool is not None and station_m < reach.station_m + pool.length_m + wall_m:
        return pool.depth_m + reach.bed_at_m(station_m) - reach.bed_start.m
    at = stream.links.index(reach) + 1
    fall = stream.links[at] if at < len(stream.links) else None
    if not isinstance(fall, Fall) or fall.plunge is None:
        return 0.0
    back = min(fall.stone_depth_m, 0.5 * reach.length_m)
    return fall.plunge.depth_m if station_m > fall.station_m - back else 0.0


def bed_fills(stream: Stream, section: LongSection) -> tuple[BedFill, ...]:
    """The highest fill under each bed that lies over ground which is known; nothing where it is all dug."""
    if section.ground_known is None:
        return ()
    first, last = section.ground_known
    found: dict[str, BedFill] = {}
    for reach, a, b in _spans(stream, section):
        low, high = max(a, first) + 1e-9, min(b, last) - 1e-9
        for station in (low, high) if low <= high else ():
            over = level_on(section.dig, station) - level_on(section.ground, station)
            before = found.get(reach.id)
            if over > 1e-6 and (before is None or over > before.high_m + 1e-6):
                found[reach.id] = BedFill(
                    reach=reach.id, path=f"reaches/{reach.id}", high_m=over, station_m=round(station, 6)
                )
    return tuple(found.values())


def _spans(stream: Stream, section: LongSection) -> list[tuple[Reach, float, float]]:
    """(reach, from, to) between all points of dig and ground, and where the two cross."""
    found: list[tuple[Reach, float, float]] = []
    points = sorted({station for line in (section.dig, section.ground) for station, _ in line})
    for reach in stream.reaches:
        start, end = reach.station_m, reach.station_m + reach.length_m
        inside = [start, *(point for point in points if start < point < end), end]
        for a, b in itertools.pairwise(inside):
            if b - a > 1e-6:
                found += [(reach, low, high) for low, high in itertools.pairwise([a, *_crossing(section, a, b), b])]
    return found


def _crossing(section: LongSection, a: float, b: float) -> list[float]:
    near = [level_on(section.ground, at) - level_on(section.dig, at) for at in (a + 1e-9, b - 1e-9)]
    if near[0] * near[1] >= 0.0:
        return []
    at = a + (b - a) * near[0] / (near[0] - near[1])
    return [at] if a + 1e-6 < at < b - 1e-6 else []
