"""The few kinds of block that stand on a page, as plain data for the typesetter."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.drawings import Drawing, write_svg
from rillwright.packet.paper import SMALL_PT, Block

Run = dict[str, object]
Words = str | Run | Sequence[object]


def run(
    text: str, *, pt: float = SMALL_PT, weight: str = "regular", colour: str = "ink", style: str = "normal"
) -> dict[str, object]:
    """A run of words of one size [pt], weight and colour."""
    return {"text": text, "pt": pt, "weight": weight, "colour": colour, "style": style}


def words(text: Words, *, above: float = 3.0, below: float = 3.0, sticky: bool = False) -> Block:
    """A paragraph with white space above and below it [mm]; `sticky` keeps it with what follows."""
    return {"kind": "words", "words": text, "above": above, "below": below, "sticky": sticky}


def heading(text: str, *, pt: float = 11.0, above: float = 7.0) -> Block:
    """A heading of a size [pt] with white space above [mm]."""
    return words(run(text, pt=pt, weight="semibold"), above=above, below=3.2, sticky=True)


def marked(text: Words) -> Block:
    """Words in a frame of their own."""
    return {"kind": "marked", "words": text}


def column(head: str, width: float | str, *, align: str = "left") -> dict[str, object]:
    """A column of a table, its width [mm], "auto", or a share of what is left if negative."""
    return {"head": head, "width": width, "align": align}


def table(
    columns: Sequence[dict[str, object]],
    rows: Sequence[Sequence[Words]],
    *,
    pt: float = SMALL_PT,
    pad: float = 1.5,
    middle: bool = False,
) -> Block:
    """A ruled table whose head is repeated on every page; words of its head [pt], room above and below a row [mm]."""
    listed = [list(row) for row in rows]
    return {"kind": "table", "columns": list(columns), "rows": listed, "pt": pt, "pad": pad, "middle": middle}


def title(text: str) -> Block:
    """The question over a page, in large words."""
    return words(run(text, pt=15.0, weight="semibold"), above=0.0, below=4.5)


def facts(rows: Sequence[tuple[str, str, str]], *, label: float = 32.0, gap: float = 3.0) -> Block:
    """Label, value, and what is to be said of it; labels take `label` [mm], white space round it `gap` [mm]."""
    listed = [{"label": name, "value": value, "note": note} for name, value, note in rows]
    return {"kind": "facts", "rows": listed, "label": label, "gap": gap}


def picture(drawing: Drawing) -> Block:
    """A drawing at its true size."""
    return {
        "kind": "drawing",
        "svg": write_svg(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "alt": drawing.alt,
    }


def beside(widths: Sequence[float], cells: Sequence[Sequence[Block]]) -> Block:
    """Blocks beside each other; widths [mm], or shares of what is left if negative."""
    return {"kind": "columns", "widths": list(widths), "cells": [list(cell) for cell in cells]}


def inline(*runs: dict[str, object]) -> dict[str, object]:
    """Runs of words in one line."""
    return {"inline": list(runs)}


def contents(rows: Sequence[tuple[str, Sequence[str]]], *, above: float = 1.5) -> Block:
    """Questions with their pages, in lines that each begin with a label; white space round them [mm]."""
    return {"kind": "contents", "above": above, "rows": [[label, list(questions)] for label, questions in rows]}


def blank(height: float) -> dict[str, object]:
    """A line to write on, with room of a `height` [mm] over it."""
    return {"blank": height}


def whole(blocks: Sequence[Block], *, above: float = 7.0) -> Block:
    """Blocks that are not parted by the end of a page, with white space above [mm]."""
    return {"kind": "whole", "above": above, "blocks": list(blocks)}


def parted(blocks: Sequence[Block], weights: Sequence[float], *, count: int = 2) -> Block:
    """Blocks in columns of about the same length, given what each takes of it [-]."""
    columns: list[list[Block]] = [[] for _ in range(count)]
    whole_weight, so_far = sum(weights) or 1.0, 0.0
    for block, weight in zip(blocks, weights, strict=True):
        columns[min(int(count * (so_far + weight / 2) / whole_weight), count - 1)].append(block)
        so_far += weight
    return beside((-1.0,) * count, columns)


def blanks(labels: Sequence[str], *, pt: float = SMALL_PT) -> Block:
    """Lines to write on, each under its label; labels of a size [pt]."""
    return {"kind": "blank", "rows": list(labels), "pt": pt}
