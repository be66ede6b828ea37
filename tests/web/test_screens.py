"""The screens: the phone's arithmetic against Python's answers, the queue, types, and what is built of them."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
from pathlib import Path

import hatch_build
import pytest

from tests.house.test_files import PACKAGE_HOSTS
from tests.house.tree import ROOT
from tests.web.node import WEB, run

MOST_ON_A_PHONE = 60_000  # bytes of the first load, compressed
MOST_LATE = 145_000  # bytes of what is loaded when it is asked for, compressed
LATE = {"job.html": ["round.js"]}  # which page loads what by its digest
TESTS = sorted(file.name for file in (WEB / "tests").glob("*.test.ts"))


@pytest.mark.parametrize("name", TESTS)
def test_in_node(web: Path, name: str) -> None:
    done = run("--test", "--test-reporter=spec", f"tests/{name}", cwd=web)
    assert done.returncode == 0, done.stdout + done.stderr
    assert re.search(r"^\S+ pass [1-9]", done.stdout, re.MULTILINE), done.stdout


def test_types_hold(web: Path) -> None:
    done = run(
        "node_modules/svelte-check/bin/svelte-check", "--tsconfig", "tsconfig.json", "--fail-on-warnings", cwd=web
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.fixture(scope="module")
def built(web: Path) -> Path:
    done = run("build.ts", web / "dist", cwd=web)
    assert done.returncode == 0, done.stdout + done.stderr
    return web / "dist"


def pages(built: Path) -> list[Path]:
    found = sorted(built.glob("*.html"))
    assert found
    return found


def test_pages_that_stand_alone_ask_for_nothing_else_at_first(built: Path) -> None:
    allowed = json.loads((built / "policy.json").read_text(encoding="utf-8"))
    for page in pages(built):
        text = page.read_text(encoding="utf-8")
        assert page.name in allowed
        assert not re.search(r"<(script|link)[^>]*\b(src|href)=\"(?!data:)", text)
        assert not re.search(r"\bfrom\s*[\"']\./|\bimport\s*[\"']\./", text)


def test_the_content_policy_names_the_scripts_that_are_there(built: Path) -> None:
    for name, allowed in json.loads((built / "policy.json").read_text(encoding="utf-8")).items():
        text = (built / name).read_text(encoding="utf-8")
        for tag in ("script", "style"):
            inside = re.findall(rf"<{tag}(?: type=\"module\")?>(.*?)</{tag}>", text, re.DOTALL)
            late = [(built / file).read_text(encoding="utf-8") for file in LATE.get(name, ()) if tag == "script"]
            digests = [base64.b64encode(hashlib.sha256(part.encode()).digest()).decode() for part in inside + late]
            assert [f"sha256-{one}" for one in digests] == allowed[tag]


def test_the_first_load_is_small(built: Path) -> None:
    sizes = {page.name: len(gzip.compress(page.read_bytes(), 9)) for page in pages(built)}
    assert max(sizes.values()) <= MOST_ON_A_PHONE, sizes


def test_three_dimensions_are_a_script_of_their_own(built: Path) -> None:
    """Drawing in three dimensions is in no page: it is loaded when it is asked for."""
    drawn = "WebGLRenderer"
    assert drawn in (built / "round.js").read_text(encoding="utf-8")
    assert not [page.name for page in pages(built) if drawn in page.read_text(encoding="utf-8")]
    assert len(gzip.compress((built / "round.js").read_bytes(), 9)) <= MOST_LATE


def test_nothing_built_names_a_place_on_the_net(built: Path) -> None:
    namespaces = (
        "http://www.w3.org/",
        "https://svelte.dev/e/",
    )  # names, never fetched; and where an error is explained
    for file in [*pages(built), *built.glob("*.js")]:
        text = file.read_text(encoding="utf-8")
        for name in namespaces:
            text = text.replace(name, "")
        assert not re.findall(r"https?://[^\s\"'`)]+", text), file.name


def test_the_lock_names_no_host_and_every_system() -> None:
    text = (WEB / "package-lock.json").read_text(encoding="utf-8")
    assert "://" not in text
    assert not [host for host in PACKAGE_HOSTS if host in text]
    for system in (
        "linux-x64-gnu",
        "linux-arm64-gnu",
        "linux-x64-musl",
        "darwin-arm64",
        "darwin-x64",
        "win32-x64-msvc",
    ):
        assert f"node_modules/@rolldown/binding-{system}" in text


def test_the_same_screens_are_not_built_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("RILLWRIGHT_WEB_SKIP", raising=False)
    web, out = tmp_path / "web", tmp_path / "src" / "rillwright" / "static"
    web.mkdir()
    out.mkdir(parents=True)
    (web / "page.ts").write_text("1;\n", encoding="utf-8")
    hook = hatch_build.WebBuild(str(tmp_path), {}, None, None, str(tmp_path), "wheel")  # type: ignore[arg-type]
    assert hook.dependencies() == [hatch_build.NODE]
    (out / ".built-from").write_text(hatch_build.digest(web), encoding="utf-8")
    assert not hook.needed()
    (web / "page.ts").write_bytes(b"1;\r\n")
    assert not hook.needed(), "line ends are no change"
    (web / "tests").mkdir()
    (web / "tests" / "any.test.ts").write_text("", encoding="utf-8")
    assert not hook.needed(), "a test is no screen"
    (web / "page.ts").write_text("2;\n", encoding="utf-8")
    assert hook.needed()
    monkeypatch.setenv("RILLWRIGHT_WEB_SKIP", "1")
    assert hook.dependencies() == []


def test_what_is_built_is_in_no_commit() -> None:
    assert "src/rillwright/static/" in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
