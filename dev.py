"""Work on Rillwright with Python alone: `python3 dev.py demo | test | bench | docs` (Windows: `py dev.py ...`).

Makes `.venv` beside this file when it is missing, half made or out of date, and runs the command in it.
The syntax of this file is that of Python 3.6: an old Python must come far enough to be told so.
"""

import argparse
import hashlib
import os
import re
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

OLDEST = (3, 11)
THIS = ".".join(str(part) for part in sys.version_info[:2])
OLDEST_PIP = (25, 1)  # the first that installs dependency groups
ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
STAMP = VENV / "rillwright.stamp"  # says what this .venv was made from; written last
MAKING = "being made"
BROWSERS = ("chromium", "google-chrome", "chromium-browser")
CHECKS = {
    "lint": ("ruff", "check", "--quiet", "."),
    "format": ("ruff", "format", "--check", "."),
    "contracts": ("importlinter.cli",),
    "types": ("mypy",),
}
SPREAD = ("-n", "auto", "--maxprocesses", "4", "--dist", "loadfile")  # over the cores, a file in one process
READERS = ("tests/units", "tests/exchange", "tests/sources", "tests/feature", "tests/survey")  # 10,000 cases each


def say(text: str) -> None:
    print("dev.py: " + text, flush=True)


def run(*command: str) -> int:
    """Run `python -m ...` of the venv here, its output on ours; returns its exit code."""
    return subprocess.call([str(PYTHON), *command], cwd=str(ROOT))


def install(*what: str) -> None:
    pip = ("-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-input")
    if run(*pip, *what) != 0:
        sys.exit("dev.py: pip could not install; mend what it says above and run this again")


# The venv


def fingerprint(*, with_tests: bool) -> str:
    """What the venv depends on, in one line; another line means another install."""
    digest = hashlib.sha256()
    for file in [ROOT / "pyproject.toml", ROOT / "constraints.txt", *screens()]:
        digest.update(file.read_bytes().replace(b"\r\n", b"\n"))
    return f"python {THIS}, {'tests' if with_tests else 'alone'}, {digest.hexdigest()}, {ROOT}"


def screens() -> "list[Path]":
    """What the screens are built from: changed, they are built and installed again."""
    if os.environ.get("RILLWRIGHT_WEB_SKIP"):
        return []
    aside = {"node_modules", "tests", "dist"}
    files = [file for file in (ROOT / "web").rglob("*") if file.relative_to(ROOT / "web").parts[0] not in aside]
    return sorted(file for file in [ROOT / "hatch_build.py", *files] if file.is_file())


def stamped() -> str:
    return STAMP.read_text(encoding="utf-8") if STAMP.is_file() else ""


def works() -> bool:
    """True if the venv's Python starts, is of our version and has pip."""
    ask = "import sys, pip; print('%d.%d' % sys.version_info[:2])"
    try:
        answer = subprocess.run([str(PYTHON), "-c", ask], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    except OSError:
        return False
    return answer.returncode == 0 and answer.stdout.decode().strip() == THIS


def refuse_without_venv() -> None:
    """Some systems ship Python without what `venv` needs: say how to get it."""
    try:
        import ensurepip
        import venv
    except ImportError:
        pass
    else:
        del ensurepip, venv
        return
    sys.exit(
        "dev.py: this Python has no venv or ensurepip module. On Debian and its kin, once:\n\n"
        f"    apt install python{THIS}-venv\n"
    )


def make_venv() -> None:
    refuse_without_venv()
    if sys.prefix != sys.base_prefix and Path(sys.prefix).resolve() == VENV.resolve():
        sys.exit("dev.py: .venv has to be made anew; run this with the system's Python, not the one inside .venv")
    if VENV.exists():
        say("removing the .venv that is broken or half made")
        shutil.rmtree(str(VENV))
    say(f"making .venv with Python {sys.version.split()[0]}")
    VENV.mkdir()
    STAMP.write_text(MAKING, encoding="utf-8")
    if subprocess.call([sys.executable, "-m", "venv", str(VENV)]) != 0:
        sys.exit("dev.py: could not make .venv; what Python says stands above")


def new_enough_pip() -> None:
    text = subprocess.check_output([str(PYTHON), "-m", "pip", "--version"], cwd=str(ROOT)).decode()
    found = re.match(r"pip (\d+)\.(\d+)", text)
    if found is None or (int(found.group(1)), int(found.group(2))) < OLDEST_PIP:
        say("upgrading pip")
        install("--upgrade", f"pip>={OLDEST_PIP[0]}.{OLDEST_PIP[1]}")


def prepare(*, with_tests: bool) -> None:
    """Leave with a `.venv` that holds Rillwright, and the `test` group if wanted; at once if it does already."""
    fits = {fingerprint(with_tests=True), fingerprint(with_tests=with_tests)}
    if stamped() in fits and PYTHON.exists():
        return
    if stamped() == MAKING or not works():
        make_venv()
    STAMP.write_text(MAKING, encoding="utf-8")
    new_enough_pip()
    say("installing Rillwright" + (" and what its tests need" if with_tests else ""))
    group = ("--group", "test") if with_tests else ()
    install("-c", "constraints.txt", "-e", ".", *group)
    STAMP.write_text(fingerprint(with_tests=with_tests), encoding="utf-8")


# The browser of the system, for the tests of the screens


def browser() -> None:
    """Leave with a Chromium where the system has a package of it; elsewhere its tests are left out, and it says so."""
    if os.environ.get("RILLWRIGHT_CHROMIUM") or any(map(shutil.which, BROWSERS)):
        return
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    if not (sys.platform == "linux" and root and shutil.which("apt-get")):
        say("no chromium or google-chrome here: the tests in a browser are left out (with CI set they fail)")
        return
    say("installing the system's package chromium, for the tests of the screens")
    env = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for words in (["update", "-qq"], ["install", "-y", "-qq", "--no-install-recommends", "chromium"]):
        if subprocess.call(["apt-get", *words], env=env, stdout=subprocess.DEVNULL) != 0:
            say("that did not work; what apt-get says stands above. The tests of the screens in a browser are left out")
            return


# The commands


def check(name: str) -> bool:
    """One check of CHECKS; its output is printed in one piece when it failed."""
    done = subprocess.run(
        [str(PYTHON), "-m", *CHECKS[name]], cwd=str(ROOT), stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    )
    output = done.stdout.decode("utf-8", "replace").rstrip()
    say(f"{name}: ok" if done.returncode == 0 else f"{name}: FAILED\n{output}")
    return done.returncode == 0


def test(*, deep: bool, pytest_args: "list[str]") -> int:
    """Lint, format, contracts and types two at a time, then pytest; all run even when one has failed."""
    with ThreadPoolExecutor(2) as pool:
        passed = dict(zip(CHECKS, pool.map(check, CHECKS), strict=True))
    if not deep:
        code = run("-m", "pytest", *SPREAD, "-m", "not deep", *pytest_args)
    elif pytest_args:
        code = run("-m", "pytest", "--hypothesis-profile=deep", *pytest_args)
    else:
        others = ["--ignore=" + folder for folder in READERS]
        code = run("-m", "pytest", "--hypothesis-profile=deep", *READERS)
        code = run("-m", "pytest", "--hypothesis-profile=long", *others) or code
    failed = [name for name in CHECKS if not passed[name]]
    if failed:
        say("failed before pytest, see above: " + ", ".join(failed))
    return code or (1 if failed else 0)


def main() -> int:
    parser = argparse.ArgumentParser(prog="dev.py", description="Work on Rillwright with Python alone.")
    commands = parser.add_subparsers(dest="command", required=True, metavar="demo | test | bench | docs")
    commands.add_parser("demo", help="from a level book to the papers, on an invented example")
    testing = commands.add_parser("test", help="lint, types, contracts and tests; what follows goes to pytest")
    testing.add_argument("--deep", action="store_true", help="the long tests too")
    commands.add_parser("bench", help="speed as ratios measured in one run")
    commands.add_parser("docs", help="write the generated pages of docs/ anew")
    chosen, rest = parser.parse_known_args()
    if rest and chosen.command != "test":
        parser.error(f"{chosen.command} takes no {' '.join(rest)}")
    prepare(with_tests=chosen.command in ("test", "bench"))
    if chosen.command == "test":
        browser()
        return test(deep=chosen.deep, pytest_args=rest)
    if chosen.command == "bench":
        return run("-m", "benchmarks.bench")
    if chosen.command == "docs":
        return run("docs/pages.py")
    return run("-m", "rillwright", "demo")


if __name__ == "__main__":
    if sys.version_info < OLDEST:
        sys.exit(f"Rillwright needs Python 3.11 or later; this is {sys.version.split()[0]}, {sys.executable}")
    sys.exit(main())
