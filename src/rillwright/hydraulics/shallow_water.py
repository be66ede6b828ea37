"""One-dimensional shallow water on a varying bed and width: the channel, its joints, and running it for a while.

MUSCL-Hancock with minmod slopes, HLL fluxes, hydrostatic reconstruction (Audusse et al. 2004), friction implicit.
Water at rest stays at rest, depths stay positive, mass is exact: what leaves a cell enters its neighbour or is counted
at a joint. The same steps are written twice, for NumPy and for numba; `run_channel` takes the compiled ones if numba
is there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from enum import IntEnum

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics.shallow_water_twin import advance as advance_numpy

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

DRY_M = 1e-6  # a film thinner than this does not move
MOST_STEPS = 2_000_000  # of one call; a garden stream needs some forty a second
FERGUSON_A1, FERGUSON_A2 = 6.5, 2.5


class JointKind(IntEnum):
    """What happens at a face that is no plain one."""

    WALL = 0
    CREST = 1  # over a sill, both ways, drowned from below; first: level, width, C
    INFLOW = 2  # a given flow enters the cell after the face; first: flow
    DEPTH = 3  # the cell after the face is held at a depth
    OPEN = 4  # the cell after the face is like the one before it
    GIVEN = 5  # the cell before the face is held at a depth and a speed
    STONE = 6  # a further stone, not below it, of the crest at the same face that comes after it in the row


class Joint(Struct, frozen=True, kw_only=True):
    """A face, counted from 0 between cell 0 and cell 1, at which something other than plain flow happens.

    `first`, `second`, `third`: crest level [m], width [m], C [m^0.5/s] of a crest; flow [m3/s] of an inflow; depth [m]
    and speed [m/s] of what is given. `tilt` [m] is how much higher the other end of a crest lies than its level.
    """

    face: int
    kind: JointKind
    first: float = 0.0
    second: float = 0.0
    third: float = 0.0
    tilt: float = 0.0


class Drag(Struct, frozen=True, kw_only=True):
    """Friction slope S = (a / R^2 + m R^(-1/3)) U|U| / (g R): both laws in one form."""

    a: float  # [m2]
    m: float  # [m^(1/3)]


class Channel(Struct, frozen=True, kw_only=True):
    """Cells in a row, the first and the last outside the channel; arrays of one value a cell or a face.

    `bed`, `length`, `width` [m] and `drag_a` [m2], `drag_m` [m^(1/3)] by cell; `face_width` [m] by face between them.
    `wall` [1/m] is 2/width where the banks wet too, else 0. Cells named in `still` take no part: they stand between
    channels that lie one after the other in the row.
    """

    bed: Floats
    length: Floats
    width: Floats
    face_width: Floats
    drag_a: Floats
    drag_m: Floats
    wall: Floats
    joints: tuple[Joint, ...]
    still: tuple[int, ...] = ()
    gravity_ms2: float = GRAVITY_MS2

    @property
    def plan_m2(self) -> Floats:
        """Plan area of each cell [m2], none of those outside."""
        return self.width * self.length * _inside(self)


class ChannelState(Struct, frozen=True, kw_only=True):
    """Depth [m] and speed [m/s] by cell; friction [1/m] as the last step left it; the next time step to try [s].

    `rest` [m] is what the depth is too coarse a number to hold: it is carried on, so that no water is lost to rounding.
    """

    depth: Floats
    speed: Floats
    friction: Floats
    rest: Floats
    step_s: float


class ChannelRun(Struct, frozen=True, kw_only=True):
    """What a run left, and what went through each face [m3] and entered by sources [m3] in `time_s` [s] of it."""

    state: ChannelState
    through_m3: Floats  # by face, what left the cell before it
    steps: int
    time_s: float


def ferguson_drag(d84_m: float) -> Drag:
    """Friction by the variable-power law: U/u* = a1 a2 r / sqrt(a1^2 + a2^2 r^(5/3)), r = R/D84.

    Parameters
    ----------
    d84_m : float
        Grain that 84 in 100 are finer than [m].

    Returns
    -------
    Drag
        a = D84^2/a2^2 [m2], m = D84^(1/3)/a1^2 [m^(1/3)].

    Raises
    ------
    InputError
        If the grain has no size.

    References
    ----------
    ferguson-2007, solved for the slope.
    """
    refuse_unusable(positive={"d84_m": d84_m})
    return Drag(a=(d84_m / FERGUSON_A2) ** 2, m=d84_m ** (1 / 3) / FERGUSON_A1**2)


def manning_drag(n: float, *, gravity_ms2: float = GRAVITY_MS2) -> Drag:
    """Friction by Manning's law, S = n^2 U|U| / R^(4/3).

    Parameters
    ----------
    n : float
        Manning's n [s/m^(1/3)]; none is no friction.
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    Drag
        m = g n^2 [m^(1/3)].

    Raises
    ------
    InputError
        If n is negative.

    References
    ----------
    chow-1959.
    """
    refuse_unusable(not_negative={"n": n})
    return Drag(a=0.0, m=gravity_ms2 * n * n)


def straight_channel(
    bed_m: Sequence[float] | Floats,
    length_m: float,
    *,
    width_m: Sequence[float] | Floats | float = 1.0,
    drag: Drag | None = None,
    banks_wet: bool = False,
    upstream: Joint | None = None,
    downstream: Joint | None = None,
    gravity_ms2: float = GRAVITY_MS2,
) -> Channel:
    """One channel of equal cells, closed at both ends unless said otherwise.

    Parameters
    ----------
    bed_m : sequence of float
        Bed level at the middle of each cell [m].
    length_m : float
        Of one cell [m].
    width_m : float or sequence of float
        Of all cells, or at each face from end to end, one more than there are cells [m].
    drag : Drag or None
        Friction; none where not said.
    banks_wet : bool
        Whether the hydraulic radius counts the banks.
    upstream, downstream : Joint or None
        What happens at the ends; their `face` is put in here.
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    Channel
        With one cell more at each end [m].

    Raises
    ------
    InputError
        If there is no cell, or a number cannot be used.

    References
    ----------
    Definition.
    """
    beds = np.asarray(bed_m, dtype=np.float64)
    faces = np.full(len(beds) + 1, width_m) if isinstance(width_m, float | int) else np.asarray(width_m, np.float64)
    if not len(beds) or len(faces) != len(beds) + 1 or not (np.isfinite(beds).all() and (faces > 0.0).all()):
        found = f"{len(beds)} cells, {len(faces)} widths"
        allowed = "at least one cell, widths above 0 at its faces"
        raise InputError(Problem(message="no channel", field="bed_m", found=found, allowed=allowed))
    refuse_unusable(positive={"length_m": length_m, "gravity_ms2": gravity_ms2})
    width = _padded(0.5 * (faces[1:] + faces[:-1]))
    felt = drag or Drag(a=0.0, m=0.0)
    ends = [(upstream, 0), (downstream, len(beds))]
    joints = [Joint(face=face, kind=JointKind.WALL) if said is None else _at(said, face) for said, face in ends]
    return Channel(
        bed=_drawn_out(beds),
        length=np.full(len(beds) + 2, length_m),
        width=width,
        face_width=faces,
        drag_a=np.full(len(beds) + 2, felt.a),
        drag_m=np.full(len(beds) + 2, felt.m),
        wall=2.0 / width if banks_wet else np.zeros(len(beds) + 2),
        joints=tuple(joints),
        gravity_ms2=gravity_ms2,
    )


def still_water(channel: Channel, depth_m: Sequence[float] | Floats, *, speed_ms: float = 0.0) -> ChannelState:
    """A state to start from: depths [m] of the cells of a channel, ends included or not, all at one speed [m/s]."""
    depth = np.asarray(depth_m, dtype=np.float64)
    depth = _padded(depth) if len(depth) == len(channel.bed) - 2 else depth.copy()
    if len(depth) != len(channel.bed) or not (np.isfinite(depth) & (depth >= 0.0)).all():
        found = f"{len(depth)} depths, the least {depth.min():g} m" if len(depth) else "none"
        raise InputError(
            Problem(message="no depths of this channel", field="depth_m", found=found, allowed="0 or above")
        )
    speed = np.where(depth > DRY_M, speed_ms, 0.0)
    return ChannelState(
        depth=depth, speed=speed, friction=np.zeros(len(depth)), rest=np.zeros(len(depth)), step_s=math.inf
    )


def held_m3(channel: Channel, state: ChannelState) -> float:
    """Water in a channel [m3]."""
    return math.fsum(channel.plan_m2 * state.depth)


def run_channel(
    channel: Channel,
    state: ChannelState,
    time_s: float,
    *,
    sources_m3s: Floats | None = None,
    engine: str = "",
    most_steps: int = MOST_STEPS,
) -> ChannelRun:
    """The channel `time_s` later.

    Parameters
    ----------
    channel : Channel
        Lengths [m].
    state : ChannelState
        At its beginning; it is not changed.
    time_s : float
        [s].
    sources_m3s : array or None
        Flow that enters each cell, without any speed [m3/s].
    engine : str
        numba or numpy; nothing takes numba where it is there.
    most_steps : int
        Bound on the number of steps.

    Returns
    -------
    ChannelRun
        The state, and what went through each face [m3].

    Raises
    ------
    InputError
        If a number cannot be used, or there is no such engine.
    NoAnswer
        If the bound on steps is reached, or the water moves without bound; with the time and the cell.

    References
    ----------
    audusse-2004, toro-2001; positivity by limiting what leaves a cell to what it holds.
    """
    refuse_unusable(not_negative={"time_s": time_s, "sources_m3s": 0.0 if sources_m3s is None else min(sources_m3s)})
    prepared = prepare(channel)
    return run_prepared(prepared, state, time_s, sources_m3s=sources_m3s, engine=engine, most_steps=most_steps)


class Prepared(Struct, frozen=True, kw_only=True):
    """A channel as the steps want it."""

    channel: Channel
    cells: Floats  # rows: bed, 1/plan, 1/length, smooth, widening, drag_a, drag_m, wall
    faces: Floats  # rows: width, most of width/plan on either side
    joint_at: Ints  # rows: face, kind
    joint_of: Floats  # rows: first, second, third, tilt


def prepare(channel: Channel) -> Prepared:
    """What does not change while a channel [m] is run."""
    inside = _inside(channel)
    n = len(channel.bed)
    plan = channel.width * channel.length
    smooth = inside.copy()
    for joint in channel.joints:
        if joint.kind in (JointKind.WALL, JointKind.CREST, JointKind.INFLOW):
            smooth[joint.face] = smooth[joint.face + 1] = 0.0
    widening = np.zeros(n)
    widening[1:-1] = np.diff(channel.face_width) / channel.width[1:-1]
    per_plan = inside / plan
    rate = channel.face_width * np.maximum(per_plan[:-1], per_plan[1:])
    for joint in channel.joints:
        if joint.kind in (JointKind.WALL, JointKind.CREST, JointKind.INFLOW):
            rate[joint.face] = 0.0
    cells = np.array(
        [
            channel.bed,
            per_plan,
            inside / channel.length,
            smooth,
            widening * smooth,
            channel.drag_a,
            channel.drag_m,
            channel.wall,
        ]
    )
    return Prepared(
        channel=channel,
        cells=cells,
        faces=np.array([channel.face_width, rate]),
        joint_at=np.array([(j.face, int(j.kind)) for j in channel.joints], dtype=np.int64).reshape(-1, 2).T.copy(),
        joint_of=np.array([(j.first, j.second, j.third, j.tilt) for j in channel.joints], dtype=np.float64)
        .reshape(-1, 4)
        .T.copy(),
    )


def run_prepared(
    prepared: Prepared,
    state: ChannelState,
    time_s: float,
    *,
    sources_m3s: Floats | None = None,
    bed_m: Floats | None = None,
    engine: str = "",
    most_steps: int = MOST_STEPS,
) -> ChannelRun:
    """`run_channel` for a channel [m] that was prepared before, `time_s` [s] on; sources [m3/s], beds moved to [m]."""
    advance = advance_numpy if engine_of(engine) == "numpy" else _compiled()
    n = len(prepared.channel.bed)
    cells = prepared.cells
    if bed_m is not None:
        cells = cells.copy()
        cells[0] = bed_m
    sources = np.zeros(n) if sources_m3s is None else sources_m3s
    arrays = np.array([state.depth, state.speed, state.friction, state.rest])
    through = np.zeros(n - 1)
    done_s, step_s, steps, stopped_at = advance(
        arrays,
        cells,
        prepared.faces,
        prepared.joint_at,
        prepared.joint_of,
        sources,
        through,
        np.array([prepared.channel.gravity_ms2, DRY_M, time_s, state.step_s]),
        most_steps,
    )
    if stopped_at >= 0:
        raise NoAnswer(
            f"shallow water: stopped {done_s:.3g} s into {time_s:.3g} s after {steps} steps at cell {stopped_at}, "
            f"depth {arrays[0, stopped_at]:.3g} m, speed {arrays[1, stopped_at]:.3g} m/s: "
            + (f"more than {most_steps} steps" if steps >= most_steps else "no time step is small enough")
        )
    left = ChannelState(depth=arrays[0], speed=arrays[1], friction=arrays[2], rest=arrays[3], step_s=step_s)
    return ChannelRun(state=left, through_m3=through, steps=steps, time_s=done_s)


def engine_of(engine: str = "") -> str:
    """The engine that runs: the one asked for, else numba where it is installed, else numpy.

    Raises InputError if there is no such engine, or numba is asked for and not installed.
    """
    from importlib.util import find_spec

    if engine not in ("", "numba", "numpy"):
        raise InputError(Problem(message="no such engine", field="engine", found=engine, allowed="numba or numpy"))
    there = find_spec("numba") is not None
    if engine == "numba" and not there:
        raise InputError(Problem(message="not installed", field="engine", found=engine, allowed="numpy"))
    return engine or ("numba" if there else "numpy")


def _compiled() -> Callable[..., tuple[float, float, int, int]]:
    from rillwright.hydraulics.shallow_water_kernel import advance

    return advance  # type: ignore[no-any-return]


def _inside(channel: Channel) -> Floats:
    """1 by cell that takes part, 0 by one that does not [-]."""
    inside = np.ones(len(channel.bed))
    inside[[0, -1, *channel.still]] = 0.0
    return inside


def _padded(values: Floats) -> Floats:
    return np.concatenate([values[:1], values, values[-1:]])


def _drawn_out(beds: Floats) -> Floats:
    """Beds with one more at each end, along the last slope."""
    near = min(1, len(beds) - 1)
    return np.concatenate([[2.0 * beds[0] - beds[near]], beds, [2.0 * beds[-1] - beds[-1 - near]]])


def _at(joint: Joint, face: int) -> Joint:
    return replace(joint, face=face)
