"""Flows and heads in a small network of pipes and pumps, steady.

The flows that satisfy both balances, of water at every junction and of head along every link, are those at which the
content of the network, the sum of the integrals of its head losses over its flows, is least. Every link's loss only
rises with its flow, closed one-way links included, so there is one such least place and each step can be held to going
down towards it: Newton's step for heads and flows together, shortened where it would overshoot.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence

from msgspec import Struct

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.hydraulics._checks import notes
from rillwright.hydraulics.links import Link, PumpLink, is_one_way

MOST_ROUNDS = 100
MOST_HALVINGS = 60
_STRICT = 15  # rounds in which only the stricter of the two will do
NOTHING_M3S = 2e-8  # more than a shut link leaks at 20 m
AGREED_M = 1e-8  # a hundred thousandth of a millimetre of head left over along a link ...
AGREED_SHARE = 1e-7  # ... and this share of the largest head [-], which is what floats leave of it


class LinkFlow(Struct, frozen=True, kw_only=True):
    """Flow through one link from start to end [m3/s], and the head that it loses [m], below nought in a pump."""

    flow_m3s: float
    loss_m: float
    shut: bool  # one-way, and held shut
    outside: str


class NetworkFlow(Struct, frozen=True, kw_only=True):
    """Heads [m] by node and flows by link; rounds taken, and the head left over along the worst link [m]."""

    heads_m: Mapping[str, float]
    links: Mapping[str, LinkFlow]
    rounds: int
    left_over_m: float

    def into(self, node: str, network: PipeNetwork) -> float:
        """Flow [m3/s] that links bring into a node, less what they take from it."""
        flows = ((link, self.links[link.id].flow_m3s) for link in network.links)
        return sum((flow if link.end == node else 0.0) - (flow if link.start == node else 0.0) for link, flow in flows)


class PipeNetwork(Struct, frozen=True, kw_only=True):
    """Links between nodes. Nodes of known head [m] are `levels_m`; at all others what comes in goes out, less a draw.

    `drawn_m3s` is what is taken out of a junction [m3/s].
    """

    links: tuple[Link, ...]
    levels_m: Mapping[str, float]
    drawn_m3s: Mapping[str, float] = {}

    def __post_init__(self) -> None:
        problems = [*_doubled(self.links), *_unheld(self.links, self.levels_m), *_rings_of_pumps(self)]
        problems += [
            Problem(message="is not a level", field=f"levels_m[{node}]", found=f"{level}")
            for node, level in self.levels_m.items()
            if not math.isfinite(level)
        ]
        if problems:
            raise InputError(problems)

    @property
    def junctions(self) -> tuple[str, ...]:
        """Nodes whose head is sought, in the order in which the links name them."""
        named = dict.fromkeys(node for link in self.links for node in (link.start, link.end))
        return tuple(node for node in named if node not in self.levels_m)


def network_flow(network: PipeNetwork, *, most_rounds: int = MOST_ROUNDS) -> NetworkFlow:
    """Flows and heads at which what enters each junction leaves it, and heads agree along every link.

    Parameters
    ----------
    network : PipeNetwork
        Levels [m], draws [m3/s], pipes and pumps.
    most_rounds : int
        Newton's rounds before it gives up [-].

    Returns
    -------
    NetworkFlow
        Heads [m], flows [m3/s]; pumps outside their curve and shut links say so.

    Raises
    ------
    NoAnswer
        If heads do not agree after `most_rounds`; the text names the worst link and what is left over.

    References
    ----------
    todini-pilati-1988: Newton's step for heads and flows together; closed form: the content is convex, so that a step
    held to lowering it ends at the one answer.
    """
    links, nodes = network.links, {node: n for n, node in enumerate(network.junctions)}
    flows = [link.usual_m3s for link in links]
    balanced = False  # only the first full step makes the flows balance at the junctions
    worst, left = links[0].id if links else "", math.inf
    for count in range(1, most_rounds + 1):
        drops = [link.drop(flow) for link, flow in zip(links, flows, strict=True)]
        heads = _heads(network, nodes, flows, drops)
        change = [_step(network, nodes, heads, link, drop) for link, drop in zip(links, drops, strict=True)]
        share = _share(network, flows, change) if balanced else 1.0
        flows = [flow + share * more for flow, more in zip(flows, change, strict=True)]
        balanced = True
        worst, left = _left_over(network, nodes, heads, flows)
        if left < AGREED_M + AGREED_SHARE * max(map(abs, heads), default=0.0) * (count > _STRICT):
            return _told(network, nodes, heads, flows, rounds=count, left=left)
    raise NoAnswer(
        f"pipe network: heads do not agree after {most_rounds} rounds; along {worst} {left * 1e3:.3g} mm are left over"
    )


def _head(network: PipeNetwork, nodes: Mapping[str, int], heads: Sequence[float], node: str) -> float:
    return heads[nodes[node]] if node in nodes else network.levels_m[node]


def _heads(
    network: PipeNetwork, nodes: Mapping[str, int], flows: Sequence[float], drops: Sequence[tuple[float, float]]
) -> list[float]:
    """Heads [m] of the junctions after a full step: sum of (Hs - He - h)/s + Q over the links of each is its draw."""
    size = len(nodes)
    rows = [[0.0] * (size + 1) for _ in range(size)]
    for node, n in nodes.items():
        rows[n][size] = -network.drawn_m3s.get(node, 0.0)
    for link, flow, (loss, slope) in zip(network.links, flows, drops, strict=True):
        ease = 1.0 / slope
        bare = flow - loss * ease  # what would flow if both ends had the same head
        start, end = nodes.get(link.start), nodes.get(link.end)
        for here, there, other, sign in ((start, end, link.end, -1.0), (end, start, link.start, 1.0)):
            if here is None:
                continue
            rows[here][here] += ease
            rows[here][size] += sign * bare
            if there is None:
                rows[here][size] += ease * network.levels_m[other]
            else:
                rows[here][there] -= ease
    return _solved(rows)


def _solved(rows: list[list[float]]) -> list[float]:
    """Solution of a symmetric positive definite system, its right side in the last column."""
    size = len(rows)
    for n in range(size):
        pivot = rows[n]
        for other in rows[n + 1 :]:
            share = other[n] / pivot[n]
            if share:
                for m in range(n, size + 1):
                    other[m] -= share * pivot[m]
    found = [0.0] * size
    for n in reversed(range(size)):
        known = sum(rows[n][m] * found[m] for m in range(n + 1, size))
        found[n] = (rows[n][size] - known) / rows[n][n]
    return found


def _step(
    network: PipeNetwork, nodes: Mapping[str, int], heads: Sequence[float], link: Link, drop: tuple[float, float]
) -> float:
    start, end = _head(network, nodes, heads, link.start), _head(network, nodes, heads, link.end)
    return (start - end - drop[0]) / drop[1]


def _share(network: PipeNetwork, flows: Sequence[float], change: Sequence[float]) -> float:
    """The share of a step [-] up to which the content falls; balanced flows stay balanced at any share."""
    level = sum(
        more * (network.levels_m.get(link.start, 0.0) - network.levels_m.get(link.end, 0.0))
        for link, more in zip(network.links, change, strict=True)
    )
    moving = [(link, flow, more) for link, flow, more in zip(network.links, flows, change, strict=True) if more]

    def rise(share: float) -> float:
        return sum(more * link.drop(flow + share * more)[0] for link, flow, more in moving) - level

    start, end = rise(0.0), rise(1.0)
    if start >= 0.0 or end <= 0.0:
        return 1.0
    low, high, fl, fh = 0.0, 1.0, start, end
    for _ in range(MOST_HALVINGS):
        middle = 0.5 * (low + high)
        secant = low - fl * (high - low) / (fh - fl)
        tried = secant if low < secant < high else middle
        for share in (tried, middle):
            if not low < share < high:
                continue
            value = rise(share)
            if abs(value) <= 1e-2 * abs(start):
                return share
            if value < 0.0:
                low, fl = share, value
            else:
                high, fh = share, value
    return high if low == 0.0 else low


def _left_over(
    network: PipeNetwork, nodes: Mapping[str, int], heads: Sequence[float], flows: Sequence[float]
) -> tuple[str, float]:
    """The link along which heads agree least, and by how much they do not [m]."""
    worst, most = "", 0.0
    for link, flow in zip(network.links, flows, strict=True):
        start, end = _head(network, nodes, heads, link.start), _head(network, nodes, heads, link.end)
        left = abs(start - end - link.drop(flow)[0])
        if not left <= most:  # a nan counts as the worst
            worst, most = link.id, left
    return worst, most


def _told(
    network: PipeNetwork,
    nodes: Mapping[str, int],
    heads: Sequence[float],
    flows: Sequence[float],
    *,
    rounds: int,
    left: float,
) -> NetworkFlow:
    found = {}
    for link, flow in zip(network.links, flows, strict=True):
        shut = is_one_way(link) and flow <= NOTHING_M3S
        taken = flow if abs(flow) > NOTHING_M3S else 0.0
        ends = _head(network, nodes, heads, link.start) - _head(network, nodes, heads, link.end)
        found[link.id] = LinkFlow(
            flow_m3s=taken, loss_m=ends, shut=shut, outside=_outside(link, taken, ends) if not shut else ""
        )
    known = {node: heads[n] for node, n in nodes.items()} | dict(network.levels_m)
    return NetworkFlow(heads_m=known, links=found, rounds=rounds, left_over_m=left)


def _outside(link: Link, flow_m3s: float, loss_m: float) -> str:
    if not isinstance(link, PumpLink):
        return ""
    return notes(
        (loss_m > 1e-6, "beyond the end of the pump's curve: water is driven through it"),
        (loss_m <= 1e-6 and bool(link.curve.outside(flow_m3s)), link.curve.outside(flow_m3s)),
    )


def _doubled(links: Sequence[Link]) -> list[Problem]:
    seen: set[str] = set()
    found = []
    for link in links:
        if link.id in seen:
            found.append(Problem(message="this id is used twice", field="links", found=link.id))
        if link.start == link.end:
            found.append(Problem(message="begins where it ends", field=f"links[{link.id}]", found=link.start))
        seen.add(link.id)
    return found


def _unheld(links: Sequence[Link], levels_m: Mapping[str, float]) -> list[Problem]:
    """Junctions that no link joins to a node of known level: their head could be anything."""
    joined = {node for link in links for node in (link.start, link.end) if node in levels_m}
    for _ in links:
        joined |= {b for link in links for a, b in ((link.start, link.end), (link.end, link.start)) if a in joined}
    loose = dict.fromkeys(node for link in links for node in (link.start, link.end) if node not in joined)
    return [Problem(message="is joined to no water of known level", field=f"nodes[{node}]") for node in loose]


def _rings_of_pumps(network: PipeNetwork) -> list[Problem]:
    """Pumps that feed one another in a ring with no pipe between: nothing says at what flow they turn it round."""
    onward: defaultdict[str, list[str]] = defaultdict(list)
    for link in network.links:
        if isinstance(link, PumpLink) and link.start not in network.levels_m and link.end not in network.levels_m:
            onward[link.start].append(link.end)
    for first in list(onward):
        reached, ways = set(), list(onward[first])
        while ways:
            node = ways.pop()
            if node == first:
                pumps = ", ".join(
                    link.id
                    for link in network.links
                    if isinstance(link, PumpLink) and {link.start, link.end} & {*onward}
                )
                return [Problem(message="pumps feed one another in a ring", field="links", found=pumps)]
            if node not in reached:
                reached.add(node)
                ways += onward.get(node, [])
    return []
