"""A docstring taken apart: its sections, and what each entry of them says."""

from __future__ import annotations

import inspect
import re
import typing
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from rillwright.ground import GroundData, Raster, Tin
from rillwright.ground.data import Floats

UNIT = re.compile(r"\[[^\[\]]+\]")
LATE = {"Floats": Floats, "GroundData": GroundData, "Raster": Raster, "Tin": Tin}  # loaded when they are asked for
SECTIONS = ("Parameters", "Returns", "Yields", "Raises", "References", "Notes", "Examples", "See Also", "Warnings")


@dataclass(frozen=True)
class Docstring:
    """The whole text, its part before the first section, and the sections by name."""

    text: str
    head: str
    sections: dict[str, str]

    def entries(self, section: str) -> dict[str, str]:
        """Entries of a section by name: a line at the margin and what is indented under it; `a, b : float` is two."""
        found: dict[str, str] = {}
        names: list[str] = []
        for line in self.sections.get(section, "").splitlines():
            if line.strip() and not line.startswith(" "):
                names = [name.strip(" *") for name in line.split(":")[0].split(",")]
            for name in names:
                found[name] = found.get(name, "") + line + "\n"
        return found


def docstring(function: Callable[..., Any]) -> Docstring:
    text = inspect.getdoc(function) or ""
    parts = re.split(rf"^({'|'.join(SECTIONS)})\n-+\n", text, flags=re.MULTILINE)
    return Docstring(text=text, head=parts[0], sections=dict(zip(parts[1::2], parts[2::2], strict=True)))


def is_number(annotation: object) -> bool:
    """True for float, for a Band, and for anything that holds either: `float | None`, arrays, tuples, sequences."""
    if annotation is float or getattr(annotation, "__name__", "") in ("Band", "ndarray"):
        return True
    return any(is_number(part) for part in typing.get_args(annotation))


def numbers(function: Callable[..., Any]) -> tuple[list[str], bool]:
    """Names of the parameters that are numbers, and whether the answer is one."""
    hints = typing.get_type_hints(function, localns=LATE)
    answer = hints.pop("return", None)
    return [name for name, hint in hints.items() if is_number(hint)], is_number(answer)
