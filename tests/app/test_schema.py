"""Whatever the API's own description allows, and some that it does not, is answered: never by a crash."""

from __future__ import annotations

from collections.abc import MutableMapping
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error

from rillwright.app import make_app
from tests.app.service import LOOPBACK, PRESS, jobs_in

served = {"app": make_app(Path("nowhere"))}  # enough to describe itself


async def from_here(scope: MutableMapping[str, Any], receive: Any, send: Any) -> None:
    """The service, as it is asked on its own machine."""
    headers = [(name, value) for name, value in scope.get("headers", ()) if name != b"host"]
    here = {**scope, "client": LOOPBACK, "headers": [(b"host", b"localhost"), *headers]}
    await served["app"](here, receive, send)


schema = schemathesis.openapi.from_asgi("/api/openapi.json", from_here)


@pytest.fixture(scope="module", autouse=True)
def _jobs(tmp_path_factory: pytest.TempPathFactory) -> None:
    served["app"] = make_app(jobs_in(tmp_path_factory.mktemp("jobs")))


@schema.parametrize()
@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
def test_no_request_makes_the_service_stumble(case: schemathesis.Case[Any]) -> None:
    """A job is named by what the schema makes up, which is none: so one that is there is put in its place."""
    if "job" in case.path_parameters:
        case.path_parameters["job"] = PRESS
    answer = case.call_and_validate(checks=[not_a_server_error])
    assert answer.status_code not in (401, 421)
