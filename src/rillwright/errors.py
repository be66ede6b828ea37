"""The exception tree, whole.

RillwrightError
├── InputError           what a person gave cannot be used; carries every Problem found; exit 2
│   └── UnitError        one quantity could not be read
├── NoAnswer             a method stopped without an answer; says where and why
│   └── Cancelled        whoever asked for it stopped it
└── OutputError          a file could not be written, or would have been written over
    └── Busy             another program is writing there; a moment later it may be possible
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct


class Problem(Struct, frozen=True, kw_only=True):
    """One thing that is wrong with what a person gave, and where it stands.

    `field` is where programs look for it; `words` is what people call it, where that is known.
    """

    message: str
    file: str = ""
    line: int | None = None
    column: int | None = None
    field: str = ""
    words: str = ""
    found: str = ""
    allowed: str = ""

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.file, self.line, self.column) if part not in ("", None))
        key = self.field.rpartition(".")[2]
        named = f"{self.words} ({key})" if self.words and not self.words.startswith(key) else self.words or self.field
        head = ": ".join(part for part in (place, named, self.message) if part)
        tail = [f"found {self.found}"] if self.found else []
        tail += [f"allowed: {self.allowed}"] if self.allowed else []
        return head + (" (" + "; ".join(tail) + ")" if tail else "")


class RillwrightError(Exception):
    """Root of everything that Rillwright raises on purpose."""


class InputError(RillwrightError):
    """What a person gave cannot be used. `problems` lists all of it, in reading order."""

    def __init__(self, problems: Sequence[Problem] | Problem | str) -> None:
        if isinstance(problems, str):
            problems = Problem(message=problems)
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class UnitError(InputError):
    """One quantity could not be read: says what was found and what is allowed."""


class NoAnswer(RillwrightError):
    """A method stopped without an answer; the text says where it stopped and why."""


class Cancelled(NoAnswer):
    """Whoever asked for it stopped it before it was done; asked again, it begins anew."""


class OutputError(RillwrightError):
    """A file could not be written, or would have been written over."""


class Busy(OutputError):
    """Another program is writing there, and did not finish in time."""
