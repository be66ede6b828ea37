"""The steps of shallow water in NumPy: the twin of what numba compiles, operation by operation.

Rows of `cells`: bed, 1/plan, 1/length, smooth, widening, drag a, drag m, wall. Rows of `faces`: width, width over plan.
Each cell is cut at its two faces along minmod slopes of depth, surface and speed, moved half a step on, and faces its
neighbour over the higher of the two beds. Pressure is counted from that of the cell itself, so that at rest nothing is
left over. Lengths in m, speeds in m/s.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SHARE, MOST_SHARE = 0.45, 0.5  # of a cell that a wave may cross in one step: taken, and at which the step is redone
MOST_GROWTH = 1.5  # of a time step from one to the next
TINY = 1e-300
LEVEL_TILT = 1e-6  # of the water over its low end: below it a crest counts as level
LEAST_STEP_S = 1e-12
THIRD = 1.0 / 3.0
WALL, CREST, INFLOW, DEPTH, OPEN, GIVEN, STONE = range(7)


def advance(
    state: Floats,
    cells: Floats,
    faces: Floats,
    joint_at: Ints,
    joint_of: Floats,
    sources: Floats,
    through: Floats,
    numbers: Floats,
    most_steps: int,
) -> tuple[float, float, int, int]:
    """Move `state` (depth, speed, friction, rest by cell) on in place.

    `numbers` are gravity, the depth of what counts as dry, the time, and the step to try first. Adds to `through` what
    went through each face [m3]. Gives the time done [s], the step to try next [s], the number of steps, and the cell at
    which it gave up, -1 for none.
    """
    gravity, dry, time, step = (float(number) for number in numbers)
    if step > time:
        step = first_step(state, cells, faces, gravity, time)
    most = longest_step(cells, joint_at, joint_of, sources, gravity)
    step = min(step, most)
    carried = np.zeros_like(through)
    done = 0.0
    steps = 0
    while done < time:
        left = time - done
        now = left if step >= left else (0.5 * left if step > 0.5 * left else step)
        if steps >= most_steps or not now > LEAST_STEP_S:
            return done, step, steps, int(np.argmax(np.abs(state[1])))
        moved, flow, rate = one_step(state, cells, faces, joint_at, joint_of, sources, now, gravity, dry)
        steps += 1
        if rate * now > MOST_SHARE:
            step = SHARE / rate
            continue
        state[:] = moved
        more = now * flow + carried
        total = through + more
        carried = more - (total - through)
        through[:] = total
        done = time if now == left else done + now
        if not rate < 1e300:
            return done, step, steps, int(np.argmax(np.abs(state[1])))
        step = min(MOST_GROWTH * max(step, now), SHARE / (rate + TINY), most)
    return done, step, steps, -1


def first_step(state: Floats, cells: Floats, faces: Floats, gravity: float, time: float) -> float:
    """A time step [s] from the speeds that there are."""
    fastest = float(np.max(np.abs(state[1]) + np.sqrt(gravity * state[0])))
    return min(time, SHARE / (fastest * float(np.max(faces[1])) + TINY))


def longest_step(cells: Floats, joint_at: Ints, joint_of: Floats, sources: Floats, gravity: float) -> float:
    """A time step [s] in which what enters a dry cell does not run past its end: t^3 = L^2 / (g w), w its rise."""
    entering = sources.copy()
    for i in range(joint_at.shape[1]):
        if joint_at[1, i] == INFLOW:
            entering[joint_at[0, i] + 1] += joint_of[0, i]
    wet = gravity * entering * cells[1] * cells[2] * cells[2]
    return float(SHARE / (float(np.max(wet)) + TINY) ** THIRD)


def one_step(
    state: Floats,
    cells: Floats,
    faces: Floats,
    joint_at: Ints,
    joint_of: Floats,
    sources: Floats,
    dt: float,
    gravity: float,
    dry: float,
) -> tuple[Floats, Floats, float]:
    """The state after `dt` [s], the flow through each face [m3/s], and the fastest wave in cells a second."""
    h, u, friction, rest = state.copy()
    bed = cells[0]
    _hold_ends(h, u, joint_at, joint_of)
    e = h + bed
    edges, slope, middle = _cut(h, u, e, friction, cells, dt=dt, gravity=gravity, dry=dry)
    flow, to_left, to_right, fastest = _through(edges, gravity)
    width = faces[0]
    rate = float(np.max(fastest * faces[1]))
    flow, to_left, to_right = width * flow, width * to_left, width * to_right
    _join(flow, to_left, to_right, h, u, e, cells, joint_at, joint_of, dt=dt, gravity=gravity, dry=dry)
    entering = np.zeros_like(h)
    entering[1:-1] = flow[:-1] - flow[1:]
    change = dt * cells[1] * (entering + sources) + rest
    after = h + change
    if float(np.min(after)) < 0.0:
        _hold_back(flow, to_left, to_right, h, cells, dt)
        entering[1:-1] = flow[:-1] - flow[1:]
        change = dt * cells[1] * (entering + sources) + rest
        after = h + change
    moved = np.empty_like(state)
    moved[3] = change - (after - h)
    moved[0] = after = np.maximum(after, 0.0)
    pushed = np.zeros_like(h)
    pushed[1:-1] = dt * cells[1, 1:-1] * (to_right[:-1] - to_left[1:]) - dt * gravity * cells[2, 1:-1] * middle * slope
    wet = after > dry
    per_depth = 1.0 / np.maximum(after, dry)
    speed = (h * u + pushed) * per_depth * wet
    per_radius = per_depth + cells[7]
    y = inverse_cube_root(per_radius)
    moved[2] = (cells[5] * per_radius + cells[6] * y * y) * per_radius * per_radius
    moved[1] = 2.0 * speed / (1.0 + np.sqrt(1.0 + 4.0 * dt * moved[2] * np.abs(speed)))
    return moved, flow, rate


def minmod(a: Floats, b: Floats) -> Floats:
    """The smaller slope where both have one sign, else none [any unit]."""
    return np.maximum(0.0, np.minimum(a, b)) + np.minimum(0.0, np.maximum(a, b))


def inverse_cube_root(x: Floats) -> Floats:
    """x^(-1/3) of positive numbers [any unit], by a first guess from the exponent and three Newton steps."""
    high = np.ascontiguousarray(x).view(np.int64) >> 32
    y = ((0x553EF0FF - ((high * 0x55555556) >> 32)) << 32).view(np.float64)
    for _ in range(3):
        y = y * (4.0 - x * y * y * y) * THIRD
    return np.asarray(y)


def _hold_ends(h: Floats, u: Floats, joint_at: Ints, joint_of: Floats) -> None:
    for i in range(joint_at.shape[1]):
        face, kind = joint_at[0, i], joint_at[1, i]
        if kind == DEPTH:
            h[face + 1], u[face + 1] = joint_of[0, i], u[face]
        elif kind == OPEN:
            h[face + 1], u[face + 1] = h[face], u[face]
        elif kind == GIVEN:
            h[face], u[face] = joint_of[0, i], joint_of[1, i]


def _cut(
    h: Floats, u: Floats, e: Floats, friction: Floats, cells: Floats, *, dt: float, gravity: float, dry: float
) -> tuple[tuple[Floats, ...], Floats, Floats]:
    """Depth, speed, surface on the left and the right of each face; slope of the surface and depth by inner cell."""
    wet = h > dry
    flows = np.where(wet[1:-1], cells[3, 1:-1], 0.0)
    quick = np.where(wet[:-2] & wet[2:], flows, 0.0)
    dh = flows * minmod(h[1:-1] - h[:-2], h[2:] - h[1:-1])
    de = flows * minmod(e[1:-1] - e[:-2], e[2:] - e[1:-1])
    du = quick * minmod(u[1:-1] - u[:-2], u[2:] - u[1:-1])
    half = 0.5 * dt * cells[2, 1:-1] * quick
    depth, speed = h[1:-1], u[1:-1]
    later = np.maximum(depth - half * (speed * dh + depth * du + depth * speed * cells[4, 1:-1]), 0.5 * np.abs(dh))
    moved = (speed - half * (speed * du + gravity * de)) / (1.0 + 0.5 * dt * quick * friction[1:-1] * np.abs(speed))
    bed = cells[0]
    surface = later + bed[1:-1]
    sides = []
    for side, end, next_to in ((0.5, 0, 1), (-0.5, -1, -2)):  # outside the channel the water is given at the face
        outside = (h[end], u[end], h[end] + 0.5 * (bed[end] + bed[next_to]))
        inside = (later + side * dh, moved + side * du, surface + side * de)
        sides += [
            np.concatenate([[one], each] if side > 0.0 else [each, [one]])
            for one, each in zip(outside, inside, strict=True)
        ]
    return tuple(sides), de, later


def _through(edges: tuple[Floats, ...], g: float) -> tuple[Floats, Floats, Floats, Floats]:
    """HLL over the higher bed: flow [m2/s], push on the cell before and after less its own pressure, fastest wave."""
    hl, ul, el, hr, ur, er = edges
    bed = np.maximum(el - hl, er - hr)
    a, b = np.maximum(0.0, el - bed), np.maximum(0.0, er - bed)
    ca, cb = np.sqrt(g * a), np.sqrt(g * b)
    slow = np.minimum(0.0, np.where(a > 0.0, np.minimum(ul - ca, ur - cb), ur - 2.0 * cb))
    fast = np.maximum(0.0, np.where(b > 0.0, np.maximum(ul + ca, ur + cb), ul + 2.0 * ca))
    r = 1.0 / (fast - slow + TINY)
    wl = fast * r
    d = slow * wl
    qa, qb = a * ul, b * ur
    pa, pb = 0.5 * g * a * a, 0.5 * g * b * b
    flow = qb + wl * (qa - qb) + d * (b - a)
    fa, fb = qa * ul + pa, qb * ur + pb
    push = fb + wl * (fa - fb) + d * (qb - qa)
    return flow, push - pa, push - pb, np.maximum(fast, -slow)


def _join(
    flow: Floats,
    to_left: Floats,
    to_right: Floats,
    h: Floats,
    u: Floats,
    e: Floats,
    cells: Floats,
    joint_at: Ints,
    joint_of: Floats,
    *,
    dt: float,
    gravity: float,
    dry: float,
) -> None:
    """Flow and push at the joints, in the place of those of a plain face."""
    beside = 0.0  # over further stones of the crest that comes next
    for i in range(joint_at.shape[1]):
        at, kind = int(joint_at[0, i]), int(joint_at[1, i])
        if kind > INFLOW and kind != STONE:
            continue
        q = 0.0
        if kind in (CREST, STONE):
            level, width, c, tilt = (float(number) for number in joint_of[:, i])
            before, after = float(e[at]) - level, float(e[at + 1]) - level
            per_plan, per_plan_below = float(cells[1, at]), float(cells[1, at + 1])
            q = over(before, after, float(u[at]), width, c, tilt)
            q -= over(after, before, -float(u[at + 1]), width, c, tilt)
            q = _at_most(q, before, after, per_plan, per_plan_below, dt)
            if kind == STONE:
                beside += q
                continue
            if beside != 0.0:
                q = _at_most(q + beside, before, after, per_plan, per_plan_below, dt)
                beside = 0.0
        elif kind == INFLOW:
            q = float(joint_of[0, i])
        flow[at] = q
        wide = float(cells[2, at]) / (float(cells[1, at]) + TINY)
        to_left[at] = wide * at_a_wall(float(h[at]), float(u[at]), q / (wide + TINY), gravity, dry)
        wide = float(cells[2, at + 1]) / (float(cells[1, at + 1]) + TINY)
        to_right[at] = wide * at_a_wall(float(h[at + 1]), -float(u[at + 1]), -q / (wide + TINY), gravity, dry)


def over(head: float, drowned: float, speed: float, width: float, c: float, tilt: float = 0.0) -> float:
    """Flow over a crest [m3/s] under a head [m] over its low end, against water that stands `drowned` [m] above that,
    arriving at a speed; its other end is `tilt` [m] higher.

    What comes faster than its own weight would drive it goes on as it comes. Drowned after Villemonte, by the middle
    of what is wet.
    """
    if head <= 0.0 or drowned >= head:
        return 0.0
    middle = 0.0
    if tilt <= LEVEL_TILT * head:
        q = width * head * max(c * math.sqrt(head), speed)
    else:
        high, wet = max(head - tilt, 0.0), min(head / tilt, 1.0)
        free = 0.4 * c / tilt * (head * head * math.sqrt(head) - high * high * math.sqrt(high))
        q = width * max(free, wet * (head - 0.5 * wet * tilt) * speed)
        middle = 0.5 * tilt * wet
    if drowned > middle:
        share = (drowned - middle) / (head - middle)
        q *= math.pow(1.0 - share * math.sqrt(share), 0.385)
    return q


def _at_most(q: float, head: float, below: float, per_plan: float, per_plan_below: float, dt: float) -> float:
    """No more in one step than stands above the crest."""
    if q > 0.0 and q * dt * per_plan > head:
        return head / (dt * per_plan)
    if q < 0.0 and -q * dt * per_plan_below > below:
        return -below / (dt * per_plan_below)
    return q


def at_a_wall(h: float, u: float, q: float, gravity: float, dry: float) -> float:
    """Push [m3/s2] on water of depth h [m] moving at u [m/s] towards a face that lets q [m2/s] through."""
    if h <= dry:
        return 0.0
    most = max(math.pow(gravity * abs(q), THIRD), abs(u))
    carried = min(max(q / h, -most), most)
    rest = u - carried
    return q * carried + h * rest * (2.0 * max(rest, 0.0) + math.sqrt(gravity * h))


def _hold_back(flow: Floats, to_left: Floats, to_right: Floats, h: Floats, cells: Floats, dt: float) -> None:
    """Scale what leaves each cell so that none gives more than it holds."""
    leaving = np.zeros_like(h)
    leaving[:-1] += np.maximum(flow, 0.0)
    leaving[1:] += np.maximum(-flow, 0.0)
    wanted = dt * cells[1] * leaving
    share = np.where(wanted > h, h / (wanted + TINY), 1.0)
    by_face = np.where(flow > 0.0, share[:-1], share[1:])
    flow *= by_face
    to_left *= by_face
    to_right *= by_face
