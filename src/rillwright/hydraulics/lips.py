"""C of a crest by its lip and the water on it: rough stone, a sawn slab, a sharp edge; wider in thin water."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_outside, refuse_unusable
from rillwright.hydraulics._printed import LEAST_PUBLISHED_HEAD_M, read_between
from rillwright.hydraulics.broad_crests import IDEAL_BROAD_C
from rillwright.hydraulics.weirs import FRANCIS_C, kindsvater_carter, rehbock
from rillwright.sources import broad_crest_table
from rillwright.units import Band

ROUGH_CREST_C = 1.435  # [m^0.5/s]; 2.6 ft^0.5/s, low end of what is printed for rough broad crests
CREST_C = Band((ROUGH_CREST_C + FRANCIS_C) / 2, ROUGH_CREST_C, FRANCIS_C)  # [m^0.5/s], rough stones to a sharp lip
THIN_POWER = 0.12  # with which the band widens below the least head that was measured; our own
LEAST_SHARP_M = 0.005  # thinner water over a sharp lip keeps the C that it has here; our own
_SQUARE_EDGE = 0.864  # iso-3846, from memory
_APART = 0.03  # how far the laws of sharp crests are apart where they were measured; our own
_MOST_OVER_HEIGHT = 2.5  # h/P up to which Kindsvater and Carter's was measured (iso-1438)
_FAR = 1e6  # P/h from which it counts for nothing
_ROUNDS = 60
_SETTLED = 1e-13

Coefficient = float | Callable[[float], float]  # C [m^0.5/s], or C by the water on the crest [m]


class Lip(Struct, frozen=True, kw_only=True):
    """C [m^0.5/s] of one lip by the water on it [m]: as it is taken, and the least and most that it may be.

    `least_m` is the thinnest water for which any of it was measured, `note` what else lies outside what was.
    """

    kind: str  # rough | slab | sharp
    value: Coefficient
    low: Coefficient
    high: Coefficient
    least_m: float
    method: str
    note: str = ""

    def band(self, head_m: float) -> Band:
        """C with its band [m^0.5/s] under `head_m` [m] of water."""
        return Band(*(coefficient_at(each, head_m) for each in (self.value, self.low, self.high)))

    def outside(self, head_m: float) -> str:
        """What of the water on it [m] lies outside what was measured; empty inside."""
        return notes(
            (
                head_m < self.least_m,
                f"the water on the crest is thinner than the least head of the formula used, "
                f"{self.least_m * 1000.0:.0f} mm",
            ),
            (bool(self.note), self.note),
        )


def coefficient_at(coefficient: Coefficient, head_m: float) -> float:
    """C [m^0.5/s] under `head_m` [m] of water, of a number or of what gives one.

    References
    ----------
    Definition.
    """
    return coefficient(head_m) if callable(coefficient) else coefficient


def thin_factor(head_m: float, least_m: float, *, power: float = THIN_POWER) -> float:
    """By how much a band of C is wider than where it was measured [-]: 1 from the least head, (least/h)^power below.

    Under the 30 mm of most formulas the depth of a rough crest is so known to 13-15 % at 15 mm and to 20-26 % at 5 mm:
    15 to 25 % either way, as is said of thin water.

    Parameters
    ----------
    head_m, least_m : float
        Water on the crest, and the least of a published range [m].
    power : float
        [-]; above 0 the band grows without a step as the water thins, below 1 more water is more flow.

    Returns
    -------
    float
        [-], 1 or more.

    References
    ----------
    Form and power: our own, common practice, no source.
    """
    return (least_m / max(head_m, 1e-9)) ** power if head_m < least_m else 1.0


def rough_lip(coefficient: Band = CREST_C, *, power: float = THIN_POWER) -> Lip:
    """A lip of natural stone: one C, its band from what is printed for rough broad crests to a sharp one.

    Parameters
    ----------
    coefficient : Band
        C where it was measured [m^0.5/s].
    power : float
        With which the band widens in thin water [-].

    Returns
    -------
    Lip
        C [m^0.5/s]; its band widens from 30 mm of water down.

    References
    ----------
    hec-ras: 1.435 (2.6 US), bridge deck; swmm-2, sec. 6.3.2: 1.84 (3.33 US); middle: common practice, no source.
    No accepted constant for a crest of rough stones is known to us. 30 mm: iso-1438.
    """
    low, high = _thinned(coefficient.low, coefficient.high, least_m=LEAST_PUBLISHED_HEAD_M, power=power)
    return Lip(
        kind="rough",
        value=coefficient.value,
        low=low,
        high=high,
        least_m=LEAST_PUBLISHED_HEAD_M,
        method="rough to sharp crest",
    )


def slab_lip(breadth_m: float, *, power: float = THIN_POWER) -> Lip:
    """A sawn slab with a square edge, `breadth_m` long along the flow: a broad crest.

    C is Brater and King's; the band goes from the lesser of it and the square-edged crest of ISO 3846 to the larger of
    it and the ideal broad crest, whose edge is rounded.

    Parameters
    ----------
    breadth_m : float
        Of the slab along the flow [m].
    power : float
        With which the band widens in thin water [-].

    Returns
    -------
    Lip
        C [m^0.5/s]; its band widens from 0.2 ft of water down, where the table begins.

    Raises
    ------
    InputError
        If the breadth cannot be used.

    References
    ----------
    swmm-2, table 6-3; iso-3846, from memory; closed form (ideal broad crest).
    """
    refuse_unusable(positive={"breadth_m": breadth_m})
    table = broad_crest_table()
    column = [
        (head, read_between(list(zip(table.breadths_m, row, strict=True)), breadth_m))
        for head, row in zip(table.heads_m, table.c, strict=True)
    ]
    least, short, long = table.heads_m[0], table.breadths_m[0], table.breadths_m[-1]

    def value(head_m: float) -> float:
        return read_between(column, head_m)

    low, high = _thinned(
        lambda h: min(value(h), _SQUARE_EDGE * IDEAL_BROAD_C),
        lambda h: max(value(h), IDEAL_BROAD_C),
        least_m=least,
        power=power,
    )
    beyond = not short * (1.0 - 1e-9) <= breadth_m <= long * (1.0 + 1e-9)
    return Lip(
        kind="slab",
        value=value,
        low=low,
        high=high,
        least_m=least,
        method="broad crest, Brater and King",
        note=f"a slab {breadth_m:.2f} m long is outside the {short:.2f} to {long:.2f} m of the table of broad crests"
        if beyond
        else "",
    )


def sharp_lip(crest_height_m: float = math.inf, *, power: float = THIN_POWER) -> Lip:
    """A thin edge of metal, glass or acrylic from which the sheet springs.

    C is Kindsvater and Carter's for the full width; the band spans Rehbock's and Francis' as well. Under 5 mm each
    keeps what it has there: their corrections for thin water were never measured so far down.

    Parameters
    ----------
    crest_height_m : float
        P, crest above the bed upstream [m]; none or less counts as far less than the water is deep.
    power : float
        With which the band widens in thin water [-].

    Returns
    -------
    Lip
        C [m^0.5/s]; its band widens from 30 mm of water down.

    References
    ----------
    iso-1438 (Kindsvater and Carter), blevins-1984 (Rehbock), francis-1883. Common practice, no source: 3 % either way
    at least, which is how far they are apart where they were measured.
    """

    def by(law: Callable[..., float]) -> Callable[[float], float]:
        def c(head_m: float) -> float:
            head = max(head_m, LEAST_SHARP_M)
            height = min(max(crest_height_m, head / _MOST_OVER_HEIGHT), _FAR * head)
            return float(law(head, height) / head**1.5)

        return c

    value = by(lambda h, p: kindsvater_carter(h, 1.0, crest_height_m=p, width_correction_m=0.0).flow_m3s)
    other = by(lambda h, p: rehbock(h, 1.0, crest_height_m=p).flow_m3s)
    low, high = _thinned(
        lambda h: min((1.0 - _APART) * value(h), other(h), FRANCIS_C),
        lambda h: max((1.0 + _APART) * value(h), other(h), FRANCIS_C),
        least_m=LEAST_PUBLISHED_HEAD_M,
        power=power,
    )
    return Lip(
        kind="sharp",
        value=value,
        low=low,
        high=high,
        least_m=LEAST_PUBLISHED_HEAD_M,
        method="sharp crest, Kindsvater and Carter",
        note="the sharp crest stands less than 100 mm over its bed" if crest_height_m < 0.1 else "",
    )


def _thinned(
    low: Coefficient, high: Coefficient, *, least_m: float, power: float
) -> tuple[Callable[[float], float], Callable[[float], float]]:
    refuse_outside("power", power, -1e-12, 1.0)
    return (
        lambda h: coefficient_at(low, h) / thin_factor(h, least_m, power=power),
        lambda h: coefficient_at(high, h) * thin_factor(h, least_m, power=power),
    )


def head_on_lip(flow_m3s: float, width_m: float, coefficient: Coefficient) -> float:
    """Water on a crest [m] whose C may go by it: h = (Q / (C(h) b))^(2/3), put back until it stands.

    Parameters
    ----------
    flow_m3s, width_m : float
        [m3/s], [m].
    coefficient : Coefficient
        C [m^0.5/s], or C by the water on the crest [m]. It must change by less than the power 1.5 of that.

    Returns
    -------
    float
        [m].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: the inverse of Q = C b h^1.5.
    """
    refuse_unusable(not_negative={"flow_m3s": flow_m3s}, positive={"width_m": width_m})
    if flow_m3s == 0.0:
        return 0.0
    if not callable(coefficient):
        refuse_unusable(positive={"coefficient": coefficient})
        return float((flow_m3s / (coefficient * width_m)) ** (2.0 / 3.0))
    unit = flow_m3s / width_m

    def next_head(head_m: float) -> float:
        c = coefficient(head_m)
        if not 0.0 < c < math.inf:
            refuse_unusable(positive={"coefficient": c})
        return float((unit / c) ** (2.0 / 3.0))

    head = float((unit / FRANCIS_C) ** (2.0 / 3.0))
    for _ in range(_ROUNDS):
        one = next_head(head)
        two = next_head(one)
        if abs(two - one) <= _SETTLED * two or one == head:
            return two
        power = math.log(two / one) / math.log(one / head)  # with which C goes here: so it ends
        head = two * (two / one) ** (power / (1.0 - power)) if abs(power) < 1.0 else two
    return head
