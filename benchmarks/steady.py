"""Ten thousand designs of a stream, steady: compiled, against NumPy over them all and against plain Python one by one.

Both sides are the processor's own time of one thread.

Against plain Python 1,500 times are aimed at, and some 220 are had: 70 ns a station, of which each round of friction, a
cube root, two square roots and three divisions, takes some ten, four designs at once. 1,500 times would be 10 ns, one
round and nothing else; a better first guess saves one round of four, and a second thread is no less work.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from benchmarks.measure import Side
from benchmarks.over_time import busy

from rillwright.hydraulics import Section, SteadyChannel, by_ferguson, steady_profile, steady_streams

DESIGNS, BY_PYTHON = 10_000, 25
BEDS, PARTS = 5, 8
TIMES_PLAIN = 1_500.0


def designs(count: int = DESIGNS) -> dict[str, Any]:
    """Invented streams [SI] of five beds, eight parts each, between crests; every fifth bed is a slide."""
    chance = np.random.default_rng(4)
    flow, width = 10 ** chance.uniform(-3.3, -2.3, count), chance.uniform(0.5, 1.2, count)
    water = (flow / (1.64 * 0.6 * width)) ** (2 / 3)
    slide, share = chance.integers(0, BEDS, count), np.linspace(0, 1, PARTS + 1)[:, None]
    at, level = np.zeros(count), np.full(count, 2.0)
    stations, beds, held = [], [], []
    for bed in range(BEDS):
        steep = slide == bed
        length = chance.uniform(1.0, 3.0, count)
        pitch = np.where(steep, chance.uniform(0.02, 0.10, count) * length, chance.uniform(0.0, 0.03, count))
        crest = np.full((PARTS + 1, count), -np.inf)
        crest[-1] = level - pitch + np.where(steep, -0.02, chance.uniform(0.02, 0.08, count)) + water
        stations.append(at + share * length)
        beds.append(level - share * pitch)
        held.append(crest)
        at, level = at + length + 0.02, level - pitch - chance.uniform(0.05, 0.30, count)
    return {
        "flow_m3s": flow,
        "beds_m": np.concatenate(beds),
        "stations_m": np.concatenate(stations),
        "widths_m": width,
        "grain_d84_m": chance.uniform(0.01, 0.06, count),
        "level_m": np.full(count, -np.inf),
        "held_m": np.concatenate(held),
    }


def batch(engine: str) -> Side:
    """Time [s] of the whole batch."""
    case = designs()
    return lambda: busy(lambda: steady_streams(**case, engine=engine))


def one_by_one() -> Side:
    """Time [s] that the batch may take: that of the plain profile for each design, from some of them, over the aim."""
    case = designs()
    calls = [_plain(case, at) for at in range(BY_PYTHON)]
    return lambda: busy(lambda: [call() for call in calls]) * DESIGNS / BY_PYTHON / TIMES_PLAIN


def _plain(case: dict[str, Any], at: int) -> Callable[[], object]:
    channel = SteadyChannel(
        stations_m=tuple(case["stations_m"][:, at].tolist()),
        beds_m=tuple(case["beds_m"][:, at].tolist()),
        sections=(Section(bottom_m=float(case["widths_m"][at])),),
        law=by_ferguson(float(case["grain_d84_m"][at])),
        held_m=tuple(case["held_m"][:, at].tolist()),
    )
    return lambda: steady_profile(float(case["flow_m3s"][at]), channel)
