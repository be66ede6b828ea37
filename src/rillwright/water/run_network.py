"""A run of several pumps or several outlets as a network of pipes."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.feature import Pipe
from rillwright.hydraulics import HeadCurve, Link, NetworkFlow, PipeLink, PipeNetwork, PumpLink, network_flow
from rillwright.water.run import Conditions, Lifts, PipedRun, RunFlow, ends_of, fittings_k

_POND, _SUCTION, _MAIN, _PART = "the pond", "the suction", "the main", "the parting"  # no id has a blank


def solved(run: PipedRun, lifts: Lifts, *, loss: int, bend: int, conditions: Conditions) -> RunFlow:
    """Flows of a run's pumps and ends against its lifts [m], with least, usual or most loss and bend of a curve.

    Raises
    ------
    NoAnswer
        If the network does not settle.
    """
    said = run.run
    curves = run.curves(bend, conditions)
    network = PipeNetwork(
        links=tuple(_links(run, curves, loss, conditions)),
        levels_m={_POND: 0.0, **{end.key: lifts[end.key] for end in said.ends}},
    )
    found = network_flow(network)
    ends = {end.key: _end_flow(found, f"end {n}" if said.outlets else _MAIN) for n, end in enumerate(said.ends)}
    pumps = tuple((found.links[f"pump {n}"].flow_m3s, -found.links[f"pump {n}"].loss_m) for n in range(len(curves)))
    flow = sum(ends.values())
    series = said.arrangement == "series"
    head = sum(head for _, head in pumps) if series else max(head for _, head in pumps)
    notes = [
        f"{pump.id}: {found.links[f'pump {n}'].outside}"
        for n, pump in enumerate(said.pumps)
        if found.links[f"pump {n}"].outside
    ]
    notes += [
        f"outlet {said.outlets[n].id} would run back into the others but for a check valve in its pipe"
        for n, end in enumerate(said.ends)
        if said.outlets and end.under_water and found.links[f"end {n}"].shut
    ]
    runs = flow > 0.0
    if not runs:
        lift = min(lifts.values())
        together = sum if series else max
        most = together([curve.shut_off_m for curve in curves])
        notes.append(f"the lift of {lift:.3g} m is at or above the pumps' shut-off head of {most:.3g} m")
        head = most
    return RunFlow(flow_m3s=flow, head_m=head, ends_m3s=ends, pumps=pumps, runs=runs, outside="; ".join(notes))


def parting_head_m(run: PipedRun, lifts: Lifts, flow_m3s: float, *, loss: int, conditions: Conditions) -> float:
    """Head [m] where the main of a branching run ends, with a flow [m3/s] through it."""
    network = PipeNetwork(
        links=tuple(_end_links(run, loss, conditions)),
        levels_m={end.key: lifts[end.key] for end in run.run.ends},
        drawn_m3s={_PART: -flow_m3s},
    )
    return network_flow(network).heads_m[_PART]


def _end_flow(found: NetworkFlow, link: str) -> float:
    return max(found.links[link].flow_m3s, 0.0)


def _links(run: PipedRun, curves: Sequence[HeadCurve], loss: int, conditions: Conditions) -> list[Link]:
    said, suction = run.run, run.run.suction
    links: list[Link] = []
    before = _POND
    if suction is not None or conditions.intake_k:
        pipe = run.pipe if suction is None else suction.pipe
        k = 0.0 if suction is None else fittings_k(suction.fittings)
        length = None if suction is not None else 0.0
        links.append(
            _pipe(
                run, pipe, _SUCTION, _POND, _SUCTION, k, loss, conditions, length_m=length, extra_k=conditions.intake_k
            )
        )
        before = _SUCTION
    row = said.arrangement == "series"
    for n, curve in enumerate(curves):
        after = f"after {n}" if row and n < len(curves) - 1 else _MAIN
        links.append(PumpLink(id=f"pump {n}", start=before, end=after, curve=curve))
        before = after if row else before
    end = _PART if said.outlets else said.id
    links.append(_pipe(run, run.pipe, _MAIN, _MAIN, end, run.main_k(), loss, conditions, one_way=True))
    return links + (_end_links(run, loss, conditions) if said.outlets else [])


def _end_links(run: PipedRun, loss: int, conditions: Conditions) -> list[Link]:
    """The pipes of the outlets; out of an end in air nothing runs back, nor is it to out of one under water."""
    return [
        _pipe(
            run,
            run.outlet_pipes[n],
            f"end {n}",
            _PART,
            end.key,
            run.outlet_k(n),
            loss,
            conditions,
            one_way=True,
        )
        for n, end in enumerate(run.run.ends)
    ]


def _pipe(
    run: PipedRun,
    pipe: Pipe,
    id: str,
    start: str,
    end: str,
    loss_k: float,
    loss: int,
    conditions: Conditions,
    *,
    one_way: bool = False,
    length_m: float | None = None,
    extra_k: float = 0.0,
) -> PipeLink:
    return PipeLink(
        id=id,
        start=start,
        end=end,
        inside_m=pipe.inside_m,
        length_m=pipe.length_m if length_m is None else length_m,
        roughness_m=pipe.roughness_m * ends_of("pipe.roughness_in_use")[loss],
        loss_k=loss_k * ends_of("pipe.fittings_k")[loss] + extra_k,
        one_way=one_way,
        viscosity_m2s=conditions.viscosity_m2s or run.viscosity_m2s,
    )
