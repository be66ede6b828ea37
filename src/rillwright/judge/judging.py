"""Assessment to Judged."""

from __future__ import annotations

from msgspec.structs import replace

from rillwright.assessment import Assessment, Judged
from rillwright.findings import found_and_used


def judge(assessment: Assessment) -> Judged:
    """The assessment with the limits that were used on it, and every finding, worst first."""
    findings, limits = found_and_used(assessment)
    return Judged(assessment=replace(assessment, limits_used=limits), findings=findings)
