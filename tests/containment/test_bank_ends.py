"""The bank at the ends of its bed: as it stands once its fill has settled, for findings, kits and comparisons alike."""

from __future__ import annotations

import pytest
from tests.examples.folders import EXAMPLES, NAMES
from tests.shape import sample

from rillwright.assessment import Containment
from rillwright.containment import Freeboard, RimProfile, SparePoint
from rillwright.containment.bank_ends import NEAR_M, bank_settled
from rillwright.feature import Feature
from rillwright.job import judge, open
from rillwright.units import Band
from rillwright.water import HighWater

FEATURE = sample.four_drops()
PATH = f"reaches/{FEATURE.reaches[0].id}"


def built(spare_m: float, feature: Feature = FEATURE) -> Freeboard:
    against = HighWater(path=PATH, case="rest", holding="at rest", level_m=Band.exact(0.0), method="by hand")
    return Freeboard(
        path=f"{PATH}.bank", kind="bank", top_m=Band.exact(spare_m), against=against,
        freeboard_m=Band.exact(spare_m), berm_needed_m=None, run_m=None,
    )  # fmt: skip


def place(off_m: float, spare_m: float) -> RimProfile:
    """One place of the bank, so far inside its bed from the lower end [m]."""
    reach = FEATURE.reaches[0]
    point = SparePoint(
        at=(0.0, 0.0), along_m=0.0, top_m=Band.exact(1.0), water_m=Band.exact(1.0 - spare_m),
        spare_m=Band.exact(spare_m), path=f"{PATH}.bank", water=PATH, case="half blocked", holding="while running",
        station_m=reach.station_m + reach.length_m - off_m,
    )  # fmt: skip
    return RimProfile(path="ponds/pond", kind="outer", closed=True, length_m=9.0, points=(point,), lowest=0)


def test_it_stands_as_its_fill_has_settled() -> None:
    found = bank_settled(built(0.10), FEATURE, [place(0.0, 0.08)])
    assert found.freeboard_m == Band.exact(0.08)
    assert (found.against.case, found.against.level_m) == ("half blocked", Band.exact(0.92))


def test_what_lies_further_in_is_another_matter() -> None:
    assert bank_settled(built(0.10), FEATURE, [place(NEAR_M + 0.01, 0.02)]) == built(0.10)


def test_it_never_stands_higher_than_it_is_built() -> None:
    assert bank_settled(built(0.10), FEATURE, [place(0.0, 0.12)]) == built(0.10)


@pytest.mark.parametrize("name", NAMES)
def test_tops_of_banks_are_no_higher_than_the_rim_as_it_runs_at_their_ends(name: str) -> None:
    assessment = judge(open(EXAMPLES / name)).assessment
    containment = assessment.containment
    assert isinstance(containment, Containment)
    tops = {top.path: top.freeboard_m.value for top in containment.tops if top.kind == "bank"}
    assert tops
    for reach in assessment.feature.reaches:
        ends = (reach.station_m, reach.station_m + reach.length_m)
        at_ends = [
            point.spare_m.value
            for profile in containment.profiles
            for point in profile.points
            if point.water == f"reaches/{reach.id}"
            and point.station_m is not None
            and min(abs(point.station_m - end) for end in ends) <= NEAR_M
        ]
        assert tops[f"reaches/{reach.id}.bank"] <= min(at_ends) + 1e-9
    assert containment.spills_first == min(containment.tops, key=lambda top: top.freeboard_m.value).path
