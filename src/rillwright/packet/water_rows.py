"""Rows of what water does, for paper and screen alike: words whose numbers are named, under the heads of a table."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct


class Piece(Struct, frozen=True):
    """Some words; `of` names the number in them, as `falls/f1 water on it`, and is empty where they hold none."""

    words: str
    of: str = ""


Cell = tuple[Piece, ...]


class WaterRow(Struct, frozen=True, kw_only=True):
    """The element that a row is of, and its cells; a row that is part of the one above it has no element."""

    path: str
    cells: tuple[Cell, ...]
    main: bool = False  # it stands out among the rows


class WaterTable(Struct, frozen=True, kw_only=True):
    """Rows under their heads, and what is to be said of them all."""

    heads: tuple[str, ...]
    rows: tuple[WaterRow, ...]
    notes: tuple[Cell, ...] = ()


def cell(words: str, of: str = "") -> Cell:
    """A cell of one piece."""
    return (Piece(words, of),)


def line(*pieces: Piece | str) -> Cell:
    """A cell of several pieces; those that are no number as plain words."""
    return tuple(Piece(piece) if isinstance(piece, str) else piece for piece in pieces)


def joined(cells: Iterable[Cell], between: str) -> Cell:
    """Cells one after the other in one."""
    found: list[Piece] = []
    for one in cells:
        if one:
            found += [Piece(between), *one] if found else one
    return tuple(found)


def plain(one: Cell) -> str:
    """The words of a cell."""
    return "".join(piece.words for piece in one)
