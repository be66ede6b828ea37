"""Tests that can fail: each one asserts, raises or checks something."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.house.tree import parsed, python_files, short

SPEAKING = {"fail", "raises", "warns", "check", "expect", "run_state_machine_as_test"}


def called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def names_used(function: ast.FunctionDef) -> set[str]:
    return {called(node) for node in ast.walk(function) if isinstance(node, ast.Call)}


def speaks(function: ast.FunctionDef, checkers: set[str]) -> bool:
    if any(isinstance(node, ast.Assert) for node in ast.walk(function)):
        return True
    return bool(names_used(function) & checkers)


def functions(file: Path) -> Iterator[ast.FunctionDef]:
    return (node for node in ast.walk(parsed(file)) if isinstance(node, ast.FunctionDef))


def mute(file: Path) -> list[str]:
    """Tests of the file that assert nothing, neither themselves nor through a function of the same file."""
    checkers = set(SPEAKING)
    for _ in range(3):
        checkers |= {one.name for one in functions(file) if not one.name.startswith("test_") and speaks(one, checkers)}
    return [one.name for one in functions(file) if one.name.startswith("test_") and not speaks(one, checkers)]


TESTS = [file for file in python_files("tests") if file.name.startswith("test_")]


@pytest.mark.parametrize("file", TESTS, ids=short)
def test_every_test_can_fail(file: Path) -> None:
    assert not mute(file)


def test_a_mute_test_is_found(tmp_path: Path) -> None:
    file = tmp_path / "test_mute.py"
    file.write_text("def test_a():\n    1 + 1\n\n\ndef test_b():\n    assert 1\n", encoding="utf-8")
    assert mute(file) == ["test_a"]


def test_no_assertion_of_a_constant() -> None:
    empty = [
        f"{short(file)}:{node.lineno}"
        for file in python_files("tests")
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.Assert) and isinstance(node.test, ast.Constant | ast.Tuple)
    ]
    assert not empty


def test_every_expected_failure_and_skip_gives_its_reason() -> None:
    silent = [
        f"{short(file)}:{node.lineno}"
        for file in python_files("tests")
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.Call)
        and called(node) in {"skip", "skipif", "xfail"}
        and not (node.args or node.keywords)
    ]
    assert not silent
