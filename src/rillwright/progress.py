"""What is slow says how far it is, and can be stopped."""

from __future__ import annotations

from typing import Protocol


class Progress(Protocol):
    """Called with the share done [-], 0 to 1, and what is being done. Returns False to stop."""

    def __call__(self, share: float, doing: str) -> bool: ...


def silent(share: float, doing: str) -> bool:
    """Say nothing, never stop. `share` is of the whole [-]."""
    return True
