"""One shot to one level in whole nanometres: an inch is 25,400,000 of them, so whatever a rod reads is exact.

Plain sums of integers, so that a twin in another language gives the same to the last digit: 9,000 km are below
2^53, and no site is so large. A fraction that does not end (a third of an inch) goes to the nearest, a half away from
nothing.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from rillwright.survey.book import Rod
from rillwright.survey.lengths import reading_m

PER_M = 1_000_000_000


def whole_nm(metres: Fraction | float) -> int:
    """A length `metres` [m] to the nearest nanometre, a half away from nothing [nm]."""
    return _whole_nm(metres)


@lru_cache(maxsize=4096)
def _whole_nm(metres: Fraction | float) -> int:
    """The same remembered: a day's readings are held against the same few planned levels again and again."""
    exact = Fraction(metres) * PER_M
    size = (abs(exact) + Fraction(1, 2)).__floor__()
    return -size if exact < 0 else size


def reading_nm(text: str, rod: Rod) -> int:
    """What the rod reads [nm].

    Raises
    ------
    InputError
        If the text is not of that rod, or no rod could read so much.
    """
    return whole_nm(reading_m(text, rod))


def instrument_nm(mark_nm: int, benchmark_reading_nm: int, *, sign: int) -> int:
    """Height of instrument from a reading on a mark: RL + BS, or RL - BS with a direct rod [nm].

    Parameters
    ----------
    mark_nm : int
        Level of the mark [nm].
    benchmark_reading_nm : int
        Reading on it [nm].
    sign : int
        How the level goes with the reading [-]: -1 on a usual rod, +1 on a direct one.

    Returns
    -------
    int
        Height of instrument [nm].

    References
    ----------
    Engineering Aid training manual 14071, level computations.
    """
    return mark_nm - sign * benchmark_reading_nm


def level_nm(instrument: int, shot_reading_nm: int, *, sign: int) -> int:
    """Level of a shot: HI - FS, or HI + reading with a direct rod [nm].

    Parameters
    ----------
    instrument : int
        Height of instrument [nm].
    shot_reading_nm : int
        Reading of the shot [nm].
    sign : int
        How the level goes with the reading [-]: -1 on a usual rod, +1 on a direct one.

    Returns
    -------
    int
        Level [nm].

    References
    ----------
    Engineering Aid training manual 14071, level computations.
    """
    return instrument + sign * shot_reading_nm
