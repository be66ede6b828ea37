"""Stakes to exchange points and back: a surveyor sets them out, and hands back what was found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rillwright.assessment import STAKED, FoundLevel, Stake, Surface
from rillwright.errors import InputError, Problem
from rillwright.exchange.point import ExchangePoint, shown

PEG = "-peg"  # behind the number of a stake: its peg


def points_of_stakes(stakes: Iterable[Stake]) -> tuple[ExchangePoint, ...]:
    """A point for every surface wanted at every stake that has a place, then the stake's peg, which has no level."""
    return tuple(point for stake in stakes if stake.at is not None for point in _points(stake, stake.at))


def _points(stake: Stake, at: tuple[float, float]) -> Iterator[ExchangePoint]:
    for surface in STAKED:
        level = stake.level_m(surface)
        if level is not None:
            yield ExchangePoint(
                id=stake.id, easting_m=at[0], northing_m=at[1], level_m=level, surface=surface, note=stake.text
            )
    if stake.peg is not None:
        note = f"peg of {stake.id}, {stake.peg.away_m:.3f} m {stake.peg.way}"
        yield ExchangePoint(
            id=stake.id + PEG, easting_m=stake.peg.at[0], northing_m=stake.peg.at[1], note=note
        )  # fmt: skip


def found_from_points(points: Sequence[ExchangePoint], stakes: Iterable[Stake], *, file: str) -> tuple[FoundLevel, ...]:
    """What a surveyor found at stakes, by the stake's number and the surface that each row names.

    Raises
    ------
    InputError
        For every row that names no stake, no surface, or no level; rows about pegs are passed over.
    """
    known = {stake.id for stake in stakes}
    found: list[FoundLevel] = []
    problems: list[Problem] = []
    for row, point in enumerate(points, start=1):
        if point.id.removesuffix(PEG) in known and point.id.endswith(PEG):
            continue
        wrong = _wrong(point, known)
        if wrong:
            field, message, allowed = wrong
            where = f"point {row}.{field}"
            problems.append(Problem(message=message, file=file, field=where, found=shown(point.id), allowed=allowed))
        elif point.surface is not None and point.level_m is not None:
            found.append(FoundLevel(at=point.id, surface=point.surface, level_m=point.level_m))
    if problems:
        raise InputError(problems)
    return tuple(found)


def _wrong(point: ExchangePoint, known: set[str]) -> tuple[str, str, str] | None:
    if point.id not in known:
        return "point", "is no stake of this job", ""
    if point.surface is None:
        return "surface", "says no surface: a level is always of one", ", ".join(surface.value for surface in Surface)
    return ("level", "has no level", "") if point.level_m is None else None
