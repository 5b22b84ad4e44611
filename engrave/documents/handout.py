"""A lesson handout: words, music, shapes, blank tab, pictures, in any order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import Enum
from typing import NamedTuple, TypeAlias

from engrave.documents.edition import Edition
from engrave.documents.paper import SystemKind
from engrave.documents.songbook import Side
from engrave.problems import NOWHERE, Location
from engrave.score.paper_size import AS_USUAL, PaperSize
from engrave.score.rich_text import Block, Run, runs_of
from engrave.score.structure import NamedShape, Score, View
from engrave.theory.instrument import Instrument
from engrave.theory.neck_diagram import NeckDiagram


class TargetKind(Enum):
    """What a link in the text may lead to."""

    EXAMPLE = "example"
    EXERCISE = "exercise"
    PIECE = "piece"
    CHAPTER = "chapter"


class Target(NamedTuple):
    """Something with a name that links lead to. `number` is as printed, "3.2", and "" for what has only a `title`."""

    kind: TargetKind
    number: str
    title: str = ""


class Recording(NamedTuple):
    """Where music can be heard. `address` is "" where there is a track but no address; `track` counts from 1."""

    address: str
    track: int
    location: Location = NOWHERE


class Words(NamedTuple):
    """Headings, paragraphs and lists."""

    blocks: tuple[Block, ...]


class LeftOut(Enum):
    """What is left out of an example, for students to write it in: the tab's digits, the staff's notes, stems and flags."""

    FRETS = "frets"
    NOTES = "notes"
    RHYTHM = "rhythm"


class Music(NamedTuple):
    """A score, or some of its measures. `number` is 0 for music without a caption; `name` is what the text calls it by.

    `difficulty` has (printed number, difficulty from 0 to 10) for each measure where a strip is wanted, and `level` that
    of all of it.
    """

    score: Score
    view: View | None = None
    caption: str = ""
    number: int = 0
    name: str = ""
    location: Location = NOWHERE
    difficulty: tuple[tuple[int, float], ...] = ()
    level: float = 0.0
    recording: Recording | None = None
    left_out: LeftOut | None = None


class Piece(NamedTuple):
    """A whole piece under its titles. `start` says on which page; NEXT goes on where the text is."""

    score: Score
    view: View | None = None
    title: str = ""
    name: str = ""
    start: Side = Side.NEXT
    is_on_new_page: bool = False
    location: Location = NOWHERE
    recording: Recording | None = None


class TypedMusic(NamedTuple):
    """A score as it is typed, and under it the music that comes of it (None where that is not wanted)."""

    lines: tuple[str, ...]
    music: Music | None


class Necks(NamedTuple):
    """Neck diagrams in a row. `number` is 0 for those without a caption; `name` is what the text calls them by."""

    diagrams: tuple[NeckDiagram, ...]
    left_handed: bool = False
    caption: str = ""
    number: int = 0
    name: str = ""
    location: Location = NOWHERE


class Beside(NamedTuple):
    """Small examples side by side."""

    items: tuple[Music | Necks, ...]


class Shapes(NamedTuple):
    """A row of chord shapes. `columns` share out the width, None leaves one empty; 0: as close as they can."""

    shapes: tuple[NamedShape | None, ...]
    left_handed: bool = False
    columns: int = 0


class Blank(NamedTuple):
    """Systems to write on."""

    kind: SystemKind
    instrument: Instrument
    measures: int
    systems: int


class Signs(NamedTuple):
    """The signs of the handout’s music, explained."""


class BoxedText(NamedTuple):
    """Words in a box: a tip or a caution."""

    kind: str
    blocks: tuple[Block, ...]


class Picture(NamedTuple):
    """A picture, `width` in millimetres (0: as wide as the text).

    `pixels` are its width and height as it is looked at; `turn` brings what is stored there (`marks/turn.py`).
    """

    data: bytes
    pixels: tuple[int, int]
    alt: str
    width: float
    caption: str = ""
    turn: int = 1


class NewPage(NamedTuple):
    """The page ends here."""


class Exercise(NamedTuple):
    """A task in words, with a running number; what is needed for it follows. `answer` is empty where none is given."""

    number: int
    blocks: tuple[Block, ...]
    name: str = ""
    answer: tuple[Item, ...] = ()
    location: Location = NOWHERE


Item: TypeAlias = (
    Words
    | Music
    | TypedMusic
    | Piece
    | Exercise
    | Necks
    | Beside
    | Shapes
    | Blank
    | Signs
    | BoxedText
    | Picture
    | NewPage
)


class Handout(NamedTuple):
    """The whole handout. `student` asks for a line for the student's name."""

    title: str
    lesson: str
    level: str
    date: str
    student: bool
    language: str
    style: str
    items: tuple[Item, ...]
    paper_size: PaperSize = AS_USUAL
    edition: Edition = Edition.TEACHER


def links_of(items: Iterable[Item]) -> Iterator[tuple[Run, Location]]:
    """The runs of all words of `items`, with the place of the block that each belongs to."""
    for item in items:
        if isinstance(item, Words | BoxedText | Exercise):
            yield from runs_of(item.blocks)
        if isinstance(item, Exercise):
            yield from links_of(item.answer)


def music_of(items: Iterable[Item]) -> Iterator[Music | Piece]:
    """All music of some items, in its order, that of answers too."""
    for item in items:
        if isinstance(item, Music | Piece):
            yield item
        elif isinstance(item, Beside):
            yield from (example for example in item.items if isinstance(example, Music))
        elif isinstance(item, TypedMusic) and item.music is not None:
            yield item.music
        elif isinstance(item, Exercise):
            yield from music_of(item.answer)
