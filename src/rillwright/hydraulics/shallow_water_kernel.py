"""The steps of shallow water for numba: the twin of `shallow_water_twin`, operation by operation, in loops.

Imported only by the function that runs it. What is compiled is kept beside this file as Python keeps its own, in the
user's own place for such things where that cannot be written. Loops run from 0 over shifted views and have no branch,
so that they are done several cells at a time; reassociation is not allowed, it would cost the exact rest.
"""

# mypy: allow-untyped-defs, allow-untyped-calls

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SHARE, MOST_SHARE = 0.45, 0.5
MOST_GROWTH = 1.5
TINY = 1e-300
LEVEL_TILT = 1e-6  # of the water over its low end: below it a crest counts as level
LEAST_STEP_S = 1e-12
THIRD = 1.0 / 3.0
CREST, INFLOW, DEPTH, OPEN, GIVEN, STONE = 1, 2, 3, 4, 5, 6

_HOW: dict[str, Any] = {"fastmath": {"nnan", "ninf", "nsz"}, "error_model": "numpy", "nogil": True, "cache": True}


@njit(inline="always", **_HOW)
def _minmod(a, b):
    return max(0.0, min(a, b)) + min(0.0, max(a, b))


@njit(inline="always", **_HOW)
def _inverse_cube_root(x):
    high = np.float64(x).view(np.int64) >> 32
    y = np.int64((0x553EF0FF - ((high * 0x55555556) >> 32)) << 32).view(np.float64)
    for _ in range(3):
        y = y * (4.0 - x * y * y * y) * THIRD
    return y


@njit(**_HOW)
def _over(head, drowned, speed, width, c, tilt):
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
        q *= (1.0 - share * math.sqrt(share)) ** 0.385
    return q


@njit(**_HOW)
def _at_most(q, head, below, per_plan, per_plan_below, dt):
    if q > 0.0 and q * dt * per_plan > head:
        return head / (dt * per_plan)
    if q < 0.0 and -q * dt * per_plan_below > below:
        return -below / (dt * per_plan_below)
    return q


@njit(**_HOW)
def _over_crest(h, u, z, at, level, width, c, tilt, per_plan, dt):
    before = h[at] + z[at] - level
    after = h[at + 1] + z[at + 1] - level
    q = _over(before, after, u[at], width, c, tilt) - _over(after, before, -u[at + 1], width, c, tilt)
    return _at_most(q, before, after, per_plan[at], per_plan[at + 1], dt)


@njit(**_HOW)
def _at_a_wall(h, u, q, gravity, dry):
    if h <= dry:
        return 0.0
    most = max((gravity * abs(q)) ** THIRD, abs(u))
    carried = min(max(q / h, -most), most)
    rest = u - carried
    return q * carried + h * rest * (2.0 * max(rest, 0.0) + math.sqrt(gravity * h))


@njit(**_HOW)
def _hold_ends(h, u, joint_at, joint_of):
    for i in range(joint_at.shape[1]):
        face, kind = joint_at[0, i], joint_at[1, i]
        if kind == DEPTH:
            h[face + 1] = joint_of[0, i]
            u[face + 1] = u[face]
        elif kind == OPEN:
            h[face + 1] = h[face]
            u[face + 1] = u[face]
        elif kind == GIVEN:
            h[face] = joint_of[0, i]
            u[face] = joint_of[1, i]


@njit(**_HOW)
def _slopes(hb, h, ha, ub, u, ua, zb, z, za, smooth, dh, de, du, dry):
    for i in range(len(h)):
        before, here, behind = hb[i], h[i], ha[i]
        flows = smooth[i] * (1.0 if here > dry else 0.0)
        quick = flows * (1.0 if min(before, behind) > dry else 0.0)
        e = here + z[i]
        dh[i] = flows * _minmod(here - before, behind - here)
        de[i] = flows * _minmod(e - (before + zb[i]), (behind + za[i]) - e)
        du[i] = quick * _minmod(u[i] - ub[i], ua[i] - u[i])


@njit(**_HOW)
def _predict(hb, h, ha, u, dh, de, du, friction, per_length, smooth, widening, later, moved, dt, gravity, dry):
    for i in range(len(h)):
        before, here, behind, speed = hb[i], h[i], ha[i], u[i]
        quick = smooth[i] * (1.0 if min(min(before, behind), here) > dry else 0.0)
        half = 0.5 * dt * per_length[i] * quick
        lost = half * (speed * dh[i] + here * du[i] + here * speed * widening[i])
        later[i] = max(here - lost, 0.5 * abs(dh[i]))
        eased = 1.0 + 0.5 * dt * quick * friction[i] * abs(speed)
        moved[i] = (speed - half * (speed * du[i] + gravity * de[i])) / eased


@njit(**_HOW)
def _edges(later, moved, z, dh, du, de, hl, ul, el, hr, ur, er):
    for i in range(len(later)):
        middle, speed = later[i], moved[i]
        surface = middle + z[i]
        deep, fast, high = 0.5 * dh[i], 0.5 * du[i], 0.5 * de[i]
        hl[i] = middle + deep
        ul[i] = speed + fast
        el[i] = surface + high
        hr[i] = middle - deep
        ur[i] = speed - fast
        er[i] = surface - high


@njit(**_HOW)
def _through(hl, ul, el, hr, ur, er, width, rates, flow, to_left, to_right, rate, g):
    for i in range(len(flow)):
        eb, ea, vb, va, wide = el[i], er[i], ul[i], ur[i], width[i]
        bed = max(eb - hl[i], ea - hr[i])
        a = max(0.0, eb - bed)
        b = max(0.0, ea - bed)
        ca = math.sqrt(g * a)
        cb = math.sqrt(g * b)
        slow = min(0.0, min(vb - ca, va - cb) if a > 0.0 else va - 2.0 * cb)
        fast = max(0.0, max(vb + ca, va + cb) if b > 0.0 else vb + 2.0 * ca)
        r = 1.0 / (fast - slow + TINY)
        wl = fast * r
        d = slow * wl
        qa = a * vb
        qb = b * va
        pa = 0.5 * g * a * a
        pb = 0.5 * g * b * b
        fa = qa * vb + pa
        fb = qb * va + pb
        push = fb + wl * (fa - fb) + d * (qb - qa)
        flow[i] = wide * (qb + wl * (qa - qb) + d * (b - a))
        to_left[i] = wide * (push - pa)
        to_right[i] = wide * (push - pb)
        rate[i] = max(fast, -slow) * rates[i]


@njit(**_HOW)
def _largest(values):
    a = b = c = d = 0.0  # four at a time: one alone waits for itself
    n = len(values)
    for i in range(0, n - 3, 4):
        a = max(a, values[i])
        b = max(b, values[i + 1])
        c = max(c, values[i + 2])
        d = max(d, values[i + 3])
    for i in range(n - n % 4, n):
        a = max(a, values[i])
    return max(max(a, b), max(c, d))


@njit(**_HOW)
def _least(values):
    a = b = c = d = 0.0
    n = len(values)
    for i in range(0, n - 3, 4):
        a = min(a, values[i])
        b = min(b, values[i + 1])
        c = min(c, values[i + 2])
        d = min(d, values[i + 3])
    for i in range(n - n % 4, n):
        a = min(a, values[i])
    return min(min(a, b), min(c, d))


@njit(**_HOW)
def _count(through, carried, flow, dt):
    for i in range(len(flow)):
        more = dt * flow[i] + carried[i]
        total = through[i] + more
        carried[i] = more - (total - through[i])
        through[i] = total


@njit(**_HOW)
def _join(flow, to_left, to_right, h, u, cells, joint_at, joint_of, dt, gravity, dry):
    beside = 0.0  # over further stones of the crest that comes next
    for i in range(joint_at.shape[1]):
        at, kind = joint_at[0, i], joint_at[1, i]
        if kind > INFLOW and kind != STONE:
            continue
        q = 0.0
        if kind in (CREST, STONE):
            level, width, c, tilt = joint_of[0, i], joint_of[1, i], joint_of[2, i], joint_of[3, i]
            q = _over_crest(h, u, cells[0], at, level, width, c, tilt, cells[1], dt)
            if kind == STONE:
                beside += q
                continue
            if beside != 0.0:
                before, after = h[at] + cells[0, at] - level, h[at + 1] + cells[0, at + 1] - level
                q = _at_most(q + beside, before, after, cells[1, at], cells[1, at + 1], dt)
                beside = 0.0
        elif kind == INFLOW:
            q = joint_of[0, i]
        flow[at] = q
        wide = cells[2, at] / (cells[1, at] + TINY)
        to_left[at] = wide * _at_a_wall(h[at], u[at], q / (wide + TINY), gravity, dry)
        wide = cells[2, at + 1] / (cells[1, at + 1] + TINY)
        to_right[at] = wide * _at_a_wall(h[at + 1], -u[at + 1], -q / (wide + TINY), gravity, dry)


@njit(**_HOW)
def _depths(h, rest, flow_in, flow_out, sources, per_plan, after, lost, dt):
    for i in range(len(h)):
        change = dt * per_plan[i] * ((flow_in[i] - flow_out[i]) + sources[i]) + rest[i]
        deep = h[i] + change
        after[i] = deep
        lost[i] = change - (deep - h[i])


@njit(**_HOW)
def _hold_back(flow, to_left, to_right, h, per_plan, share, dt):
    n = len(h)
    for i in range(n):
        leaving = 0.0
        if i < n - 1:
            leaving += max(flow[i], 0.0)
        if i > 0:
            leaving += max(-flow[i - 1], 0.0)
        wanted = dt * per_plan[i] * leaving
        share[i] = h[i] / (wanted + TINY) if wanted > h[i] else 1.0
    for i in range(n - 1):
        by = share[i] if flow[i] > 0.0 else share[i + 1]
        flow[i] *= by
        to_left[i] *= by
        to_right[i] *= by


@njit(**_HOW)
def _speeds(
    h, u, after, push_in, push_out, per_plan, per_length, middle, slope, drag_a, drag_m, wall, speed, friction,
    dt, gravity, dry,
):  # fmt: skip
    for i in range(len(h)):
        deep = after[i]
        pushed = dt * per_plan[i] * (push_in[i] - push_out[i]) - dt * gravity * per_length[i] * middle[i] * slope[i]
        per_depth = 1.0 / max(deep, dry)
        v = (h[i] * u[i] + pushed) * per_depth * (1.0 if deep > dry else 0.0)
        per_radius = per_depth + wall[i]
        y = _inverse_cube_root(per_radius)
        f = (drag_a[i] * per_radius + drag_m[i] * y * y) * per_radius * per_radius
        friction[i] = f
        speed[i] = 2.0 * v / (1.0 + math.sqrt(1.0 + 4.0 * dt * f * abs(v)))


@njit(**_HOW)
def _one_step(state, moved, cells, faces, joint_at, joint_of, sources, work, flow, to_left, to_right, dt, gravity, dry):
    h, u, friction = state[0], state[1], state[2]
    _hold_ends(h, u, joint_at, joint_of)
    z = cells[0]
    n = len(h)
    hl, ul, el, hr, ur, er, slope, middle = work[2], work[3], work[4], work[5], work[6], work[7], work[8], work[9]
    dh, du, moving, rate, smooth, per_length = work[11], work[12], work[13], work[14], cells[3, 1:-1], cells[2, 1:-1]
    dhi, dei, dui, later, mid = dh[1:-1], slope[1:-1], du[1:-1], middle[1:-1], moving[1:-1]
    before, inner, behind = h[:-2], h[1:-1], h[2:]
    _slopes(before, inner, behind, u[:-2], u[1:-1], u[2:], z[:-2], z[1:-1], z[2:], smooth, dhi, dei, dui, dry)
    _predict(
        before, inner, behind, u[1:-1], dhi, dei, dui, friction[1:-1], per_length, smooth, cells[4, 1:-1], later, mid,
        dt, gravity, dry,
    )  # fmt: skip
    _edges(
        later, mid, z[1:-1], dhi, dui, dei, hl[1:-1], ul[1:-1], el[1:-1], hr[1:-1], ur[1:-1], er[1:-1]
    )  # fmt: skip
    hl[0], ul[0], el[0] = h[0], u[0], h[0] + 0.5 * (z[0] + z[1])
    hr[n - 1], ur[n - 1], er[n - 1] = h[n - 1], u[n - 1], h[n - 1] + 0.5 * (z[n - 1] + z[n - 2])
    _through(
        hl[:-1], ul[:-1], el[:-1], hr[1:], ur[1:], er[1:], faces[0], faces[1], flow, to_left, to_right, rate[:-1],
        gravity,
    )  # fmt: skip
    fastest = _largest(rate)
    _join(flow, to_left, to_right, h, u, cells, joint_at, joint_of, dt, gravity, dry)
    after = moved[0]
    after[0], after[n - 1] = h[0], h[n - 1]
    rest, lost, entering, per_plan = state[3, 1:-1], moved[3, 1:-1], sources[1:-1], cells[1, 1:-1]
    _depths(inner, rest, flow[:-1], flow[1:], entering, per_plan, after[1:-1], lost, dt)
    if _least(after) < 0.0:
        _hold_back(flow, to_left, to_right, h, cells[1], work[10], dt)
        _depths(inner, rest, flow[:-1], flow[1:], entering, per_plan, after[1:-1], lost, dt)
        for i in range(n):
            after[i] = max(after[i], 0.0)
    _speeds(
        h[1:-1], u[1:-1], after[1:-1], to_right[:-1], to_left[1:], cells[1, 1:-1], cells[2, 1:-1], middle[1:-1],
        slope[1:-1], cells[5, 1:-1], cells[6, 1:-1], cells[7, 1:-1], moved[1, 1:-1], moved[2, 1:-1], dt, gravity, dry,
    )  # fmt: skip
    moved[1, 0], moved[1, n - 1] = u[0], u[n - 1]
    return fastest


@njit(**_HOW)
def _longest_step(cells, joint_at, joint_of, sources, gravity):
    entering = sources.copy()
    for i in range(joint_at.shape[1]):
        if joint_at[1, i] == INFLOW:
            entering[joint_at[0, i] + 1] += joint_of[0, i]
    wettest = 0.0
    for i in range(len(entering)):
        wettest = max(wettest, gravity * entering[i] * cells[1, i] * cells[2, i] * cells[2, i])
    return SHARE / (wettest + TINY) ** THIRD


@njit(**_HOW)
def _fastest_cell(speed):
    at = 0
    for i in range(len(speed)):
        if abs(speed[i]) > abs(speed[at]):
            at = i
    return at


@njit(**_HOW)
def advance(state, cells, faces, joint_at, joint_of, sources, through, numbers, most_steps):
    """Move `state` (depth, speed, friction, rest by cell) on in place, as `shallow_water_twin.advance` does."""
    gravity, dry, time, step = numbers[0], numbers[1], numbers[2], numbers[3]
    n = state.shape[1]
    work = np.zeros((15, n))
    flow, to_left, to_right, carried = np.zeros(n - 1), np.zeros(n - 1), np.zeros(n - 1), np.zeros(n - 1)
    here, there = state.copy(), state.copy()
    if step > time:
        fastest = 0.0
        for i in range(n):
            fastest = max(fastest, abs(here[1, i]) + math.sqrt(gravity * here[0, i]))
        step = min(time, SHARE / (fastest * np.max(faces[1]) + TINY))
    most = _longest_step(cells, joint_at, joint_of, sources, gravity)
    step = min(step, most)
    done = 0.0
    steps = 0
    gave_up = -1
    while done < time:
        left = time - done
        now = left if step >= left else (0.5 * left if step > 0.5 * left else step)
        if steps >= most_steps or not now > LEAST_STEP_S:
            gave_up = _fastest_cell(here[1])
            break
        rate = _one_step(
            here, there, cells, faces, joint_at, joint_of, sources, work, flow, to_left, to_right, now, gravity, dry
        )
        steps += 1
        if rate * now > MOST_SHARE:
            step = SHARE / rate
            continue
        here, there = there, here
        _count(through, carried, flow, now)
        done = time if now == left else done + now
        if not rate < 1e300:
            gave_up = _fastest_cell(here[1])
            break
        step = min(min(MOST_GROWTH * max(step, now), SHARE / (rate + TINY)), most)
    state[:] = here
    return done, step, steps, gave_up
