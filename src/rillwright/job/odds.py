"""How often each edge of liner would spill, in words for a builder's screen: never for a customer's paper."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from rillwright.assessment import BodyKind, Judged, NotRun, Odds, WaterOdds
from rillwright.drawings import length
from rillwright.findings import bound_of, chance_in_words
from rillwright.findings import named as called

_MOST_NAMED = 3
_NEVER = "fewer than 1 of 1,000"


class EdgeOdds(Struct, frozen=True, kw_only=True):
    """One body or reach: chance that it spills on its worst ordinary day [-] with its standard error, and in words.

    `worst` names, the most frequent first, what spills, with the share of all samples in which it does so first [-].
    `often` says that the chance is more than is wanted.
    """

    path: str
    called: str
    chance: float
    chance_error: float
    often: bool
    words: str
    worst: tuple[tuple[str, float], ...]


class OddsTold(Struct, frozen=True, kw_only=True):
    """The odds of all edges, what spills most often first; or the reason why there are none.

    `wanted` is the greatest chance that is wanted [-]. `head` says the whole, `how` what was drawn and how it was
    checked. For the builder alone.
    """

    head: str = ""
    how: str = ""
    wanted: float | None = None
    edges: tuple[EdgeOdds, ...] = ()
    reason: str = ""


def odds_told(judged: Judged) -> OddsTold:
    """Odds by edge, the most frequent first; the reason where nobody asked for them or the feature has changed."""
    odds = judged.assessment.odds
    if isinstance(odds, NotRun):
        return OddsTold(reason=odds.reason)
    wanted = bound_of(judged.assessment.feature, "rim.odds").good
    return OddsTold(
        head=_head(odds),
        how=_how(odds),
        wanted=wanted,
        edges=tuple(
            _edge(judged, water, wanted=wanted)
            for water in sorted(odds.waters, key=lambda one: (-one.chance, one.spare_m.low))
        ),
    )


def _head(odds: Odds) -> str:
    said = chance_in_words(odds.chance)
    known = chance_in_words(odds.chance_if_read)
    whole = f"On its worst ordinary day water leaves the liner in {said} such crews' work."
    if said in (_NEVER, known):
        return whole
    return f"{whole} Were the ground between the readings known, it would be in {known}."


def _how(odds: Odds) -> str:
    """What was drawn, and whether working some of it out in full says the same."""
    seen = odds.confirmed
    agrees = f"{seen.agree} of {seen.samples}" if seen.agree < seen.samples else f"all {seen.samples}"
    return (
        f"Errors of set-ups, readings, placing, settlement and water were drawn {odds.samples:,} times "
        f"({', '.join(odds.cases)}; the same seed, {odds.seed}, gives the same answer). Worked out anew in full, "
        f"{agrees} agree. For the builder alone: on no paper for a customer."
    )


def _edge(judged: Judged, water: WaterOdds, *, wanted: float) -> EdgeOdds:
    feature = judged.assessment.feature
    reservoirs = [body.id for body in feature.bodies if body.kind is BodyKind.RESERVOIR]
    name = called(water.water, reservoirs=reservoirs)
    return EdgeOdds(
        path=water.water,
        called=name,
        chance=water.chance,
        chance_error=water.chance_error,
        often=water.chance > wanted,
        words=" ".join(_words(water, name, system=feature.system)),
        worst=tuple((each.path, each.share) for each in water.worst),
    )


def _words(water: WaterOdds, name: str, *, system: str) -> Iterator[str]:
    """How often, where first, and what the lowest place has to spare."""
    low = water.spare_m.low
    yield f"{name[:1].upper()}{name[1:]}: it spills in {chance_in_words(water.chance)}."
    if water.worst:
        first = [f"{_place(each.path)} ({chance_in_words(each.share)})" for each in water.worst[:_MOST_NAMED]]
        yield f"First at {', '.join(first)}."
    spare = length(water.spare_m.value, system) if water.spare_m.value >= 0.0 else "nothing"
    yield f"Its lowest place has {spare} to spare in half of the work,"
    yield f"{length(low, system)} or less in 5 of 100." if low >= 0.0 else "none in 5 of 100 or more."


def _place(path: str) -> str:
    """What gives a top, in words."""
    said = called(path.partition(".")[0])
    return f"the bank of {said}" if path.endswith(".bank") else said
