"""`python -m engrave`."""

from __future__ import annotations

from engrave.cli import command

command()
