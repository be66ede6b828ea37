"""What an assessment starts from, and a digest of each part of it."""

from __future__ import annotations

from hashlib import blake2b

from msgspec import Struct

from rillwright import __version__
from rillwright.assessment import NO_SHOTS, NotRun, SiteShots, Survey, Tick
from rillwright.feature import Feature
from rillwright.sources import PriceBook


class Inputs(Struct, frozen=True, kw_only=True):
    """The completed feature, what its books and shots came to, and the price book."""

    feature: Feature
    surveyed: Survey | NotRun
    prices: PriceBook
    shots: SiteShots = NO_SHOTS
    ticks: tuple[Tick, ...] = ()


def digest_of(*parts: object) -> str:
    """A short digest of values whose text says all of them."""
    return blake2b(repr((__version__, *parts)).encode(), digest_size=12).hexdigest()


def part_digests(inputs: Inputs) -> dict[str, str]:
    """A digest for each part of the inputs that some step reads."""
    feature = inputs.feature
    return {
        "climate": digest_of(feature.climate, feature.supply, feature.filled),
        "levels": digest_of(feature.datum, feature.marks, feature.bodies, feature.streams, feature.laps),
        "liner_kind": digest_of(feature.liner),
        "runs": digest_of(feature.runs),
        "site": digest_of(feature.site),
        "overrides": digest_of(feature.overrides, feature.system, feature.step_m),
        "prices": digest_of(inputs.prices),
    }
