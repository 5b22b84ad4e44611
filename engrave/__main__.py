"""`python -m engrave`, and what the command `engrave` starts."""

from __future__ import annotations

import gc

from engrave.stopping import leave, stop_quietly

stop_quietly()
gc.disable()  # until the command is loaded: looking for garbage among it takes a twentieth of a page's time

from engrave.cli import command  # noqa: E402


def run() -> None:
    """Run the command line; never returns."""
    try:
        command()
    except SystemExit as end:
        leave(end)


if __name__ == "__main__":
    run()
