"""A measured flow taken back in: what head it stands for, and what of pump and pipe it speaks of."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics.valves import throttle
from rillwright.units import Band


class MeasuredRun(Struct, frozen=True, kw_only=True):
    """A run at its measured flow. Where pump and pipe differ by more than their bands, one of them is not as drawn.

    `gap_m` is the pump's head less what lift and pipe ask for. Above nought it is lost somewhere, or the pump is worn.
    """

    flow_m3s: float
    pump_head_m: Band  # by the pump's curve
    system_head_m: Band  # by lift and losses
    gap_m: Band
    extra_k: float | None  # K that would take the gap, on the speed in the pipe [-]
    pump_share: float | None  # head that the pump still gives of its curve's, if the pipe is as drawn [-]
    verdict: str  # 'as drawn' | 'less' | 'more'
    outside: str


def measured_run(
    flow_m3s: float,
    *,
    heads: Sequence[Callable[[float], float]],
    static_m: float,
    losses: Sequence[Callable[[float], float]],
    inside_m: float,
    flow_error: float = 0.0,
    gravity_ms2: float = GRAVITY_MS2,
) -> MeasuredRun:
    """What a flow read with a bucket or a meter says of the pump and its pipe.

    Parameters
    ----------
    flow_m3s : float
        Measured [m3/s].
    heads : sequence of callable
        Low, usual and high: flow [m3/s] -> head that the pumps give [m].
    static_m : float
        Lift [m].
    losses : sequence of callable
        Least, usual and most: flow [m3/s] -> head lost [m].
    inside_m : float
        Of the pipe in which a loss would sit [m].
    flow_error : float
        How far the flow may be off, either way, as a share of it [-].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    MeasuredRun
        Heads [m], K and share of head [-].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: balance of heads at the measured flow. With more flow a pump gives less head and a pipe asks for more,
    so the gap is least at the greatest flow that it may have been, and most at the least.
    """
    refuse_unusable(
        positive={
            "flow_m3s": flow_m3s, "inside_m": inside_m, "gravity_ms2": gravity_ms2, "1 - flow_error": 1.0 - flow_error,
        },
        not_negative={"flow_error": flow_error},
    )  # fmt: skip
    flows = [flow_m3s * (1.0 + way * flow_error) for way in (-1.0, 0.0, 1.0)]
    pump = _band([head(flow) for head, flow in zip(heads, flows[::-1], strict=True)])
    system = _band([static_m + loss(flow) for loss, flow in zip(losses, flows, strict=True)])
    gap = pump - system
    less, more = gap.low > 0.0, gap.high < 0.0
    return MeasuredRun(
        flow_m3s=flow_m3s,
        pump_head_m=pump,
        system_head_m=system,
        gap_m=gap,
        extra_k=throttle(gap.value, flow_m3s=flow_m3s, inside_m=inside_m, gravity_ms2=gravity_ms2)
        if gap.value > 0.0
        else None,
        pump_share=system.value / pump.value if pump.value > 0.0 and system.value >= 0.0 else None,
        verdict="less" if less else "more" if more else "as drawn",
        outside=notes((pump.value <= 0.0, "the flow lies beyond the end of the pump's curve")),
    )


def _band(values: Sequence[float]) -> Band:
    return Band(values[len(values) // 2], min(values), max(values))
