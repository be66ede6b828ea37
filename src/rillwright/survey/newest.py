"""Of every place and surface the reading that counts."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.feature import Surface
from rillwright.survey.shot_result import ReducedShot


def newest(shots: Sequence[ReducedShot]) -> tuple[ReducedShot, ...]:
    """The last reading that holds at every place on every surface: neither doubted nor withdrawn.

    A stone read without its ends, after these were read, was set anew; so it is the other way round.
    """
    last: dict[tuple[str, Surface | None], ReducedShot] = {}
    for shot in shots:
        if shot.state not in ("kept", "unconfirmed") or shot.level_m is None:
            continue
        if shot.path is not None and shot.path.collection == "falls":
            for key in [key for key, old in last.items() if _set_before(old, shot)]:
                del last[key]
        last[(str(shot.path) if shot.path is not None else shot.shot.path, shot.surface)] = shot
    return tuple(last.values())


def _set_before(old: ReducedShot, new: ReducedShot) -> bool:
    """A crest read without its ends, where these are read now; or the other way round."""
    if old.path is None or new.path is None:
        return False
    same = (old.path.collection, old.path.id, old.surface) == (new.path.collection, new.path.id, new.surface)
    return same and bool(old.path.place) is not bool(new.path.place)
