"""A stream over time: half an hour on 400 cells, compiled, against its NumPy twin and against the time it stands for.

Both sides are the processor's own time of one thread: a pause of the machine is no time of the method.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from importlib.util import find_spec

import numpy as np
from benchmarks.measure import Side, Unmeasured

from rillwright.hydraulics import (
    Channel,
    ChannelState,
    Joint,
    JointKind,
    ferguson_drag,
    held_m3,
    run_channel,
    still_water,
    straight_channel,
)

CELLS, LENGTH_M, HALF_HOUR_S = 400, 20.0, 1800.0
TWIN_S = 20.0  # simulated by the twin; its time is taken times ninety
TIMES_REAL = 3000.0
MOST_DRIFT = 1e-12


def busy(call: Callable[[], object]) -> float:
    """Time [s] for which one call keeps the processor busy."""
    start = time.thread_time()
    call()
    return time.thread_time() - start


def stream() -> tuple[Channel, ChannelState]:
    """2.5 L/s down 20 m of rough bed at 3 in 100 and over a crest, dry at first."""
    step = LENGTH_M / CELLS
    bed = np.asarray(0.6 - 0.03 * (np.arange(CELLS) + 0.5) * step, np.float64)
    crest = Joint(face=0, kind=JointKind.CREST, first=float(bed[-1]) + 0.05, second=0.6, third=1.64)
    channel = straight_channel(
        bed,
        step,
        width_m=0.9,
        drag=ferguson_drag(0.019),
        banks_wet=True,
        upstream=Joint(face=0, kind=JointKind.INFLOW, first=0.0025),
        downstream=crest,
    )
    return channel, still_water(channel, np.zeros(CELLS))


def half_an_hour() -> Side:
    """The compiled steps from dry; what ran in and did not run out must be there at the end."""
    channel, dry = stream()

    def once() -> float:
        if find_spec("numba") is None:
            raise Unmeasured("numba is not installed")
        took = busy(lambda: run_channel(channel, dry, HALF_HOUR_S, engine="numba"))
        run = run_channel(channel, dry, HALF_HOUR_S, engine="numba")
        held = held_m3(channel, run.state)
        drift = abs(float(run.through_m3[0] - run.through_m3[-1]) - held) / held
        if drift > MOST_DRIFT:
            raise Unmeasured(f"water is lost: {drift:.1e} of it, {MOST_DRIFT:.0e} at most")
        return took

    return once


def by_the_twin() -> Side:
    """The same steps in NumPy, a part of them, once the water runs."""
    channel, dry = stream()
    running = run_channel(channel, dry, 300.0).state

    def once() -> float:
        return busy(lambda: run_channel(channel, running, TWIN_S, engine="numpy")) * HALF_HOUR_S / TWIN_S

    return once


def share_of_real_time() -> Side:
    """The time that the half hour may take: a three-thousandth of it."""
    return lambda: HALF_HOUR_S / TIMES_REAL
