"""What an assessment starts from, and a digest of each part of it."""

from __future__ import annotations

from functools import lru_cache
from hashlib import blake2b
from typing import TYPE_CHECKING

from msgspec import Struct

from rillwright import __version__
from rillwright.assessment import NO_SHOTS, NotRun, SiteShots, Survey, Tick
from rillwright.feature import Feature
from rillwright.sources import PriceBook

if TYPE_CHECKING:
    from rillwright.ground import GroundData


class Inputs(Struct, frozen=True, kw_only=True):
    """The completed feature, what its books, shots and files of the ground came to, and the price book."""

    feature: Feature
    surveyed: Survey | NotRun
    prices: PriceBook
    shots: SiteShots = NO_SHOTS
    ticks: tuple[Tick, ...] = ()
    ground: GroundData | None = None


def digest_of(*parts: object) -> str:
    """A short digest of values whose text says all of them."""
    return blake2b(repr((__version__, *parts)).encode(), digest_size=12).hexdigest()


def part_digests(inputs: Inputs) -> dict[str, str]:
    """A digest for each part of the inputs that some step reads."""
    feature = inputs.feature
    return {
        "climate": digest_of(feature.climate, feature.supply),
        "filled": digest_of(feature.filled),
        "levels": digest_of(feature.datum, feature.marks, feature.bodies, feature.streams, feature.laps),
        "liner_kind": digest_of(feature.liner),
        "runs": digest_of(feature.runs),
        "site": digest_of(feature.site),
        "overrides": digest_of(feature.overrides, feature.system, feature.step_m),
        "prices": digest_of(inputs.prices),
        "ground": ground_digest(inputs.ground),
    }


@lru_cache(maxsize=8)  # of a cloud it takes its time, and the same is asked after every change
def ground_digest(ground: GroundData | None) -> str:
    """A digest of levels of the ground: of every number, whatever their text would leave out."""
    if ground is None:
        return digest_of(None)
    made = blake2b(digest_of(ground.name, ground.names, ground.sigma_m, ground.remarks).encode(), digest_size=12)
    arrays = [ground.xyz, ground.faces, ground.sigmas_m, *(line.xyz for line in ground.lines)]
    lines = [(line.id, line.role, line.closed, line.sigma_m, line.xyz.shape) for line in ground.lines]
    made.update(repr(lines).encode())
    for array in arrays:
        made.update(b"none" if array is None else array.tobytes())
    made.update(repr([(each.name, each.unit, len(each.xyz)) for each in ground.each]).encode())
    return made.hexdigest()
