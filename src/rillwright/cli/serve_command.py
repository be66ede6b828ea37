"""`rillwright serve`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rillwright.app import Served

_PORT = 8321  # as the service itself; spelt out here, so that help loads nothing of it


@click.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--port", type=click.IntRange(0, 65535), default=_PORT, show_default=True, help="0: any that is free.")
@click.option("--lan", is_flag=True, help="Let phones in this network in, once each is paired.")
@click.option("--cert", type=click.Path(path_type=Path), help="A certificate (PEM), for https; with --key.")
@click.option("--key", type=click.Path(path_type=Path), help="The certificate's key (PEM).")
@click.option("--devices", is_flag=True, help="List the devices that are paired, and end.")
@click.option("--withdraw", metavar="NAME", help="Let that device in no more, and end.")
def serve(
    folder: Path, port: int, lan: bool, cert: Path | None, key: Path | None, devices: bool, withdraw: str | None
) -> None:
    """Serve the screens for the jobs in FOLDER, to this machine alone unless --lan is given.

    Nothing leaves your machine and your network.
    """
    from rillwright import app

    if devices or withdraw is not None:
        _tell_devices(folder, withdraw)
        return
    if (cert is None) != (key is None):
        raise click.UsageError("--cert and --key go together")
    certificate = None if cert is None or key is None else (cert, key)
    try:
        app.serve(folder, port=port, lan=lan, certificate=certificate, told=_tell)
    except KeyboardInterrupt:
        click.echo("\nStopped.", err=True)


def _tell(served: Served) -> None:
    from rillwright import app

    click.echo(f"Open {served.here} on this machine. Ctrl-C stops it.")
    if not served.link:
        return
    click.echo(f"A phone in the same network opens {served.elsewhere} by this square, which pairs one phone:\n")
    click.echo(app.terminal_square(served.link))
    click.echo(f"The same, and one for the next phone: {served.here}/pairing")
    if served.elsewhere.startswith("http:"):
        click.echo("Over plain http a phone keeps readings without signal only while its tab stays open.")


def _tell_devices(folder: Path, withdraw: str | None) -> None:
    from rillwright import app
    from rillwright.errors import InputError, Problem

    if not folder.is_dir():
        raise InputError(Problem(message="is no folder", file=str(folder)))
    access = app.Access(folder)
    if withdraw is not None:
        if not access.withdraw(withdraw):
            raise click.UsageError(f"no device called {withdraw!r} is paired; --devices lists them")
        click.echo(f"{withdraw} is let in no more.")
        return
    for device in access.devices():
        click.echo(f"{device.name}  (paired {device.paired})")
    if not access.devices():
        click.echo("No device is paired.")
