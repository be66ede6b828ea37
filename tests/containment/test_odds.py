"""Odds of spilling: one rim against the normal in closed form, random rims against brute force, and what must hold."""

from __future__ import annotations

import math
from functools import cache

import msgspec
import numpy as np
import pytest
from msgspec.structs import replace
from scipy.stats import norm
from tests.containment.made import POND, oval, ring, surface, wet
from tests.shape import sample

from rillwright.containment import Odds, spill_odds
from rillwright.containment.odds import lowest, nominal_of, recomputed
from rillwright.containment.odds_errors import drawn, places_of, usual_errors, waters_of
from rillwright.errors import Cancelled, NoAnswer
from rillwright.feature import Feature, Level, Origin
from rillwright.feature import Surface as Of
from rillwright.shape import RimLine
from rillwright.units import Band
from rillwright.water import Water

PLACED_M, SHARED_M, ALONG_M, SETTLES = 0.010, 0.003, 3.048, 0.5  # the defaults, which are our own
SAMPLES = 10_000


@cache
def pond() -> Feature:
    """A pond alone: its waterline is exact, no stream runs into it and no lap stands against it."""
    return replace(brook(), streams=())


@cache
def brook() -> Feature:
    feature = sample.four_drops()
    bodies = tuple(
        replace(body, waterline=replace(body.waterline, sigma_m=0.0, setup="day 1")) for body in feature.bodies
    )
    return replace(feature, bodies=bodies, laps=())


def one_place(top_m: float, *, sigma_m: float = 0.0, settles_m: float = 0.0, setup: str = "day 1") -> RimLine:
    """A rim of which one place alone can spill: the others stand 9 m higher."""
    rim = ring([(0.0, 0.0), (40.0, 0.0), (0.0, 40.0)], [top_m, 9.0, 9.0], sigma_m=sigma_m)
    return replace(rim, points=tuple(replace(point, settles_m=settles_m, setup=setup) for point in rim.points))


def asked(rim: RimLine, water: Water, *, feature: Feature | None = None, seed: int = 1, samples: int = SAMPLES) -> Odds:
    return spill_odds(feature or pond(), water, surface=surface(rim), samples=samples, seed=seed)


def within(found: float, exact: float, samples: int = SAMPLES) -> bool:
    """Within three standard errors of a share of so many samples."""
    return abs(found - exact) <= 3.0 * math.sqrt(exact * (1.0 - exact) / samples)


# One rim, in closed form


@pytest.mark.parametrize("spare_m", [0.0, 0.015, 0.030, -0.020])
@pytest.mark.parametrize("setup", ["day 1", "day 2"])
def test_one_rim_is_the_normal(spare_m: float, setup: str) -> None:
    """Sum of independent normal errors: its variance is the sum of theirs (closed form)."""
    band = 0.012
    rim = one_place(spare_m, sigma_m=0.006, settles_m=0.020, setup=setup)
    water = wet(-0.5, 0.0)
    highs = tuple(
        replace(high, level_m=Band(high.level_m.value, *_ends(high.level_m.value, band))) for high in water.highest
    )
    shared = 0.0 if setup == "day 1" else 2.0 * SHARED_M**2  # rim and water from one set-up: it drops out
    sigma = math.sqrt(PLACED_M**2 + 0.006**2 + (SETTLES * 0.020) ** 2 + shared + (band / 1.96) ** 2)
    found = asked(rim, replace(water, highest=highs))
    exact = float(norm.cdf(-spare_m / sigma))
    assert within(found.chance, exact)
    assert found.chance_error == pytest.approx(math.sqrt(exact * (1 - exact) / SAMPLES), rel=0.1)
    assert found.waters[0].spare_m.value == pytest.approx(spare_m, abs=0.0006)
    assert found.waters[0].spare_m.high - spare_m == pytest.approx(1.645 * sigma, abs=0.0012)


def _ends(value: float, band: float) -> tuple[float, float]:
    return value - band, value + band


def test_what_the_waterline_hangs_from_is_in_it() -> None:
    body = pond().bodies[0]
    level = Level(0.0, Of.WATER, Origin.MEASURED, "a mark", 0.02, "day 1")
    feature = replace(pond(), bodies=(replace(body, waterline=level), *pond().bodies[1:]))
    found = asked(one_place(0.02), wet(0.0), feature=feature)
    assert within(found.chance, float(norm.cdf(-0.02 / math.hypot(0.02, PLACED_M))))


def test_a_rim_shot_when_built_is_not_placed_again() -> None:
    """At the shot only its own error is left; half a length of placing away, what does not carry on (closed form)."""
    body = pond().bodies[0]
    top = Level(0.02, Of.LINER, Origin.BUILT, "a shot", 0.003, "day 1")
    shot = replace(body.rims[0], id="r", at=(0.0, 0.0), top=top)
    feature = replace(pond(), bodies=(replace(body, rims=(shot,)), *pond().bodies[1:]))
    there = asked(one_place(0.004, sigma_m=0.003), wet(0.0), feature=feature)
    assert within(there.chance, float(norm.cdf(-0.004 / 0.003)))
    away = 1.5
    rim = ring([(0.0, 0.0), (away, 0.0), (0.0, 9.0)], [9.0, 0.004, 9.0])
    left = PLACED_M * math.sqrt(1.0 - math.exp(-2.0 * away / ALONG_M))
    assert within(asked(rim, wet(0.0), feature=feature).chance, float(norm.cdf(-0.004 / left)))


# Random rims, by brute force


def random_rim(seed: int) -> RimLine:
    """An oval with ten readings, its tops, settlement and uneven ground at random; most cm above the water."""
    rng = np.random.default_rng(seed)
    rim = ring(oval(40), rng.uniform(0.02, 0.08, 40).tolist())
    points = []
    for k, point in enumerate(rim.points):
        rough = 0.0 if k % 4 == 0 else float(rng.uniform(0.0, 0.02))
        points.append(
            replace(
                point, by=f"rims/{k // 4}", sigma_m=math.hypot(0.004, rough), settles_m=float(rng.uniform(0.0, 0.02)),
                setup="day 1" if k < 20 else "day 2",
            )
        )  # fmt: skip
    return replace(rim, points=tuple(points))


def covariance(rim: RimLine) -> np.ndarray:
    """What any two places are off together [m2], one by one from what is said of the errors."""
    points, count = rim.points, len(rim.points)
    readings = [k for k in range(count) if k % 4 == 0]
    shares = np.zeros((count, len(readings)))
    for k, point in enumerate(points):
        one = k // 4
        start = points[readings[one]].along_m
        end = points[readings[one + 1]].along_m if one + 1 < len(readings) else rim.length_m
        far = (point.along_m - start) / (end - start)
        shares[k, one] += 1.0 - far
        shares[k, (one + 1) % len(readings)] += far
        shares[k] /= math.sqrt(float((shares[k] ** 2).sum()))
    found = np.zeros((count, count))
    for i, a in enumerate(points):
        for j, b in enumerate(points):
            alike = float(shares[i] @ shares[j])
            rough = [math.sqrt(each.sigma_m**2 - 0.004**2) for each in (a, b)]
            placed = math.hypot(PLACED_M, rough[0]) * math.hypot(PLACED_M, rough[1])
            found[i, j] += 0.004**2 * alike + placed * math.exp(-abs(a.along_m - b.along_m) / ALONG_M)
            found[i, j] += SETTLES**2 * a.settles_m * b.settles_m * alike
            shared = [0.0 if each.setup == "day 1" else 1.0 for each in (a, b)]  # less that of the water's set-up
            found[i, j] += 2.0 * SHARED_M**2 * shared[0] * shared[1]
    return found


@pytest.mark.parametrize("seed", range(10))
def test_ten_random_rims_by_brute_force(seed: int) -> None:
    """The chance is that of normal errors of that covariance, drawn otherwise; and each sample is what containment,
    run anew on the moved rim, says.
    """
    rim, water = random_rim(seed), wet(0.0)
    found = asked(rim, water, seed=seed)
    rng = np.random.default_rng(1000 + seed)
    tops = np.array([point.top_m for point in rim.points])
    errors = rng.multivariate_normal(np.zeros(len(tops)), covariance(rim), size=SAMPLES, method="eigh")
    share = float(((tops + errors).min(axis=1) < 0.0).mean())
    both = math.sqrt(2.0 * share * (1.0 - share) / SAMPLES)  # both are drawn
    assert 0.005 < share < 0.995
    assert abs(found.chance - share) <= 3.0 * both
    assert found.confirmed.agree == found.confirmed.samples >= 3

    nominal = nominal_of(pond(), water, surface(rim))
    setups, usual = ["day 1", "day 2"], usual_errors()
    waters = waters_of(pond(), water.highest, setups)
    places = replace(places_of(pond(), nominal.rims, nominal.laps, setups=setups, usual=usual), water=nominal.water)
    some = drawn(places, waters, usual, setups=2, samples=20, rng=np.random.default_rng(seed))
    least, _ = lowest(nominal, waters, some)
    for k in range(20):
        one = replace(some, tops_m=some.tops_m[:, [k]], waters_m=some.waters_m[:, [k]])
        again = recomputed(pond(), water, surface(rim), nominal=nominal, paths=waters.paths, errors=one)
        assert again == pytest.approx(least[:, k], abs=1e-12)


# What must hold


def test_the_same_seed_gives_the_same_bytes() -> None:
    rim = random_rim(3)
    first, again, other = (msgspec.json.encode(asked(rim, wet(0.0), seed=seed)) for seed in (4, 4, 5))
    assert first == again != other


def test_more_tolerance_never_spills_less() -> None:
    rim = random_rim(2)
    chances = []
    for times in (1.0, 2.0, 4.0):
        points = tuple(replace(point, sigma_m=times * point.sigma_m) for point in rim.points)
        chances.append(asked(replace(rim, points=points), wet(0.0)).chance)
    assert chances == sorted(chances)
    assert chances[0] < chances[2]


def test_raising_a_rim_never_spills_more() -> None:
    rim = random_rim(1)
    points = tuple(replace(point, top_m=point.top_m + 0.01 * (k % 3)) for k, point in enumerate(rim.points))
    assert asked(replace(rim, points=points), wet(0.0)).chance <= asked(rim, wet(0.0)).chance


def test_the_worst_rim_is_named_with_its_share() -> None:
    rim = ring(oval(40), [0.02] * 20 + [0.30] * 20)
    points = tuple(replace(point, by=f"rims/{k // 20}") for k, point in enumerate(rim.points))
    found = asked(replace(rim, points=points), wet(0.0)).waters[0]
    assert [each.path for each in found.worst] == ["rims/0"]
    assert found.worst[0].share == found.chance > 0.01


def test_were_the_ground_between_readings_known_less_would_be_left() -> None:
    rim = random_rim(0)
    found = asked(rim, wet(0.0))
    assert found.chance_if_read < found.chance
    smooth = tuple(replace(point, sigma_m=0.004) for point in rim.points)
    assert asked(replace(rim, points=smooth), wet(0.0)).chance == found.chance_if_read


def test_only_the_ordinary_cases_count_unless_others_are_asked_for() -> None:
    rim, water = one_place(0.1), wet(0.0, 0.0, 0.0, 0.2)
    assert asked(rim, water).chance == 0.0
    assert asked(rim, water).cases == ("rest", "stopped")
    assert spill_odds(pond(), water, surface=surface(rim), cases=("design rain",), samples=100).chance == 1.0


def test_an_unsealed_lap_is_a_place_of_its_water_and_a_sealed_one_is_not() -> None:
    lap = next(lap for lap in sample.four_drops().laps if lap.body == "pond")
    low = replace(lap, upturn=Level(-0.2, Of.LINER, Origin.PLANNED, "made"), sealed=False)
    held = asked(one_place(0.3), wet(0.0), feature=replace(pond(), laps=(low,)))
    assert held.chance == 1.0
    assert held.waters[0].worst[0].path == f"laps/{lap.id}"
    assert held.confirmed.agree == held.confirmed.samples
    assert asked(one_place(0.3), wet(0.0), feature=replace(pond(), laps=(replace(low, sealed=True),))).chance == 0.0


def test_a_reach_spills_by_itself() -> None:
    """Water that leaves a reach does not fill the pond: each has its own chance, the feature both."""
    reaches = [f"reaches/{reach.id}" for reach in brook().reaches]
    pond_rim = one_place(0.02)
    bank = replace(one_place(0.02), path="streams/s", closed=False)
    points = tuple(replace(point, water=reaches[0], by=f"{reaches[0]}.bank") for point in bank.points)
    bank = replace(bank, points=points)
    highs = [wet(0.0 if path == reaches[0] else -9.0, path=path).highest for path in reaches]
    water = replace(wet(0.0), highest=sum(highs, wet(0.0).highest))
    both = replace(surface(pond_rim), rims=(pond_rim, bank))
    found = spill_odds(brook(), water, surface=both, samples=SAMPLES)
    by = {each.water: each.chance for each in found.waters}
    assert set(by) == {POND, reaches[0]}
    assert max(by.values()) < found.chance < sum(by.values())


def test_without_rims_or_when_stopped_there_is_no_answer() -> None:
    with pytest.raises(NoAnswer, match="no rim stands against water"):
        asked(one_place(0.1), wet(0.0, path="reaches/nowhere"))
    with pytest.raises(Cancelled, match="stopped by hand"):
        spill_odds(pond(), wet(0.0), surface=surface(one_place(0.1)), progress=lambda share, doing: False)
