"""Many streams at once: the compiled kernel, its NumPy twin and the plain profile say the same."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from rillwright.errors import InputError
from rillwright.hydraulics import Section, SteadyChannel, StreamBatch, by_ferguson, steady_profile, steady_streams

BEDS, PARTS = 4, 9


class Designs:
    """Streams of four beds with crests between them, one of the beds a slide; another seed, other streams."""

    def __init__(self, count: int, seed: int, *, narrowing: bool = False) -> None:
        rng = np.random.default_rng(seed)
        self.flow = 10 ** rng.uniform(-3.3, -2.2, count)
        self.grain = rng.uniform(0.01, 0.06, count)
        width = rng.uniform(0.5, 1.2, count)
        share = np.linspace(0, 1, PARTS)[:, None]
        slide = rng.integers(0, BEDS, count)
        stations, beds, held = [], [], []
        at, level = np.zeros(count), np.full(count, 2.0)
        water = (self.flow / (1.6 * 0.6 * width)) ** (2 / 3)
        for bed in range(BEDS):
            length, pitch = rng.uniform(1, 3, count), rng.uniform(-0.01, 0.03, count)
            pitch = np.where(slide == bed, rng.uniform(0.05, 0.4, count), pitch)
            stations.append(at + share * length)
            beds.append(level - share * pitch)
            crest = np.full((PARTS, count), -np.inf)
            crest[-1] = level - pitch + np.where(slide == bed, -0.5, rng.uniform(0.02, 0.08, count)) + water
            held.append(crest)
            at, level = at + length + 0.02, level - pitch - rng.uniform(0.05, 0.3, count)
        self.stations, self.beds, self.held = map(np.concatenate, (stations, beds, held))
        narrow = rng.uniform(0.7, 1.0, self.beds.shape) if narrowing else 1.0
        self.widths: NDArray[np.float64] = np.broadcast_to(width, self.beds.shape) * narrow
        self.level = np.where(rng.random(count) < 0.5, -np.inf, self.beds[-1] + 0.08)

    def solved(self, engine: str) -> StreamBatch:
        return steady_streams(
            self.flow,
            beds_m=self.beds,
            stations_m=self.stations,
            widths_m=self.widths,
            grain_d84_m=self.grain,
            level_m=self.level,
            held_m=self.held,
            engine=engine,
        )

    def plain(self, at: int) -> list[float]:
        channel = SteadyChannel(
            stations_m=tuple(self.stations[:, at].tolist()),
            beds_m=tuple(self.beds[:, at].tolist()),
            sections=tuple(Section(bottom_m=width) for width in self.widths[:, at].tolist()),
            law=by_ferguson(float(self.grain[at])),
            held_m=tuple(self.held[:, at].tolist()),
        )
        level = float(self.level[at])
        return list(
            steady_profile(float(self.flow[at]), channel, level_m=level if np.isfinite(level) else None).depths_m
        )


@pytest.mark.parametrize("narrowing", [False, True])
def test_three_ways_agree(narrowing: bool) -> None:
    designs = Designs(75, seed=7, narrowing=narrowing)
    compiled, twin = designs.solved("compiled"), designs.solved("numpy")
    assert (compiled.engine, twin.engine) == ("compiled", "numpy")
    assert compiled.settled.all()
    assert twin.settled.all()
    assert np.allclose(compiled.depth_m, twin.depth_m, rtol=0, atol=1e-7)
    assert (compiled.shooting == twin.shooting).all()
    for at in range(0, 75, 3):
        assert compiled.depth_m[:, at] == pytest.approx(designs.plain(at), abs=1e-7)


def test_what_it_tells_hangs_together() -> None:
    found = Designs(200, seed=11).solved("")
    designs = Designs(200, seed=11)
    assert np.allclose(found.speed_ms * found.depth_m * designs.widths, designs.flow)
    assert np.allclose(found.level_m, designs.beds + found.depth_m)
    assert (found.froude[found.shooting] > 1).all()
    assert found.shooting.any()
    energy = found.level_m + found.speed_ms**2 / (2 * 9.80665)
    assert (np.diff(energy, axis=0) <= 1e-9).all()


def test_bad_designs_are_named() -> None:
    good = Designs(3, seed=1)
    good.flow[1] = 0.0
    good.grain[2] = -0.1
    with pytest.raises(InputError) as refused:
        good.solved("numpy")
    assert [problem.field for problem in refused.value.problems] == ["flow_m3s", "grain_d84_m"]
    good = Designs(3, seed=1)
    good.stations[4, 0] = good.stations[3, 0]
    with pytest.raises(InputError, match="stations_m"):
        good.solved("numpy")
    with pytest.raises(InputError, match="engine"):
        Designs(3, seed=1).solved("fast")
    with pytest.raises(InputError, match="shape"):
        steady_streams(0.003, beds_m=0.0, stations_m=1.0, widths_m=0.6, grain_d84_m=0.02, level_m=0.0)
