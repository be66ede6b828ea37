"""References to levels, resolved once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from difflib import get_close_matches

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature.filling import Filling
from rillwright.feature.levels import XY, Level, Origin, Surface
from rillwright.feature.references import At, Fixed, LevelRef, Offset
from rillwright.feature.yaml_text import Location


class KnownPoint(Struct, frozen=True):
    """A point from the books: its level and, where known, its place [m]."""

    level: Level
    at: XY | None = None


class Levels:
    """What has a level, by name: marks, points of the books, elements by path. Worked out when first asked for."""

    def __init__(self, filling: Filling, points: Mapping[str, KnownPoint]) -> None:
        self.filling = filling
        self.known: dict[str, Level] = {id: point.level for id, point in points.items()}
        self.pending: dict[str, Callable[[], Level | None]] = {}
        self.open: list[str] = []

    def define(self, name: str, work_out: Callable[[], Level | None]) -> None:
        """Say how the level `name` is found, should anything refer to it."""
        self.pending[name] = work_out

    def put(self, name: str, level: Level) -> None:
        """The level `name` is this one."""
        self.known[name] = level

    def resolve(
        self, said: LevelRef, surface: Surface, location: Location, *, origin: Origin | None = None
    ) -> Level | None:
        """The level that is meant, of `surface`; None (and a problem noted) if it cannot be found."""
        if isinstance(said, Fixed):
            return Level(said.typed.si, surface, origin or Origin.PLANNED, f"{said.typed.text} above the datum")
        base = self.named(said.target, location)
        if base is None:
            return None
        if isinstance(said, At):
            return replace(base, surface=surface, origin=origin or base.origin, source=said.target)
        assert isinstance(said, Offset)
        side = "below" if said.below else "above"
        source = f"{said.typed.text} {side} {said.target}"
        return Level(base.m + said.by_m, surface, origin or Origin.PLANNED, source, base.sigma_m, base.setup)

    def named(self, name: str, location: Location) -> Level | None:
        """The level of that name; None (and a problem noted) if there is none or it refers to itself."""
        if name in self.open:
            self.filling.wrong(
                location, "levels refer to each other in a circle", found=" -> ".join([*self.open, name])
            )
            return None
        if name in self.known:
            return self.known[name]
        if name in self.pending:
            self.open.append(name)
            level = self.pending[name]()
            self.open.pop()
            if level is not None:
                self.known[name] = level
            return level
        names = sorted({*self.known, *self.pending})
        near = get_close_matches(name, names, n=3) or names[:12]
        self.filling.wrong(
            location,
            "no mark, point of the books or element of that name has a level",
            found=repr(name),
            allowed=", ".join(near) if near else "give a mark with a level, or a book",
        )
        return None
