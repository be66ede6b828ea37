"""How much Hypothesis does: little on every run, much in `dev.py test --deep`."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile("quick", max_examples=40, deadline=None, derandomize=True)
settings.register_profile("deep", max_examples=10_000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("long", max_examples=1_000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("quick")
