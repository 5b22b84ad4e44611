"""Text with structure: headings, paragraphs and lists made of runs. Knows neither how it was written nor how it is set."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple, TypeAlias

from engrave.problems import Location

PAGE = "page:"
"""Before a name in a link "#page:name": the page is meant on which it stands."""


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
    location: Location


class Paragraph(NamedTuple):
    """Runs to be broken into lines together."""

    runs: tuple[Run, ...]
    location: Location


class ListBlock(NamedTuple):
    """A list; every item is a row of blocks. An ordered list counts up from `start`."""

    items: "tuple[tuple[Block, ...], ...]"
    ordered: bool
    start: int
    location: Location


class Quote(NamedTuple):
    """Blocks said by somebody else."""

    blocks: "tuple[Block, ...]"
    location: Location


class Typed(NamedTuple):
    """Lines that are printed just as they are typed."""

    lines: tuple[str, ...]
    location: Location


class Rule(NamedTuple):
    """A line across the text."""

    location: Location


Block: TypeAlias = Heading | Paragraph | ListBlock | Quote | Typed | Rule
"""What a text is a row of. `location` is the line of the source where the block begins."""


def runs_of(blocks: Iterable[Block]) -> Iterator[tuple[Run, Location]]:
    """The runs of `blocks`, with the place of the block that each belongs to."""
    for block in blocks:
        if isinstance(block, Heading | Paragraph):
            yield from ((run, block.location) for run in block.runs)
        elif isinstance(block, ListBlock):
            yield from (found for item in block.items for found in runs_of(item))
        elif isinstance(block, Quote):
            yield from runs_of(block.blocks)
