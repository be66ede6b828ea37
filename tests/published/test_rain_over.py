"""Rain that an overflow carries, and broad weirs, in the units of their pages.

'Computed independently' rows were worked out by plain arithmetic apart from this code.
"""

from __future__ import annotations

import pytest
from tests.published.rows import Row, check

from rillwright.hydraulics import caught_rain, flow_on_crest, head_on_crest
from rillwright.units import parse

COMPUTED = "computed independently"
SDSU = "San Diego State Univ., CIVE 530, solved midterms: 20 ft, 0.8 ft, C 3.09 (it calls the flow yc)"
RATIONAL = "rational rule 0.9 x 6 in/h x 1,900 sq ft, exact units, computed independently; with its factor as 1: 0.2355"
FT = 0.3048
INCH = FT / 12
CFS = parse("1 cfs", "flow").si
GPM = parse("1 gpm", "flow").si


def weir(head_ft: float, c_us: float, *, width_ft: float = 1.0) -> float:
    """Flow [m3/s] over a weir by its C in feet and seconds."""
    return flow_on_crest(head_ft * FT, width_ft * FT, c_us * FT**0.5)


def peak() -> float:
    """Flow [m3/s] off 1,900 sq ft at 6 in an hour, nine tenths of it running off."""
    return caught_rain(6 * INCH, [(1900 * FT**2, 0.9)]) / 3600


def storm() -> float:
    return caught_rain(5 * INCH, [(400 * FT**2, 1.0)])


ROWS = {
    "1 in, C 2.6, cfs": Row(lambda: weir(1 / 12, 2.6) / CFS, "0.0625", COMPUTED),
    "1 in, C 2.6, gpm": Row(lambda: weir(1 / 12, 2.6) / GPM, "28.1", COMPUTED),
    "2 in, C 2.6, cfs": Row(lambda: weir(2 / 12, 2.6) / CFS, "0.1769", COMPUTED),
    "2 in, C 2.6, gpm": Row(lambda: weir(2 / 12, 2.6) / GPM, "79.4", COMPUTED),
    "3 in, C 2.6, cfs": Row(lambda: weir(3 / 12, 2.6) / CFS, "0.325", COMPUTED),
    "3 in, C 2.6, gpm": Row(lambda: weir(3 / 12, 2.6) / GPM, "145.9", COMPUTED),
    "6 in, C 3.087, cfs": Row(lambda: weir(6 / 12, 3.087) / CFS, "1.0914", COMPUTED),
    "6 in, C 3.087, gpm": Row(lambda: weir(6 / 12, 3.087) / GPM, "489.9", COMPUTED),
    "20 ft under 0.8 ft": Row(lambda: weir(0.8, 3.09, width_ft=20) / CFS, "44.22", SDSU, seen=True),
    "5 in on 400 sq ft, cu ft": Row(lambda: storm() / FT**3, "166.67", COMPUTED),
    "5 in on 400 sq ft, gal": Row(lambda: storm() / parse("1 US gal", "volume").si, "1246.8", COMPUTED),
    "rational, cfs": Row(lambda: peak() / CFS, "0.2375", RATIONAL),
    "rational, gpm": Row(lambda: peak() / GPM, "106.6", RATIONAL),
    "rational, over 1 ft": Row(lambda: head_on_crest(peak(), FT, 2.6 * FT**0.5) / INCH, "2.43", RATIONAL),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)
