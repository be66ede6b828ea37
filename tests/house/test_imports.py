"""Who imports whom: foreign packages only at home, folders only through their front, readers from what was assessed."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import grimp
import pytest
from tests.house.tree import PACKAGE, layers, parsed, public_names, python_files, short

# Where each foreign package may be imported. One that is not listed has no home yet: give it one here, or do without.
HOMES: dict[str, set[str]] = {
    "click": {"cli"},
    "ezdxf": {"exchange"},
    "fastapi": {"app"},
    "fontTools": {"drawings"},
    "laspy": {"exchange"},
    "numba": {"ground", "hydraulics", "water"},
    "pydantic": {"app"},
    "pythoncdt": {"ground"},
    "ruamel": {"feature", "app"},
    "segno": {"app"},
    "shapely": {"feature", "ground", "shape", "water", "liner", "containment", "stone", "earth", "build", "drawings"},
    "scipy": {"survey", "ground", "hydraulics", "water", "liner", "stone"},
    "sqlalchemy": {"store"},
    "starlette": {"app"},
    "typst": {"packet"},
    "uvicorn": {"app"},
}
NUMPY = {"survey", "fit", "hydraulics", "ground", "shape", "water", "liner", "containment", "stone", "earth", "power"}
NUMPY |= {"build", "takeoff", "assess", "drawings", "exchange"}
HOMES["numpy"] = NUMPY
HOMES["msgspec"] = {"", "errors", "progress", *layers()}  # what every layer's values are made of

# What readers may import. `drawings` and `packet` draw visits and comparisons too, which are no physical layers;
# `packet` lays out what `drawings` drew.
VALUES = {"errors", "units", "progress", "sources", "assessment"}
READERS: dict[str, set[str]] = {
    "drawings": VALUES | {"judge", "compare", "visit"},
    "packet": VALUES | {"judge", "compare", "visit", "drawings"},
    "store": VALUES,
    "cli": {"errors", "units", "progress", "job", "app"},
    "app": {"errors", "units", "progress", "job"},
    "__main__": {"cli"},
}
HEAVY = {
    "scipy",
    "typst",
    "fontTools",
    "numba",
    "ortools",
    "sqlalchemy",
    "fastapi",
    "pydantic",
    "starlette",
    "uvicorn",
    "segno",
    "ezdxf",
    "laspy",
    "pythoncdt",
}
SERVICE = {
    "fastapi",
    "pydantic",
    "starlette",
    "uvicorn",
}  # `app` is made of these; its front loads nothing before it is asked


@cache
def imports() -> frozenset[tuple[str, str]]:
    """All imports of the package as (importer, imported), those under TYPE_CHECKING and inside functions too."""
    graph = grimp.build_graph("rillwright", include_external_packages=True, exclude_type_checking_imports=False)
    return frozenset((one, other) for one in graph.modules for other in graph.find_modules_directly_imported_by(one))


def folder(module: str) -> str:
    """The layer of one of our modules."""
    return [*module.split("."), ""][1]


def ours(module: str) -> bool:
    return module.split(".")[0] == "rillwright"


def test_the_graph_is_read() -> None:
    assert ("rillwright.assessment.result", "rillwright.water") in imports()


def test_foreign_packages_stay_at_home() -> None:
    foreign = {(one, other.split(".")[0]) for one, other in imports() if ours(one) and not ours(other)}
    strays = {
        f"{one} imports {other}"
        for one, other in foreign
        if other not in sys.stdlib_module_names and folder(one) not in HOMES.get(other, set())
    }
    assert not strays, "\n".join(sorted(strays))


def borrowed(file: Path) -> Iterator[str]:
    """Imports in `file` that reach behind the front of another folder, or for a name that its front does not list."""
    for node in ast.walk(parsed(file)):
        if isinstance(node, ast.Import):
            asked = [(alias.name, "") for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            asked = [(node.module or "", alias.name) for alias in node.names]
        else:
            continue
        for module, name in asked:
            if not ours(module) or folder(module) in ("", layer_of(file)):
                continue
            if module.count(".") > 1 or (folder(module) in layers() and name not in public_names(folder(module))):
                yield f"{short(file)}:{node.lineno}: {module} {name}"


def layer_of(file: Path) -> str:
    parts = file.relative_to(PACKAGE).parts
    return parts[0] if len(parts) > 1 else file.stem


def test_other_folders_only_through_their_front() -> None:
    behind = [stray for file in python_files("src") for stray in borrowed(file)]
    assert not behind, "\n".join(behind)


def test_no_import_by_dots() -> None:
    dotted = [
        f"{short(file)}:{node.lineno}"
        for file in python_files("src")
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.ImportFrom) and node.level
    ]
    assert not dotted


@pytest.mark.parametrize("reader", sorted(READERS))
def test_readers_read_what_was_assessed(reader: str) -> None:
    inside = {other for one, other in imports() if ours(other) and folder(one) == reader != folder(other)}
    strays = {other for other in inside - {"rillwright"} if folder(other) not in READERS[reader]}  # it holds a version
    assert not strays, f"{reader} may import {sorted(READERS[reader])}, but imports {sorted(strays)}"


def at_the_top(body: list[ast.stmt]) -> Iterator[str]:
    """Packages imported when a module is imported: not inside functions, not under TYPE_CHECKING."""
    for node in body:
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module
        elif isinstance(node, ast.If) and "TYPE_CHECKING" not in ast.dump(node.test):
            yield from at_the_top(node.body + node.orelse)
        elif isinstance(node, ast.Try | ast.With | ast.ClassDef):
            yield from at_the_top(node.body)


def compiled(file: Path) -> bool:
    """A module of functions that numba compiles: they need it at the top, and are themselves imported by functions."""
    return file.stem.endswith("_kernel")


def test_what_is_compiled_is_imported_by_the_functions_that_need_it() -> None:
    eager = {
        f"{short(file)}: {name}"
        for file in python_files("src")
        for name in at_the_top(parsed(file).body)
        if name.split(".")[-1].endswith("_kernel") and not compiled(file)
    }
    assert not eager, "\n".join(sorted(eager))


def test_heavy_packages_are_imported_by_the_functions_that_need_them() -> None:
    eager = {
        f"{short(file)}: {name}"
        for file in python_files("src")
        if not compiled(file)
        for name in at_the_top(parsed(file).body)
        if name.split(".")[0] in (HEAVY - SERVICE if layer_of(file) == "app" and file.stem != "__init__" else HEAVY)
    }
    assert not eager, "\n".join(sorted(eager))


def test_a_folder_is_a_layer_or_holds_no_code() -> None:
    folders = {path.name for path in PACKAGE.iterdir() if path.is_dir() and any(path.glob("*.py"))}
    assert folders == set(layers())


def test_no_deeper_than_package_layer_file() -> None:
    deep = [short(file) for file in python_files("src") if len(file.relative_to(PACKAGE).parts) > 2]
    assert not [name for name in deep if Path(name).parts[2] != "app"]
