"""The types of the result; no logic."""

from rillwright.assessment.result import Assessment, Finding, Judged, LimitUsed, NotRun, Severity

__all__ = ["Assessment", "Finding", "Judged", "LimitUsed", "NotRun", "Severity"]
