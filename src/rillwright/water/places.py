"""What stands still about a reach: its bed, the crest that holds its water, the level at which it rests."""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.feature import Fall, Feature, Plunge, Reach
from rillwright.hydraulics import Lip
from rillwright.shape import rest_level_m
from rillwright.water.narrows import open_widths_m
from rillwright.water.spill import lip_of

_PARTS, _MOST_PARTS = 8, 48  # stretches in which a reach is worked out
_FALL_M = 0.008  # of the bed, at most, over a stretch of a slide: a fraction of the depth of garden water


class Coming(Struct, frozen=True, kw_only=True):
    """What runs into a bed from another stream: at which station [m], and its share of the flow below that [-]."""

    station_m: float
    share: float


class Place(Struct, frozen=True, kw_only=True):
    """A reach between its crests, levels [m]. Stations run from its upper end to its lower one."""

    reach: Reach
    crest: Fall | None  # the next one down
    above_m: float  # the crest above, or the bed at the stream head
    rest_m: float | None  # None: it drains dry
    into: str
    plunge: Plunge | None = None  # the pool at its upper end
    lip: Lip | None = None  # of that crest
    widths_m: tuple[float, ...] = ()  # of the bed beside islands, one a station; empty: the same everywhere
    coming: tuple[Coming, ...] = ()  # from other streams, at the flows of the moment

    @property
    def sealed(self) -> bool:
        return self.crest is not None and self.crest.sealed

    @property
    def parts(self) -> int:
        """Stretches in which it is worked out: more on a slide."""
        fall = abs(self.reach.bed_start.m - self.reach.bed_end.m)
        return _PARTS if self.pool_like else min(max(_PARTS, math.ceil(fall / _FALL_M)), _MOST_PARTS)

    @property
    def stations_m(self) -> tuple[float, ...]:
        """Along the stream from its head, at the ends of all stretches [m]."""
        start, length, parts = self.reach.station_m, self.reach.length_m, self.parts
        return tuple(start + length * i / parts for i in range(parts + 1))

    @property
    def slope(self) -> float:
        """Fall of the bed over its length [-]."""
        return (self.reach.bed_start.m - self.reach.bed_end.m) / self.reach.length_m

    @property
    def beds_m(self) -> list[float]:
        """Bed levels [m] at the ends of all stretches."""
        start, end, parts = self.reach.bed_start.m, self.reach.bed_end.m, self.parts
        return [start + (end - start) * i / parts for i in range(parts + 1)]

    @property
    def pool_like(self) -> bool:
        """Whether the crest below holds water over the whole bed."""
        return self.crest is not None and self.reach.bed_start.m < self.crest.crest.m

    @property
    def spacing_slope(self) -> float:
        """Slope [-] from the crest above to the crest below: what drives water through gravel that nothing seals."""
        below = self.crest.crest.m if self.crest is not None else self.reach.bed_end.m
        return max(self.above_m - below, 0.0) / self.reach.length_m


def places(feature: Feature) -> tuple[Place, ...]:
    """Every reach of the feature, stream by stream in the order of flow.

    Raises
    ------
    InputError
        If a bed or a crest has no width, or a bed no length.
    """
    _refuse_without_size(feature)
    found: list[Place] = []
    for stream in feature.streams:
        above = stream.head.m
        for i, link in enumerate(stream.links):
            if isinstance(link, Fall):
                above = link.crest.m
                continue
            crest = next((below for below in stream.links[i:] if isinstance(below, Fall)), None)
            place = Place(
                reach=link,
                crest=crest,
                above_m=above,
                rest_m=rest_level_m(stream, link),
                into=stream.into,
                plunge=stream.plunge_in(link),
                lip=None if crest is None else lip_of(crest, crest.crest.m - link.bed_end.m),
            )
            widths = open_widths_m(stream, link, place.stations_m)
            found.append(replace(place, widths_m=widths) if widths else place)
    return tuple(found)


def _refuse_without_size(feature: Feature) -> None:
    sizes = [(f"reaches/{reach.id}.width", reach.open_width_m) for reach in feature.reaches]
    sizes += [(f"reaches/{reach.id}.length", reach.length_m) for reach in feature.reaches]
    sizes += [(f"falls/{fall.id}.crest_width", fall.crest_width_m) for fall in feature.falls]
    problems = [
        Problem(message="water cannot run there", field=field, found=f"{size:g} m", allowed="more than zero")
        for field, size in sizes
        if not (size > 0.0 and math.isfinite(size))
    ]
    if problems:
        raise InputError(problems)
