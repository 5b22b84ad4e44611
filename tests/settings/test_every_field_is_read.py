"""No setting is idle: each field of each settings record is read somewhere in the program. House rule."""

import ast
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

import engrave
from engrave.exchange.text_tab.lines.table import ReadingTable
from engrave.exchange.words.vocabulary import SpokenTable
from engrave.fingering.hand import Hand
from engrave.fingering.plucking.right_hand import RightHand
from engrave.playing.taste import Sound, Taste
from engrave.settings.kinds import Kind, kinds_of
from engrave.style.sections import Style
from engrave.style.wordbook import Wordbook

ROOT = Path(engrave.__file__).parent
RECORDS = (Style, Wordbook, Hand, RightHand, Taste, Sound, ReadingTable, SpokenTable)
NOT_SETTINGS = {"name"}
"""What a style or a hand is called is no setting, and needs no reader."""


def records_in(record: type) -> Iterator[type]:
    """A record and all records inside it."""
    yield record
    for kind in kinds_of(record).values():
        yield from _records_of(kind)


def _records_of(kind: Kind) -> Iterator[type]:
    if kind.is_record:
        yield from records_in(kind.type)
    for part in kind.parts:
        yield from _records_of(part)


def attributes_read(sources: Iterable[str]) -> set[str]:
    """The names of all attributes that some sources read."""
    found = set()
    for source in sources:
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
                found.add(node.attr)
    return found


def idle_fields(record: type, read: set[str]) -> list[str]:
    return [field for field in kinds_of(record) if field not in read | NOT_SETTINGS]


SOURCES = [path.read_text("utf-8") for path in sorted(ROOT.rglob("*.py"))]
READ = attributes_read(SOURCES)


@pytest.mark.parametrize(
    "record",
    dict.fromkeys(inner for record in RECORDS for inner in records_in(record)),
    ids=lambda record: record.__name__,
)
def test_every_field_is_read(record):
    assert idle_fields(record, READ) == []


def test_a_field_that_nothing_reads_is_found():
    class WithIdle(NamedTuple):
        height_mm: float
        never_asked_for: float

    assert idle_fields(WithIdle, READ) == ["never_asked_for"]
