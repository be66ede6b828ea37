"""A browser from the system, screens built from the tree, the service beside them. Nothing in a page may go wrong."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Request, ViewportSize

from tests.browser.office import Office
from tests.web.node import run, workshop

PROGRAMS = ("chromium", "google-chrome", "chromium-browser")
FLAGS = (
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--disable-quic",
    "--disable-gpu",
    "--enable-unsafe-swiftshader",  # three dimensions without a graphics card
)
OUR_OWN = "GPU stall due to ReadPixels"  # what a browser says of our looking at its pixels
PHONE: ViewportSize = {"width": 360, "height": 740}


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    named = os.environ.get("RILLWRIGHT_CHROMIUM")
    program = named or next((found for name in PROGRAMS if (found := shutil.which(name))), None)
    if program is None:
        message = "no chromium or google-chrome on the path: install one, or name it in RILLWRIGHT_CHROMIUM"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(message)
    return {**browser_type_launch_args, "executable_path": program, "args": list(FLAGS)}


@pytest.fixture(scope="session")
def web(request: pytest.FixtureRequest) -> Path:
    """A copy of web/ with its packages, kept between runs."""
    assert request.config.cache is not None
    return workshop(Path(request.config.cache.mkdir("rillwright-web")))


@pytest.fixture(scope="session")
def screens(web: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The screens as the tree has them."""
    out = tmp_path_factory.mktemp("screens")
    done = run("build.ts", out, cwd=web)
    assert done.returncode == 0, done.stdout + done.stderr
    return out


@pytest.fixture(scope="session")
def axe(web: Path) -> str:
    """The accessibility rules, to be run in a page."""
    return (web / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def office(screens: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    found = Office(tmp_path_factory.mktemp("jobs"), screens)
    found.start()
    yield found
    found.kill()


class Watched:
    """A browser of one person; what its pages complain of, and whom they ask."""

    def __init__(self, browser: Browser, office: Office, **settings: Any) -> None:
        self.context: BrowserContext = browser.new_context(base_url=office.address, viewport=PHONE, **settings)
        self.context.set_default_timeout(10_000)
        self.office, self.wrong, self.away = office, list[str](), False
        self.context.on("weberror", lambda error: self.wrong.append(str(error.error)))
        self.context.on("console", self._console)
        self.context.on("request", self._request)

    def _console(self, said: ConsoleMessage) -> None:
        unreached = self.away and "Failed to load resource" in said.text
        if said.type in ("error", "warning") and not unreached and OUR_OWN not in said.text:
            self.wrong.append(said.text)

    def _request(self, asked: Request) -> None:
        if not asked.url.startswith((f"{self.office.address}/", "blob:", "data:")):
            self.wrong.append(f"asks for {asked.url}")


@pytest.fixture
def person(browser: Browser, office: Office) -> Iterator[Watched]:
    """A person with a phone whose pages must not complain."""
    found = Watched(browser, office)
    yield found
    found.context.close()
    assert found.wrong == []
