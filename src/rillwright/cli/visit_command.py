"""`rillwright visit`."""

import click


@click.command()
def visit() -> None:
    """Answer nine questions."""
