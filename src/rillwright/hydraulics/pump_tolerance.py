"""How far the curve of a pump as delivered may lie from the one that its maker printed."""

from __future__ import annotations

from msgspec import Struct

from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics.pumps import PumpCurve, scaled


class LimitCurve(Struct, frozen=True, kw_only=True):
    """The lowest or highest of several curves at each flow: head [m] against flow [m3/s], falling as they do."""

    curves: tuple[PumpCurve, ...]
    lowest: bool

    def _ended(self, values: list[float]) -> float:
        return min(values) if self.lowest else max(values)

    @property
    def shut_off_m(self) -> float:
        """Head at no flow [m]."""
        return self._ended([curve.shut_off_m for curve in self.curves])

    @property
    def greatest_flow_m3s(self) -> float:
        """Flow at no head [m3/s]."""
        return self._ended([curve.greatest_flow_m3s for curve in self.curves])

    def head(self, flow_m3s: float) -> float:
        """Head [m] at a flow [m3/s]; below zero beyond the greatest flow."""
        return self._ended([curve.head(flow_m3s) for curve in self.curves])

    def flow(self, head_m: float) -> float:
        """Flow [m3/s] against a head [m]; none at or above shut-off."""
        return self._ended([curve.flow(head_m) for curve in self.curves])

    def steepness(self, flow_m3s: float) -> float:
        """How fast the head falls at a flow [m per m3/s]."""
        return self._at(flow_m3s).steepness(flow_m3s)

    def outside(self, flow_m3s: float) -> str:
        """Empty inside the given points; else says that the flow [m3/s] lies beyond the last."""
        return self._at(flow_m3s).outside(flow_m3s)

    def _at(self, flow_m3s: float) -> PumpCurve:
        head = self.head(flow_m3s)
        return next(curve for curve in self.curves if curve.head(flow_m3s) == head)


def accepted(curve: PumpCurve, *, head_share: float, flow_share: float, lowest: bool) -> LimitCurve:
    """The lowest or highest curve that an acceptance test lets pass for the one printed.

    A test holds a cross to the printed point, as high as the tolerance of head, as wide as that of flow, and passes a
    curve that meets either of its bars. So at each flow the end is the further of the two: heads off by their share, or
    flows off by theirs; not both on top of each other. Steep curves are held by the head, flat ones by the flow.

    Parameters
    ----------
    curve : PumpCurve
        As printed, head [m] against flow [m3/s].
    head_share, flow_share : float
        Tolerances, either way [-]; 0 to below 1.
    lowest : bool
        Which end of the band.

    Returns
    -------
    LimitCurve
        Head [m] against flow [m3/s].

    Raises
    ------
    InputError
        If a tolerance is below nought or not below one.

    References
    ----------
    iso-9906: the cross and its bars, from memory and from a pump maker's page on tolerances.
    """
    refuse_unusable(
        not_negative={"head_share": head_share, "flow_share": flow_share},
        positive={"1 - head_share": 1.0 - head_share, "1 - flow_share": 1.0 - flow_share},
    )
    way = -1.0 if lowest else 1.0
    by_head = scaled(curve, flow_share=1.0, head_share=1.0 + way * head_share)
    by_flow = scaled(curve, flow_share=1.0 + way * flow_share, head_share=1.0)
    return LimitCurve(curves=(by_head, by_flow), lowest=lowest)
