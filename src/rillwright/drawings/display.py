"""The neutral display list: what a drawing consists of, in paper millimetres from the top left, y down.

A drawing is thought in world metres; a `View` puts them on paper. Writers know these shapes and nothing else. Colours
and pens are named by meaning and looked up in the palette by the writer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

Point = tuple[float, float]


class Box(Struct, frozen=True, kw_only=True):
    """A rectangle on paper [mm]."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    def grown(self, by_mm: float) -> Box:
        """The box larger by `by_mm` [mm] on every side."""
        return Box(left=self.left - by_mm, top=self.top - by_mm, right=self.right + by_mm, bottom=self.bottom + by_mm)

    def overlaps(self, other: Box) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """Whether the other lies wholly inside."""
        return (
            self.left <= other.left
            and self.top <= other.top
            and other.right <= self.right
            and other.bottom <= self.bottom
        )

    def has(self, point: Point) -> bool:
        """Whether a point lies in the box."""
        return self.left <= point[0] <= self.right and self.top <= point[1] <= self.bottom

    @classmethod
    def round(cls, points: Iterable[Point]) -> Box:
        """The smallest box round some points.

        Raises
        ------
        ValueError
            If there are no points.
        """
        xs, ys = zip(*points, strict=True)
        return cls(left=min(xs), top=min(ys), right=max(xs), bottom=max(ys))


class View(Struct, frozen=True, kw_only=True):
    """A window on the world at 1:`scale`, its `origin` [m] at `at` on paper [mm], heights `exaggeration` times."""

    scale: float
    origin: Point
    at: Point
    exaggeration: float = 1.0

    def put(self, x_m: float, y_m: float) -> Point:
        """Paper place [mm] of a point of the world [m]."""
        return (self.at[0] + self.length(x_m - self.origin[0]), self.y(y_m))

    def y(self, y_m: float) -> float:
        """Paper height [mm, down] of a level [m]."""
        return self.at[1] - self.length(y_m - self.origin[1]) * self.exaggeration

    def length(self, length_m: float) -> float:
        """Length on paper [mm] of a level length [m]."""
        return length_m * 1000.0 / self.scale

    def line(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Paper places of a line of the world [m]."""
        return tuple(self.put(x, y) for x, y in points)


class Polyline(Struct, frozen=True, kw_only=True):
    points: tuple[Point, ...]
    pen: str
    closed: bool = False


class Area(Struct, frozen=True, kw_only=True):
    """A filled polygon; `pen` None has no edge. `holes` are cut out (even-odd)."""

    points: tuple[Point, ...]
    fill: str
    pen: str | None = None
    holes: tuple[tuple[Point, ...], ...] = ()


class Circle(Struct, frozen=True, kw_only=True):
    centre: Point
    radius_mm: float
    pen: str | None = None
    fill: str | None = None


class Text(Struct, frozen=True, kw_only=True):
    """One line of words on its baseline. `size_mm` is the height of a capital; angle counter-clockwise in degrees."""

    x: float
    y: float
    text: str
    size_mm: float = 2.0
    anchor: str = "start"  # start | middle | end
    weight: str = "regular"  # regular | semibold
    colour: str = "ink"
    angle_deg: float = 0.0
    italic: bool = False
    halo: str = ""  # colour of the ground that is laid round the letters, so that thin lines stop short of them
    of: str = ""  # what its numbers are, as `falls/f1.crest stone top`: path and surface; several by semicolons


class Dimension(Struct, frozen=True, kw_only=True):
    """A length between two points, its line `offset_mm` to the left of the way there; negative: to the right."""

    start: Point
    end: Point
    offset_mm: float
    text: str
    size_mm: float = 2.0
    colour: str = "quiet"
    halo: str = ""  # as of words
    of: str = ""  # as of words


class LevelTick(Struct, frozen=True, kw_only=True):
    """A level as a mark on a rod: a short tick, its number and the word of its surface. Never a bare number."""

    at: Point
    number: str
    surface: str
    side: str = "right"  # of the tick on which the words stand
    note: str = ""  # after the word: 'running', 'guessed'
    size_mm: float = 2.0
    built: bool = False
    doubted: bool = False
    of: str = ""  # as of words


class Group(Struct, frozen=True, kw_only=True):
    """Items that belong together: a layer by name, or the element of the feature that they show."""

    name: str
    items: tuple[Item, ...]
    path: str = ""


Simple = Polyline | Area | Circle | Text
Item = Polyline | Area | Circle | Text | Dimension | LevelTick | Group


class Drawing(Struct, frozen=True, kw_only=True):
    """A sheet's picture at true size. `key` holds labels for which there was no room, by number."""

    name: str
    alt: str  # what it shows, in words
    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    scale: float | None = None  # 1:n; None: not to scale
    scale_text: str = ""
    notes: tuple[str, ...] = ()
    key: tuple[tuple[int, str], ...] = ()

    @property
    def frame(self) -> Box:
        return Box(left=0.0, top=0.0, right=self.width_mm, bottom=self.height_mm)


def group(name: str, items: Sequence[Item], *, path: str = "") -> Group:
    """A group of these items."""
    return Group(name=name, items=tuple(items), path=path)
