"""The strip along the foot of every page."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Assessment
from rillwright.packet.checked import checked, relative_to
from rillwright.packet.paper import READING
from rillwright.packet.say import fitted

_CAP_MM = 2.06  # of the strip's words


def strip(assessment: Assessment, readings: Sequence[str], date: str) -> dict[str, str]:
    """What stands along the foot of every page, cut to the narrowest of them."""
    feature = assessment.feature
    room = READING[feature.system].room[0]
    said = [date] if date else []
    said += [f"revision {feature.revision}"] if feature.revision else []
    return {
        "feature": fitted(feature.name, 0.45 * room, cap_mm=_CAP_MM),
        "levels": fitted(relative_to(assessment), 0.5 * room, cap_mm=_CAP_MM),
        "checked": fitted(checked(assessment, readings, date), room, cap_mm=_CAP_MM),
        "said": fitted(" · ".join(said), 0.35 * room, cap_mm=_CAP_MM) + (" · page " if said else "page "),
    }
