"""Where streams end, completed: in a body, or in a bed of another stream; and in which order they are worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches

from msgspec import Struct

from rillwright.feature.course import project
from rillwright.feature.filling import Filling
from rillwright.feature.levels import Level, Origin, Surface
from rillwright.feature.model import Body, Fall, Join, Reach, Stream
from rillwright.feature.schema import BedSaid, StreamSaid
from rillwright.feature.yaml_text import Location

Row = tuple[Location, StreamSaid]


class Mouth(Struct, frozen=True, kw_only=True):
    """The end of a stream: the body that it runs into, or a bed of another stream and where on it [m]."""

    body: Body
    reach: Reach | None = None
    stream: Stream | None = None  # that of the bed
    station_m: float = 0.0

    @property
    def node(self) -> str:
        """The node at which its water enters: a bed takes it in at its upper end."""
        return self.body.id if self.reach is None else self.reach.upstream

    @property
    def foot(self) -> Level:
        """Level of the bed there, or the waterline of the body."""
        if self.reach is None:
            return self.body.waterline
        start, level = self.reach.bed_start, self.reach.bed_at_m(self.station_m)
        return Level(level, Surface.BED, Origin.PLANNED, f"bed {self.reach.id}", start.sigma_m, start.setup)

    @property
    def water_m(self) -> float:
        """Level [m] at which water stands there at rest: the next crest's, if it is sealed and holds any."""
        if self.reach is None or self.stream is None:
            return self.body.waterline.m
        below = self.stream.links[self.stream.links.index(self.reach) + 1 :]
        crest = next((link for link in below if isinstance(link, Fall)), None)
        return max(self.foot.m, crest.crest.m) if crest is not None and crest.sealed else self.foot.m

    @property
    def join(self) -> Join | None:
        if self.reach is None or self.stream is None:
            return None
        return Join(stream=self.stream.id, reach=self.reach.id, station_m=self.station_m)


def mouth_of(
    said: StreamSaid, location: Location, filling: Filling, *, into: Body, joined: tuple[Stream, Reach] | None
) -> Mouth | None:
    """The end of a stream: where its path ends beside the bed that it joins, or without a path at the bed's middle."""
    if joined is None:
        return Mouth(body=into)
    stream, reach = joined
    station = reach.station_m + 0.5 * reach.length_m
    if said.path is not None:
        end = (said.path[-1][0].si, said.path[-1][1].si)
        station, _ = project(stream.path, end, length_m=stream.length_m)
        beside = next((one for one in reversed(stream.reaches) if one.station_m <= station), stream.reaches[0])
        if beside.id != reach.id:
            filling.wrong(
                (*location, "path"),
                "the path does not end beside the bed that the stream runs into",
                found=f"its end is nearest to bed {beside.id} of {stream.id}, {station:.2f} m below its head",
                allowed=f"an end from {reach.station_m:.2f} to {reach.station_m + reach.length_m:.2f} m below it, "
                f"or 'into: {beside.id}'",
            )
            return None
    if reach.dish_m > 0.0:
        filling.wrong(
            (*location, "into"),
            "a bed into which a stream runs is level across where that comes in",
            found=f"bed {reach.id}, dished by {reach.dish_m:.3f} m",
            allowed="'dish: 0 in' for that bed, or another bed",
        )
        return None
    pool = stream.plunge_in(reach)
    if pool is not None and station < reach.station_m + pool.length_m:
        filling.wrong(
            (*location, "path" if said.path is not None else "into"),
            "the stream would run into the plunge pool of another fall",
            found=f"{station - reach.station_m:.2f} m below the crest, in a pool {pool.length_m:.2f} m long",
            allowed="an end farther down that bed, or a shorter pool",
        )
        return None
    return Mouth(body=into, reach=reach, stream=stream, station_m=station)


def beds_of(rows: Sequence[Row]) -> dict[str, int]:
    """Every bed of the file, with the number of its stream."""
    return {row.bed: n for n, (_, said) in enumerate(rows) for row in said.course if isinstance(row, BedSaid)}


def order_of(rows: Sequence[Row], bodies: Mapping[str, Body], filling: Filling) -> list[int]:
    """Numbers of the streams, so that each comes after the one that it joins; what leads nowhere is left out, and said.

    What runs into something that is no pond and no bed, into its own bed, or with others into one another in a ring.
    """
    beds = beds_of(rows)
    after: dict[int, int | None] = {}
    for n, (location, said) in enumerate(rows):
        into = said.into
        if into is None and len(bodies) != 1:
            filling.wrong((*location, "into"), "is missing", allowed=", ".join([*bodies, *_others(rows, n)]))
        elif into is None or into in bodies:
            after[n] = None
        elif into not in beds:
            _no_such_end(rows, n, bodies, filling)
        elif beds[into] == n:
            filling.wrong(
                (*location, "into"), "a stream cannot run into a bed of its own", found=into,
                allowed=", ".join([*bodies, *_others(rows, n)]),
            )  # fmt: skip
        else:
            after[n] = beds[into]
    _refuse_rings(rows, after, filling)
    found: list[int] = []
    for _ in after:
        found += [n for n, on in after.items() if n not in found and (on is None or on in found)]
    return found


def _others(rows: Sequence[Row], n: int) -> Iterator[str]:
    """The beds of all other streams."""
    for bed, of in beds_of(rows).items():
        if of != n:
            yield bed


def _no_such_end(rows: Sequence[Row], n: int, bodies: Mapping[str, Body], filling: Filling) -> None:
    location, said = rows[n]
    into, ends = said.into or "", [*bodies, *_others(rows, n)]
    own = next((each for _, each in rows if each.id == into), None)
    message, near = "is not a pond here, nor a bed of another stream", get_close_matches(into, ends, n=3) or ends
    if own is not None:
        message = "is a stream: say which bed of it this one runs into"
        near = [row.bed for row in own.course if isinstance(row, BedSaid)]
    filling.wrong((*location, "into"), message, found=into, allowed=", ".join(near))


def _refuse_rings(rows: Sequence[Row], after: Mapping[int, int | None], filling: Filling) -> None:
    """Streams that run into one another and never come to a body: one message each ring."""
    told: set[int] = set()
    for n in after:
        way: list[int] = []
        at: int | None = n
        while at is not None and at not in way:
            way.append(at)
            at = after.get(at)
        if at is None or at in told:
            continue
        ring = way[way.index(at) :]
        told |= set(ring)
        location = rows[ring[0]][0]
        names = [rows[each][1].into or "" for each in ring]
        filling.wrong(
            (*location, "into"), "the streams run into one another in a ring and reach no pond",
            found=" -> ".join([*names, names[0]]), allowed="one of them into a pond",
        )  # fmt: skip
