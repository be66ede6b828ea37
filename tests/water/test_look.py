"""How crests read: flows per width of the trade (common practice, no source), and the valve's range."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape.sample import four_drops

from rillwright.feature import Fall, Feature, Look
from rillwright.shape import shape
from rillwright.units import parse
from rillwright.water import StreamLook, Water, water
from rillwright.water.look import reads


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


def per_inch(gallons: float) -> float:
    return float(parse(f"{gallons:g} US gal/h per in", "flow_per_width").si)


@pytest.mark.parametrize(
    ("gallons", "look"),
    [(20, "dribble"), (60, "quiet"), (100, "quiet"), (125, "lively"), (150, "loud"), (250, "loud"), (400, "flood")],
)
def test_flow_per_inch_of_crest(gallons: float, look: str) -> None:
    """Common practice, no source: 100, 125, 150 US gal/h per inch for quiet, lively, loud."""
    assert reads(per_inch(gallons)) == look


def look_of(wished: Look, *, flow: float = 0.0025, **fall: object) -> StreamLook:
    drawn = four_drops(pump=None)
    stream = drawn.streams[0]
    links = tuple(replace(link, **fall) if isinstance(link, Fall) else link for link in stream.links)
    drawn = replace(
        drawn,
        streams=(replace(stream, look=wished, links=links),),
        runs=(replace(drawn.runs[0], wanted_m3s=flow),),
    )
    return solved(drawn).looks[0]


def test_the_valve_has_the_range_of_the_look() -> None:
    """Sealed crests 0.40 m wide: from 90 to 175 US gal/h per inch, by plain multiplication."""
    found = look_of(Look.LIVELY)
    assert found.from_m3s == pytest.approx(per_inch(90) * 0.40)
    assert found.to_m3s == pytest.approx(per_inch(175) * 0.40)
    assert found.runs == ("run",)
    assert [crest.reads for crest in found.crests] == [reads(0.0025 / 0.40)] * 4


def test_what_goes_under_the_stones_is_added() -> None:
    sealed, seeping = look_of(Look.LIVELY), look_of(Look.LIVELY, sealed=False)
    assert seeping.from_m3s > sealed.from_m3s


def test_within_its_range_every_crest_reads_as_wished() -> None:
    span = look_of(Look.QUIET)
    for flow in (1.05 * span.from_m3s, 0.95 * span.to_m3s):
        found = look_of(Look.QUIET, flow=flow)
        assert found.from_m3s <= found.flow_m3s.value <= found.to_m3s
        assert all(crest.from_m3s <= flow <= crest.to_m3s for crest in found.crests)


def test_where_all_goes_under_the_stones_a_crest_is_dry() -> None:
    """A trickle goes under every stone that is not sealed, below the first, whose gravel nothing drives."""
    assert [crest.reads for crest in look_of(Look.QUIET, flow=1e-9, sealed=False).crests[1:]] == ["dry"] * 3
