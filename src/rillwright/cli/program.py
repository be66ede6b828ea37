"""The program: its commands, and how anything that goes wrong ends."""

from __future__ import annotations

import gc
import os
import sys

import click

from rillwright.cli.begin_command import new
from rillwright.cli.check_command import check
from rillwright.cli.compare_command import compare
from rillwright.cli.demo_command import demo
from rillwright.cli.fit_command import fit
from rillwright.cli.ground_command import ground
from rillwright.cli.levels_command import levels
from rillwright.cli.packet_command import packet
from rillwright.cli.serve_command import serve
from rillwright.cli.shoot_command import shoot
from rillwright.cli.surface_command import surface
from rillwright.cli.tick_command import tick
from rillwright.cli.undo_command import undo
from rillwright.cli.visit_command import visit

UNUSABLE = 2


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="rillwright", message="%(prog)s %(version)s")
def program() -> None:
    """Levels, water, liner, stone, price and papers for people who build recirculating ponds, streams and waterfalls.

    What it says is checked against the readings that it was given, and against nothing else. Local codes and licensed
    practice come first.
    """


for _command in (new, visit, check, fit, levels, ground, surface, shoot, tick, undo, compare, packet, serve, demo):
    program.add_command(_command)


def main() -> None:
    """Run the program; exit 0, 1 where something must not be built so, 2 where the input could not be used."""
    _printable()
    _quick_to_start()
    try:
        code = program.main(standalone_mode=False)
    except click.ClickException as error:
        error.show()
        code = UNUSABLE
    except click.Abort:
        click.echo("\nStopped. Nothing was written.", err=True)
        code = UNUSABLE
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = 0
    except OSError as error:
        click.echo(f"{error.filename or 'a file'}: {error.strerror or error}", err=True)
        code = UNUSABLE
    except Exception as error:
        from rillwright.errors import RillwrightError  # here, so that help loads nothing of it

        if not isinstance(error, RillwrightError):
            raise
        click.echo(str(error), err=True)
        code = UNUSABLE
    sys.exit(code if isinstance(code, int) else 0)


def _quick_to_start() -> None:
    """A command lives for a moment: little is gained by looking for rubbish while it loads."""
    gc.set_threshold(100_000)


def _printable() -> None:
    """A terminal that cannot print a prime or a fraction prints a question mark there, and the command goes on."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
