"""What may stand on paper: a customer may get to see it, so no odds."""

from __future__ import annotations

from msgspec.structs import replace

from rillwright.assessment import FOR_THE_BUILDER, Judged, NotRun

_NOT_ON_PAPER = NotRun("for the builder alone")


def on_paper(judged: Judged) -> Judged:
    """The same without odds: neither what was drawn, nor its findings, nor the figures from which it was drawn."""
    assessment = judged.assessment
    return replace(
        judged,
        assessment=replace(
            assessment,
            odds=_NOT_ON_PAPER,
            limits_used=tuple(used for used in assessment.limits_used if used.name not in FOR_THE_BUILDER),
            defaults_used=tuple(used for used in assessment.defaults_used if not used.path.startswith("odds/")),
        ),
        findings=tuple(finding for finding in judged.findings if finding.code not in FOR_THE_BUILDER),
    )
