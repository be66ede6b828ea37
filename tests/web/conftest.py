"""One copy of web/ for all tests of the screens."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.web.node import workshop


@pytest.fixture(scope="session")
def web(request: pytest.FixtureRequest) -> Path:
    """A folder in which the screens can be built, checked and tested; its packages are kept between runs."""
    assert request.config.cache is not None
    return workshop(Path(request.config.cache.mkdir("rillwright-web")))
