"""How much water runs through each link of the topology."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping

from rillwright.errors import NoAnswer
from rillwright.feature import Fall, Feature, Reach, RunEnd


def link_flows(feature: Feature, by_end: Mapping[str, float]) -> dict[str, float]:
    """Flow [m3/s] through every reach and fall, from the flow [m3/s] out of every end of every run.

    A node passes on what enters it: from links above, from runs that end there, less what runs draw from it. Links that
    leave one node share its flow by their width.

    Raises
    ------
    NoAnswer
        If the streams run in a ring.
    """
    remaining = [link for stream in feature.streams for link in stream.links]
    entering: defaultdict[str, float] = defaultdict(float)
    drawn: defaultdict[str, float] = defaultdict(float)
    for run in feature.runs:
        for end in run.ends:
            entering[outlet_node(feature, end)] += by_end[end.key]
            drawn[run.source] += by_end[end.key]
    leaving: defaultdict[str, float] = defaultdict(float)
    for link in remaining:
        leaving[link.upstream] += _width_m(link)
    feeding = Counter(link.downstream for link in remaining)
    flows: dict[str, float] = {}
    while remaining:
        ready = [link for link in remaining if not feeding[link.upstream]]
        if not ready:
            raise NoAnswer("flows: the streams run in a ring at " + ", ".join(sorted(link.id for link in remaining)))
        for link in ready:
            there = max(entering[link.upstream] - drawn[link.upstream], 0.0)
            flows[link.id] = there * _width_m(link) / leaving[link.upstream]
        for link in ready:
            entering[link.downstream] += flows[link.id]
            feeding[link.downstream] -= 1
        remaining = [link for link in remaining if link.id not in flows]
    return flows


def unfed(feature: Feature) -> tuple[str, ...]:
    """Paths of the reaches and falls that no run brings water above, in the order of flow."""
    wet = {outlet_node(feature, end) for run in feature.runs for end in run.ends}
    links = [link for stream in feature.streams for link in stream.links]
    for _ in links:
        wet |= {link.downstream for link in links if link.upstream in wet}
    return tuple(
        f"{'reaches' if isinstance(link, Reach) else 'falls'}/{link.id}" for link in links if link.upstream not in wet
    )


def outlet_node(feature: Feature, end: RunEnd) -> str:
    """The node at which a run's water enters: the head of its stream, the upper end of its reach, or its body."""
    for stream in feature.streams:
        if end.outlet == stream.id:
            return stream.links[0].upstream
        for reach in stream.reaches:
            if end.outlet == reach.id:
                return reach.upstream
    return end.outlet


def entered(feature: Feature, end: RunEnd) -> Reach | Fall | None:
    """The link into whose upper end a run's water comes; None where that is a body."""
    node = outlet_node(feature, end)
    return next((link for stream in feature.streams for link in stream.links if link.upstream == node), None)


def _width_m(link: Reach | Fall) -> float:
    return link.open_width_m if isinstance(link, Reach) else link.crest_width_m
