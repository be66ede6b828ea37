"""What a pipe run tells beside its operating point: its pumps, cases, sizes, choices, suction, summit, valves."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Band


class PumpShare(Struct, frozen=True, kw_only=True):
    """One pump of a run at its own point. Shut: the others hold its check valve closed."""

    pump: str
    flow_m3s: Band
    head_m: Band
    shut: bool
    preferred_m3s: tuple[float, float] | None
    npsh_required_m: float | None
    npsh_available_m: float | None  # at the greatest flow of its band


class CaseFlow(Struct, frozen=True, kw_only=True):
    """A run in one case, all else being usual."""

    case: str  # clean | worn | dirty intake | cold water | pond low
    flow_m3s: float
    head_m: float
    spare: float  # over the flow wanted, less one [-]


class SizeTried(Struct, frozen=True, kw_only=True):
    """The run with another listed pipe as its main."""

    pipe: str
    inside_m: float
    flow_m3s: float
    head_m: float
    speed_ms: float
    power_w: float  # electrical, of a pump of usual efficiency that suits the flow wanted


class PumpTried(Struct, frozen=True, kw_only=True):
    """The run with one pump of the person's own list in the place of its own."""

    pump: str
    flow_m3s: Band
    head_m: Band
    power_w: Band
    spare: float  # over the flow wanted, less one [-]
    in_preferred: bool | None  # None: its maker names no range


class SummitWater(Struct, frozen=True, kw_only=True):
    """The water at the highest point of a run."""

    level_m: float
    pressure_m: Band  # above the air's, as a head
    spare_m: Band  # above the vapour's, as a head
    prime_m: float | None  # what the pumps lift at no flow over what it takes to get water over it; None: no pump


class Siphon(Struct, frozen=True, kw_only=True):
    """What runs back at stop out of a bed in which a pipe ends under water with nothing to shut it [m3]."""

    run: str
    bed: str  # id of the reach
    body: str  # into which it runs back
    back_m3: float


class MeasuredFlow(Struct, frozen=True, kw_only=True):
    """The flow as measured, and what it says. Gap: head of the pumps less what lift and pipes ask for at that flow.

    `error` is how far that flow may be off, either way, as a share of it [-].
    """

    flow_m3s: float
    error: float
    computed_m3s: Band
    pump_head_m: Band
    system_head_m: Band
    gap_m: Band
    extra_k: float | None  # on the speed in the main [-]
    pump_share: float | None  # of its curve's head that the pump still gives, if the pipe is as drawn [-]
    verdict: str  # as drawn | less | more


class MainValve(Struct, frozen=True, kw_only=True):
    """What a valve on the main takes away at the flow wanted: head [m], K on the speed in the main [-]."""

    spare_m: float
    valve_k: float
