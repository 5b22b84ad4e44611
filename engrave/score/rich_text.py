"""Text with structure: headings, paragraphs and lists made of runs. Knows neither how it was written nor how it is set."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from engrave.problems import Place


class Run(NamedTuple):
    """Characters of one look. `link` is an address or "#name", empty without one; a newline alone is a line's forced end."""

    text: str
    bold: bool = False
    italic: bool = False
    code: bool = False
    link: str = ""


class Heading(NamedTuple):
    """A heading; `level` counts from 1, the highest, to 6."""

    level: int
    runs: tuple[Run, ...]
    place: Place


class Paragraph(NamedTuple):
    """Runs to be broken into lines together."""

    runs: tuple[Run, ...]
    place: Place


class ListBlock(NamedTuple):
    """A list; every item is a row of blocks. An ordered list counts up from `start`."""

    items: tuple[tuple[Block, ...], ...]
    ordered: bool
    start: int
    place: Place


class Quote(NamedTuple):
    """Blocks said by somebody else."""

    blocks: tuple[Block, ...]
    place: Place


class Rule(NamedTuple):
    """A line across the text."""

    place: Place


Block: TypeAlias = Heading | Paragraph | ListBlock | Quote | Rule
"""What a text is a row of. `place` is the line of the source where the block begins."""
