"""How values are made: decision 009."""

from __future__ import annotations

import ast

import pytest
from msgspec import Struct
from tests.house.tree import layer, layers, parsed, public_names, python_files, short


def test_no_dataclass() -> None:
    """To make one runs the compiler some seven times; with two hundred of them that was a fifth of a short command."""
    made = [
        f"{short(file)}:{node.lineno}"
        for file in python_files("src")
        for node in ast.walk(parsed(file))
        if (isinstance(node, ast.ImportFrom) and node.module == "dataclasses")
        or (isinstance(node, ast.Import) and any(name.name == "dataclasses" for name in node.names))
    ]
    assert not made, f"a value is a msgspec.Struct, see decision 009: {made}"


@pytest.mark.parametrize("name", layers())
def test_what_a_layer_hands_out_cannot_be_changed(name: str) -> None:
    """What is filled while a method runs stays inside its folder."""
    handed_out = [getattr(layer(name), each) for each in public_names(name)]
    values = [each for each in handed_out if isinstance(each, type) and issubclass(each, Struct)]
    assert not [each.__name__ for each in values if not each.__struct_config__.frozen]
