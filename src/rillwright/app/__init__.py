"""The service for screens: the API, the pages, and who may come in. It calls `job` alone, and loads when asked."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rillwright.app.access import Access, Device, Paired
    from rillwright.app.access_routes import terminal_square
    from rillwright.app.serving import PORT, Served, make_app, serve

_WHEN_ASKED = {  # the framework takes half a second to load
    "rillwright.app.access": ("Access", "Device", "Paired"),
    "rillwright.app.access_routes": ("terminal_square",),
    "rillwright.app.serving": ("PORT", "Served", "make_app", "serve"),
}

__all__ = ["PORT", "Access", "Device", "Paired", "Served", "make_app", "serve", "terminal_square"]


def __getattr__(name: str) -> Any:
    for home, names in _WHEN_ASKED.items():
        if name in names:
            found = globals()[name] = getattr(import_module(home), name)
            return found
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
