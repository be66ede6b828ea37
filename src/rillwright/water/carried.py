"""What an overflow lets out while the water stands so high over its sill."""

from __future__ import annotations

from rillwright.feature import Overflow
from rillwright.hydraulics import flow_on_crest, pipe_entry_flow
from rillwright.units import Band


def overflow_carries(overflow: Overflow, head_m: Band, *, coefficient: Band) -> Band:
    """What leaves by an overflow [m3/s] with water over its sill [m]; none where it stands below.

    Parameters
    ----------
    overflow : Overflow
        A notch or a pipe.
    head_m : Band
        [m].
    coefficient : Band
        Of the notch as a crest [m^0.5/s].

    Returns
    -------
    Band
        [m3/s].

    References
    ----------
    `flow_on_crest`, and `pipe_entry_flow` into a level pipe.
    """
    value, low, high = (max(each, 0.0) for each in (head_m.value, head_m.low, head_m.high))
    if overflow.pipe_m is not None:
        return Band(*(pipe_entry_flow(head, overflow.pipe_m) for head in (value, low, high)))
    c, width = coefficient, overflow.width_m or 0.0
    return Band(
        flow_on_crest(value, width, c.value), flow_on_crest(low, width, c.low), flow_on_crest(high, width, c.high)
    )
