"""Words of the papers: soil by the yard, water by the gallon; a default's source by its short name."""

from __future__ import annotations

from rillwright.packet.assumed import _briefly
from rillwright.packet.say import Say
from rillwright.units import Term


def test_soil_is_told_by_the_yard_and_water_by_the_gallon() -> None:
    """1 cu yd is 0.764554857984 m3 and 201.97 US gal (NIST SP 811, from memory)."""
    yard = 0.764554857984
    soil = Term(name="dug, in the bank", value=10 * yard, unit="m3", kind="earth")
    water = Term(name="hole", value=yard, unit="m3")
    assert Say("us").terms([soil]) == "dug, in the bank 10 cu yd"
    assert Say("us").terms([water]) == "hole 202 US gal"
    assert Say("metric").terms([soil]) == "dug, in the bank 7.6 m\u00b3"


def test_a_default_is_told_by_the_short_name_of_its_source() -> None:
    assert _briefly("epanet-2.2") == "handbook value, source epanet-2.2"
    assert _briefly("common practice") == "common practice, no source"
