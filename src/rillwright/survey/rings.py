"""Rings: the set-ups round which a level comes back to what is known, and how each reading bears on the error."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from rillwright.survey.chain import Chain, Repeat, Shot, Spot, Station


class Leg(Struct, frozen=True):
    """One set-up of a ring, with the shot by which the ring enters it and the shot by which it leaves."""

    station: Station
    entry: Shot
    exit: Shot

    @property
    def length_m(self) -> float | None:
        """Length levelled by the set-up [m]: both sights, or the section that a foresight's row states; else None."""
        if self.exit.reading.distance_m is None:
            return None
        return self.exit.reading.distance_m + (self.entry.reading.distance_m or 0.0)


class Ring(Struct, frozen=True):
    """`out` runs from `start` to the closing shot, `back` from `start` (or another held mark) to the same spot.

    `effect` gives for each shot, by number, how the error grows with its reading: +1 or -1.
    """

    closing: Repeat
    start: Spot
    base: Spot  # held spot or spot from whose correction the ring's corrections grow
    out: tuple[Leg, ...]
    back: tuple[Leg, ...]
    effect: dict[int, int]
    shots: dict[int, Shot]

    @property
    def error_m(self) -> Fraction:
        """Misclosure [m]: level by `out` less level by `back` or as known."""
        return self.closing.gap_m

    @property
    def legs(self) -> tuple[Leg, ...]:
        """All set-ups of the ring."""
        return self.out + self.back

    @property
    def length_m(self) -> float | None:
        """Length of the ring [m], None if a set-up's is not given."""
        lengths = [leg.length_m for leg in self.legs]
        known = [length for length in lengths if length is not None]
        return sum(known) if known and len(known) == len(lengths) else None

    @property
    def name(self) -> str:
        """The ring in words."""
        end = self.closing.shot.spot.id
        if not self.back and self.start.id == end:
            return f"{end} round to {end}"
        return f"{self.start.id} to {end}" if not self.back else f"{self.start.id} to {end}, two ways"


def _upward(chain: Chain, leg: Leg) -> list[Leg]:
    """The legs from a held spot down to this one, this one last."""
    legs = [leg]
    while (parent := chain.parent.get(legs[-1].entry.spot)) is not None:
        station, exit_ = parent
        assert station.anchor is not None
        legs.append(Leg(station, station.anchor, exit_))
    return legs[::-1]


def ring_of(chain: Chain, closing: Repeat) -> Ring:
    """The ring that a reading from another set-up closes."""
    assert closing.station.anchor is not None
    out = _upward(chain, Leg(closing.station, closing.station.anchor, closing.shot))
    parent = chain.parent.get(closing.shot.spot)
    back: list[Leg] = []
    if parent is not None:
        assert parent[0].anchor is not None
        back = _upward(chain, Leg(parent[0], parent[0].anchor, parent[1]))
    base = out[0].entry.spot
    if back and back[0].entry.spot == base:
        while out and back and out[0] == back[0]:
            base = out[0].exit.spot
            out, back = out[1:], back[1:]
        if out and back and out[0].station is back[0].station and out[0].entry == back[0].entry:
            # both ways part at one set-up: enter it by the spot that the way back leaves by
            base = out[0].entry.spot
            out = [Leg(out[0].station, back[0].exit, out[0].exit), *out[1:]]
            back = back[1:]
    start = out[0].entry.spot if out else base
    effect, shots = _effects(out, back)
    return Ring(closing, start, base, tuple(out), tuple(back), effect, shots)


def _effects(out: Sequence[Leg], back: Sequence[Leg]) -> tuple[dict[int, int], dict[int, Shot]]:
    effect: dict[int, int] = {}
    shots: dict[int, Shot] = {}
    for way, legs in ((1, out), (-1, back)):
        for leg in legs:
            for shot, grows in ((leg.entry, -leg.station.sign), (leg.exit, leg.station.sign)):
                effect[shot.number] = effect.get(shot.number, 0) + way * grows
                shots[shot.number] = shot
    return {number: e for number, e in effect.items() if e}, shots


def rings_overlap(rings: Sequence[Ring]) -> bool:
    """Whether a set-up stands in more than one ring, so that their corrections depend on each other."""
    seen: set[int] = set()
    for ring in rings:
        indices = {leg.station.index for leg in ring.legs}
        if indices & seen:
            return True
        seen |= indices
    return False
