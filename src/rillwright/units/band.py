"""A value with what it may really be."""

from __future__ import annotations

from msgspec import Struct


class Band(Struct, frozen=True):
    """A value with its low and high end, all in one SI unit, low <= value <= high.

    Raises
    ------
    ValueError
        If the three are not in order or one is not a number.
    """

    value: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise ValueError(f"a band must have low <= value <= high, not {self.low}, {self.value}, {self.high}")

    @classmethod
    def exact(cls, value: float) -> Band:
        """A band of no width."""
        return cls(value, value, value)

    @classmethod
    def around(cls, value: float, share: float) -> Band:
        """A band of `value` plus and minus `share` of it [-]."""
        spread = abs(value) * share
        return cls(value, value - spread, value + spread)

    def shift(self, offset: float) -> Band:
        """The band moved by `offset` in its own unit."""
        return Band(self.value + offset, self.low + offset, self.high + offset)

    def scale(self, factor: float) -> Band:
        """The band times `factor` [-]; a negative factor turns low and high round."""
        ends = sorted((self.low * factor, self.high * factor))
        return Band(self.value * factor, ends[0], ends[1])

    def __add__(self, other: Band) -> Band:
        return Band(self.value + other.value, self.low + other.low, self.high + other.high)

    def __sub__(self, other: Band) -> Band:
        return Band(self.value - other.value, self.low - other.high, self.high - other.low)
