"""A sheet with less white space, so that no page of it holds only its last lines."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from rillwright.packet.paper import Block, Sheet

_SPACES = ("above", "below", "pad", "gap")


def tightened(sheet: Sheet, share: float) -> Sheet:
    """The same sheet with a `share` [-] of its white space between blocks and rows."""
    return sheet if share == 1.0 else replace(sheet, blocks=tuple(_block(block, share) for block in sheet.blocks))


def _block(block: Block, share: float) -> Block:
    found: dict[str, object] = dict(block)
    for name in _SPACES:
        space = found.get(name)
        if isinstance(space, float):
            found[name] = share * space
    for name in ("blocks", "cells"):
        inner = found.get(name)
        if isinstance(inner, list):
            found[name] = [_inner(one, share) for one in inner]
    return found


def _inner(one: object, share: float) -> object:
    if isinstance(one, list):
        return [_inner(each, share) for each in one]
    return _block(one, share) if isinstance(one, Mapping) else one
