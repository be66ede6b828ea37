"""Places and lengths as they are typed and told on a terminal."""

from __future__ import annotations

from collections.abc import Callable

Length = Callable[[float], str]
Place = tuple[float, float]


def length_words(system: str) -> Length:
    """Lengths [m] in words of us or metric."""
    from rillwright.units import show, style_for

    style = style_for(system)
    return lambda metres: f"{metres:.3f} m" if system == "metric" else show(metres, "length", style)


def place_of(typed: str, option: str) -> Place:
    """A place typed as two lengths, parted by a comma.

    Raises
    ------
    InputError
        If it cannot be read, with the option's name.
    """
    from rillwright.cli.telling import length_of
    from rillwright.errors import InputError, Problem

    parts = typed.split(",")
    if len(parts) != 2:
        allowed = "two lengths parted by a comma, as '12 ft, 3 ft 6 in'"
        raise InputError(Problem(message="is no place", field=option, found=repr(typed[:60]), allowed=allowed))
    x, y = (length_of(part.strip(), option).si for part in parts)
    return x, y


def at_words(place: Place, length: Length) -> str:
    """A place [m] in words."""
    return f"x {length(place[0])}, y {length(place[1])}"
