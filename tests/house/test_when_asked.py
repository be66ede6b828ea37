"""Names that a layer loads when asked: what the types say, what is looked up and what is there are one and the same."""

from __future__ import annotations

import ast
from importlib import import_module
from pathlib import Path

import pytest

import rillwright

HOME = Path(rillwright.__file__).parent
LAYERS = sorted(
    file.parent.name for file in HOME.glob("*/__init__.py") if "def __getattr__" in file.read_text(encoding="utf-8")
)


def typed(layer: str) -> dict[str, tuple[str, str]]:
    """Name to (module, name there), as imported for types alone."""
    tree = ast.parse((HOME / layer / "__init__.py").read_text(encoding="utf-8"))
    found: dict[str, tuple[str, str]] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            for line in node.body:
                assert isinstance(line, ast.ImportFrom), "only imports stand there"
                for alias in line.names:
                    found[alias.asname or alias.name] = (str(line.module), alias.name)
    return found


def asked(layer: str) -> dict[str, tuple[str, str]]:
    """Name to (module, name there), as looked up. A list is by name, or by module where all keep their names."""
    found: dict[str, tuple[str, str]] = {}
    for key, value in import_module(f"rillwright.{layer}")._WHEN_ASKED.items():
        if key.startswith("rillwright."):
            found |= {name: (key, name) for name in value}
        else:
            found[key] = value
    return found


def test_there_are_such_layers() -> None:
    assert {"job", "drawings", "packet"} <= set(LAYERS)


@pytest.mark.parametrize("layer", LAYERS)
def test_types_and_look_up_agree(layer: str) -> None:
    assert typed(layer) == asked(layer)


@pytest.mark.parametrize("layer", LAYERS)
def test_every_name_is_public_and_there(layer: str) -> None:
    module = import_module(f"rillwright.{layer}")
    assert set(asked(layer)) <= set(module.__all__)
    for name, (home, there) in asked(layer).items():
        assert getattr(module, name) is getattr(import_module(home), there)


@pytest.mark.parametrize("layer", LAYERS)
def test_no_other_name_is_made_up(layer: str) -> None:
    with pytest.raises(AttributeError, match="nothing_of_that_name"):
        _ = import_module(f"rillwright.{layer}").nothing_of_that_name
