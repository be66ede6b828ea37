"""A frame of the work's own: what is rounded, or split by directions in plan, is so alike wherever the site lies."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import XY
from rillwright.ground.data import Floats

ALIKE_M = 1e-6  # of two lengths that differ by no more the first is taken
ONE_WAY_RAD = 1e-4  # what differs by no more runs the same way
STEP_RAD = 1e-9
ASIDE = 1.0 / math.pi  # of a step: no round measure lies half way between two


class Frame(Struct, frozen=True):
    """An origin [m] and the direction of the first axis, a unit vector [-]. Places are rounded to whole steps [m], so
    that the last digits of a far place make no other triangles; 0: not at all.
    """

    origin: XY
    east: XY
    step_m: float = 1e-5

    def places(self, xy: Floats) -> Floats:
        """Places (n, 2) [m] of the site in this frame, in whole steps."""
        off = xy - self.origin
        c, s = self.east
        turned = np.column_stack((c * off[:, 0] + s * off[:, 1], c * off[:, 1] - s * off[:, 0]))
        found: Floats = np.rint(turned / self.step_m + ASIDE) * self.step_m if self.step_m > 0.0 else turned
        return found

    def back(self, xy: Floats) -> Floats:
        """Places (n, 2) [m] of this frame on the site."""
        c, s = self.east
        return np.column_stack((c * xy[:, 0] - s * xy[:, 1], s * xy[:, 0] + c * xy[:, 1])) + self.origin

    def levels(self, xyz: Floats) -> Floats:
        """The same of places with levels (n, 3) [m]."""
        return np.column_stack((self.places(xyz[:, :2]), xyz[:, 2]))

    def line(self, places: Iterable[XY]) -> tuple[XY, ...]:
        """A line [m] of the site in this frame."""
        every = list(places)
        return tuple((x, y) for x, y in self.places(np.array(every)).tolist()) if every else ()

    def way(self, direction: XY) -> XY:
        """A direction [-] of the site in this frame, rounded likewise."""
        c, s = self.east
        angle = math.atan2(c * direction[1] - s * direction[0], c * direction[0] + s * direction[1])
        angle = round(angle / STEP_RAD + ASIDE) * STEP_RAD
        return math.cos(angle), math.sin(angle)


def frame_of(rings: Sequence[Floats]) -> Frame:
    """The frame of outlines: along the way in which most of their length runs, or at right angles to it.

    Parameters
    ----------
    rings : sequence of array, shape (n, 2)
        Lines of places [m], in an order that does not change when the site is turned or moved.

    Returns
    -------
    Frame
        Its origin is the first place.

    References
    ----------
    Rigid motion: definition.
    """
    if not rings:
        return Frame((0.0, 0.0), (1.0, 0.0))
    ways = np.concatenate([np.diff(ring, axis=0) for ring in rings])
    long = np.hypot(ways[:, 0], ways[:, 1])
    ways, long = ways[long > ALIKE_M], long[long > ALIKE_M]
    origin = (float(rings[0][0, 0]), float(rings[0][0, 1]))
    if not len(ways):
        return Frame(origin, (1.0, 0.0))
    angle = np.arctan2(ways[:, 1], ways[:, 0])
    quarter = np.floor(((angle - angle[0]) % (0.5 * math.pi)) / ONE_WAY_RAD + ASIDE).astype(np.int64)
    quarter %= round(0.5 * math.pi / ONE_WAY_RAD)
    _, first, which = np.unique(quarter, return_index=True, return_inverse=True)
    whole = np.bincount(which, long)
    row = int(first[whole >= whole.max() - ALIKE_M].min())
    return Frame(origin, (float(ways[row, 0] / long[row]), float(ways[row, 1] / long[row])))


def frame_along(places: Floats, *, step_m: float) -> Frame:
    """The frame of places (n, 2) [m] from the first of them to the next: what was levelled in rows lies along its axes.

    Places are rounded to `step_m` [m]. `frame_of` says the rest.
    """
    off = places - places[0]
    row = int(np.argmax(np.hypot(off[:, 0], off[:, 1]) > ALIKE_M))
    return replace(frame_of([places[[0, row]]]), step_m=step_m)
