"""A judged job in key numbers and in one sentence of what it was checked against."""

from __future__ import annotations

from msgspec import Struct

from rillwright.assessment import Judged
from rillwright.job.opening import Job, readings_of


class KeyNumber(Struct, frozen=True):
    """One thing that the feature comes to, in the reader's words and units."""

    label: str
    value: str
    note: str


def key_numbers(judged: Judged) -> tuple[KeyNumber, ...]:
    """What the feature comes to: height, flow, pump, drop at start, berm, liner, stone, soil, access, days, price."""
    from rillwright.packet import key_numbers as told

    return tuple(KeyNumber(*row) for row in told(judged.assessment))


def checked_against(job: Job, judged: Judged) -> str:
    """Against which readings the job was checked, and what was not."""
    from rillwright.packet import checked, not_checked

    missing = not_checked(judged.assessment)
    said = checked(judged.assessment, readings_of(job))
    return f"{said}. Not checked: {'; '.join(missing)}." if missing else f"{said}."
