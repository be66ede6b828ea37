"""Commands: what a person types. They read words, call the one service, and print; they work nothing out."""

from rillwright.cli.program import main

__all__ = ["main"]
