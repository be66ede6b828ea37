"""A rim unrolled: along it to the right, and up how high its top stands over the highest water beside it.

The water is drawn straight, whatever its level: what a reader looks for is the gap. Levels are said where they are
asked for, at readings and at the lowest place; every stretch of water has its own beneath it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Assessment, Judged, NotRun, RimProfile
from rillwright.drawings import labels, rim_strip_parts, scale
from rillwright.drawings.display import Box, Drawing, Item, Text, View, group
from rillwright.drawings.expand import flat
from rillwright.drawings.measure import text_box, width_mm
from rillwright.drawings.rim_spare import Spare, Stretch, profiles_of, stretches
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.words import length

NAME = "How high the rim stands over the water"
_MARGIN_MM = 3.0
_PLOT_MM = 21.0  # from the foot of the water to the top of the gap, at most
_WATER_MM = 3.5  # of water drawn below its surface
_TIMES_WANTED = 2.2  # a gap higher than so many times what is wanted is cut off
_TIMES_DEEP = 1.0
_LARGEST = 30  # of 1:n along; larger a short rim says no more


class Row(Struct, frozen=True, kw_only=True):
    """One piece of the rim, and where it stands on the sheet."""

    start_m: float
    end_m: float
    view: View  # distance along against height over the water
    room: Box  # of the whole row
    box: Box  # of the gap and the water


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (177.0, 130.0),
    style: DrawingStyle = PLAIN,
    rim: str | None = None,
) -> Drawing:
    """The strip of one rim, in as many rows as the frame has room for; as high as it needs.

    Parameters
    ----------
    source
        What was assessed.
    frame_mm
        Width and greatest height of the room [mm].
    style
        The hand.
    rim
        Its path; None: the one with the lowest place.

    Raises
    ------
    InputError
        If it is too long for the frame at every standard scale.
    """
    assessment = assessment_of(source)
    known = profiles_of(assessment)
    profile = next((one for one in known if rim is None or one.path == rim), None)
    if profile is None or len(profile.points) < 2:
        return nothing(NAME, frame_mm, _why_not(assessment), style=style)
    return _Strip(assessment, profile, frame_mm, style).drawing()


def _why_not(assessment: Assessment) -> str:
    for found in (assessment.containment, assessment.surface):
        if isinstance(found, NotRun):
            return found.reason
    return "no edge of liner could be laid out"


class _Strip:
    """Everything that was decided before anything is drawn."""

    def __init__(
        self, assessment: Assessment, profile: RimProfile, frame_mm: tuple[float, float], style: DrawingStyle
    ) -> None:
        self.assessment, self.profile, self.style = assessment, profile, style
        self.width = frame_mm[0]
        self.system = assessment.feature.system
        self.stretches = stretches(assessment, profile)
        wanted = max(one.wanted_m for one in self.stretches)
        most = max(spare for one in self.stretches for _, spare in one.points)
        self.top_m = min(max(most, 1.2 * wanted), _TIMES_WANTED * wanted)
        self.foot_m = max(min(0.0, *(one.least_m for one in self.stretches)), -_TIMES_DEEP * wanted)
        up = Box(left=0.0, top=0.0, right=1.0, bottom=_PLOT_MM - _WATER_MM)
        self.upright = scale.choose(0.0, self.top_m - self.foot_m, up, system=self.system)
        cap = style.cap_mm
        self.head_mm, self.names_mm, self.feet_mm = 0.6, 4.6 * cap, 6.4 * cap
        self.plot_mm = (self.top_m - self.foot_m) * 1000.0 / self.upright + _WATER_MM
        self.row_mm = self.names_mm + self.plot_mm + self.feet_mm
        self.said_mm = 4.0 * cap
        count = max(1, math.floor((frame_mm[1] - self.head_mm - self.said_mm) / self.row_mm))
        across = Box(left=0.0, top=0.0, right=(self.width - 2 * _MARGIN_MM - cap) * count, bottom=1.0)
        largest = next(n for n in scale.STANDARD[self.system] if n >= _LARGEST)
        self.along = max(scale.choose(profile.length_m, 0.0, across, system=self.system), float(largest))
        across_mm = profile.length_m * 1000.0 / self.along
        self.rows = max(1, math.ceil(across_mm / (self.width - 2 * _MARGIN_MM - cap) - 1e-9))

    def drawing(self) -> Drawing:
        items: list[Item] = []
        key: list[tuple[int, str]] = []
        for row in self._rows():
            items += self._row(row, key)
        height = self.head_mm + self.rows * self.row_mm + self.said_mm
        times = self.along / self.upright
        drawn = "heights to the same scale" if times == 1.0 else f"heights drawn {times:.2g} times their true size"
        notes = (drawn, *self._cut_off())
        cap = self.style.cap_mm
        for line, words in enumerate(self._said(notes)):
            y = height - self.said_mm + (1.0 + 1.7 * line) * cap
            items.append(Text(x=_MARGIN_MM, y=y, text=words, size_mm=cap, colour="quiet", italic=True))
        return Drawing(
            name=NAME, alt=self._alt(), width_mm=self.width, height_mm=height, items=tuple(items), scale=self.along,
            scale_text=f"{scale.words(self.along, self.system)} along", notes=notes, key=tuple(key),
        )  # fmt: skip

    def _said(self, notes: Sequence[str]) -> list[str]:
        """What is to be said under the strip, in lines that fit."""
        way = "along the rim with the water to the left, from 0 on the plan" if self.profile.closed else "along the rim"
        lines: list[str] = []
        for part in (f"{scale.words(self.along, self.system)} {way}", *notes):
            longer = f"{lines[-1]}; {part}" if lines else f"{part[:1].upper()}{part[1:]}"
            if lines and width_mm(longer, self.style.cap_mm, italic=True) > self.width - 2 * _MARGIN_MM:
                lines.append(part)
            else:
                lines[-1:] = [longer]
        return lines

    def _cut_off(self) -> Iterator[str]:
        if any(point.spare_m.low < point.spare_m.value for point in self.profile.points):
            yield "thin: as low as the rim may be"
        if any(one.guessed for one in self.stretches):
            yield "dashed: guessed, no level was taken there"
        if any(spare > self.top_m + 1e-9 for one in self.stretches for _, spare in one.points):
            yield f"cut off at {length(self.top_m, self.system)} to spare"
        if any(one.least_m < self.foot_m - 1e-9 for one in self.stretches):
            yield f"and at {length(-self.foot_m, self.system)} under water"

    def _alt(self) -> str:
        found = [word.value for word in Spare if any(one.spare is word for one in self.stretches)]
        return (
            f"Rim {self.profile.path} of {self.assessment.feature.name} unrolled, "
            f"{length(self.profile.length_m, self.system)} long: {', '.join(found)}"
        )

    def _rows(self) -> Iterator[Row]:
        each_m = self.profile.length_m / self.rows
        for index in range(self.rows):
            top = self.head_mm + index * self.row_mm
            room = Box(left=1.0, top=top, right=self.width - 1.0, bottom=top + self.row_mm)
            upper, start = top + self.names_mm, index * each_m
            box = Box(
                left=_MARGIN_MM, top=upper, right=_MARGIN_MM + each_m * 1000.0 / self.along,
                bottom=upper + self.plot_mm,
            )  # fmt: skip
            view = View(
                scale=self.along, origin=(start, self.top_m), at=(_MARGIN_MM, upper),
                exaggeration=self.along / self.upright,
            )  # fmt: skip
            yield Row(start_m=start, end_m=start + each_m, view=view, room=room, box=box)

    def _row(self, row: Row, key: list[tuple[int, str]]) -> list[Item]:
        pieces = [found for one in self.stretches if (found := one.between(row.start_m, row.end_m)) is not None]
        pieces = [self._held(piece) for piece in pieces]
        cap = self.style.cap_mm
        items: list[Item] = [
            group("water", rim_strip_parts.water(row)),
            group("gap", [item for piece in pieces for item in rim_strip_parts.gap(piece, row)]),
            group("as low as", rim_strip_parts.as_low_as(self.profile, row, self.foot_m, self.top_m)),
            group("edge", [item for piece in pieces for item in rim_strip_parts.edge(piece, row)]),
            group("wanted", list(rim_strip_parts.wanted(pieces, row))),
            group("distances", rim_strip_parts.distances(row, self.system, cap_mm=cap)),
            *rim_strip_parts.signs(self.assessment, self.profile, row, self.top_m),
        ]
        told = rim_strip_parts.waters(self.assessment, self.profile, pieces, row, cap_mm=cap)
        items.append(group("whose water", told))
        words = rim_strip_parts.names(self.assessment, self.profile, pieces, row, cap_mm=cap, most_m=self.top_m)
        placing = labels.place(
            words,
            Box(left=row.box.left, top=row.room.top, right=row.box.right, bottom=row.box.bottom - 0.2),
            taken=[text_box(item) for item in flat(items) if isinstance(item, Text)],
            lines=[item.points for item in flat(items) if rim_strip_parts.is_line(item)],  # type: ignore[union-attr]
            first_number=len(key) + 1,
        )
        key += placing.key
        return [*items, *labels.items(placing)]

    def _held(self, piece: Stretch) -> Stretch:
        """A stretch with its heights held between the foot and the top of the room."""
        points = tuple((s, min(max(z, self.foot_m), self.top_m)) for s, z in piece.points)
        return replace(piece, points=points)
