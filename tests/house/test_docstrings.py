"""Docstrings of public functions: there, true to the signature, a unit at every number, a source at every formula."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from tests.house.docstring import UNIT, docstring, is_number, numbers
from tests.house.tree import layer, layers, public_names

from rillwright.sources import sources

Function = Callable[..., Any]
FORMULAS = ("hydraulics",)  # layers whose functions are formulas: each names its source


def functions() -> Iterator[tuple[str, Function]]:
    """Public functions of all layers, and public methods that their public classes define, by dotted name."""
    for name in layers():
        for public in public_names(name):
            thing = getattr(layer(name), public)
            if inspect.isfunction(inspect.unwrap(thing)):
                yield f"{name}.{public}", inspect.unwrap(thing)


FUNCTIONS = dict(functions())
every_function = pytest.mark.parametrize("name", sorted(FUNCTIONS))


@pytest.mark.parametrize("name", layers())
def test_public_names_are_listed_once_sorted_and_there(name: str) -> None:
    listed = public_names(name)
    assert listed, f"rillwright.{name} lists nothing in __all__"
    assert len(set(listed)) == len(listed)
    assert all(hasattr(layer(name), public) for public in listed)
    assert layer(name).__doc__


@every_function
def test_there_is_a_docstring(name: str) -> None:
    assert docstring(FUNCTIONS[name]).head.strip()


@every_function
def test_documented_parameters_are_those_of_the_signature(name: str) -> None:
    documented = list(docstring(FUNCTIONS[name]).entries("Parameters"))
    signature = list(inspect.signature(FUNCTIONS[name]).parameters)
    assert not documented or documented == signature


@every_function
def test_numbers_bear_a_unit(name: str) -> None:
    """In the entry of each number where there are sections; else at least once in the text."""
    doc = docstring(FUNCTIONS[name])
    parameters, answer = numbers(FUNCTIONS[name])
    entries = doc.entries("Parameters")
    bare = [one for one in parameters if entries and not UNIT.search(entries.get(one, ""))]
    if answer and "Returns" in doc.sections and not UNIT.search(doc.sections["Returns"] + doc.head):
        bare.append("what is returned")
    if (parameters or answer) and not UNIT.search(doc.text):
        bare.append("every number")
    assert not bare, f"{name}: no [unit] at {', '.join(bare)}"


@every_function
def test_at_most_three_positional_arguments(name: str) -> None:
    kinds = (inspect.Parameter.POSITIONAL_ONLY, inspect.Parameter.POSITIONAL_OR_KEYWORD)
    positional = [one for one in inspect.signature(FUNCTIONS[name]).parameters.values() if one.kind in kinds]
    assert len(positional) <= 3


def formulas() -> list[str]:
    """Functions of the formula layers that are documented at length; a line of text alone is a step or a definition."""
    return [name for name in FUNCTIONS if name.split(".")[0] in FORMULAS and docstring(FUNCTIONS[name]).sections]


@pytest.mark.parametrize("name", sorted(formulas()))
def test_formulas_name_where_they_come_from(name: str) -> None:
    """A source of the catalogue, or in so many words that there is none or that it is worked out."""
    told = docstring(FUNCTIONS[name]).sections.get("References", "")
    known = {source.id for source in sources()} & set(re.findall(r"[\w.-]*[\w-]", told))
    assert known or re.search("common practice|closed form|definition", told, re.IGNORECASE), told or "no References"


def test_units_are_looked_for_where_numbers_are() -> None:
    def flow(head_m: float, name: str, *, shares: tuple[float, ...] | None = None) -> int:
        """A flow.

        Parameters
        ----------
        head_m : float
            Head [m].
        name, shares
            No unit here.
        """
        return len(name)

    assert numbers(flow) == (["head_m", "shares"], False)
    assert list(docstring(flow).entries("Parameters")) == ["head_m", "name", "shares"]
    assert UNIT.search(docstring(flow).entries("Parameters")["head_m"])
    assert not UNIT.search(docstring(flow).entries("Parameters")["shares"])
    assert not is_number(int)
