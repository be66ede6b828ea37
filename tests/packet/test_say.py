"""Words of the papers: soil by the yard, water by the gallon; a default's source by its short name."""

from __future__ import annotations

import pytest

from rillwright.packet.say import Say, rough
from rillwright.units import Term


def test_soil_is_told_by_the_yard_and_water_by_the_gallon() -> None:
    """1 cu yd is 0.764554857984 m3 and 201.97 US gal (NIST SP 811, from memory)."""
    yard = 0.764554857984
    soil = Term(name="dug, in the bank", value=10 * yard, unit="m3", kind="earth")
    water = Term(name="hole", value=yard, unit="m3")
    assert Say("us").terms([soil]) == "dug, in the bank 10 cu yd"
    assert Say("us").terms([water]) == "hole 202 US gal"
    assert Say("metric").terms([soil]) == "dug, in the bank 7.6 m\u00b3"


@pytest.mark.parametrize(
    ("printed", "said"),
    [("57.9 to 144 W", "58 to 140 W"), ("65.6 to 139 lb", "66 to 140 lb"), ("2.4 to 3.4 tons", "2.4 to 3.4 tons")],
)
def test_a_guess_has_two_digits(printed: str, said: str) -> None:
    assert rough(printed) == said
