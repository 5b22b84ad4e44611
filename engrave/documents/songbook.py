"""A songbook: songs in their order, with what stands before and after them."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType
from typing import Any, NamedTuple

from engrave.problems import NOWHERE, Location
from engrave.score.paper_size import AS_USUAL, PaperSize
from engrave.score.rich_text import Block
from engrave.score.structure import ExplainSigns, View


class Side(Enum):
    """On which page a song starts: the next one, or the next left-hand or right-hand one."""

    NEXT = "next"
    LEFT = "left"
    RIGHT = "right"


class Index(Enum):
    """The indexes that a book can have at its end."""

    TITLE = "title"
    WRITER = "writer"
    FIRST_LINE = "first-line"
    KEY = "key"
    TUNING = "tuning"
    DIFFICULTY = "difficulty"
    SIGN = "sign"


class Song(NamedTuple):
    """One song of the book. `path` is its score; `title`, `view` and `explain_signs` outrank what the score says."""

    path: str
    title: str = ""
    view: View | None = None
    chord_sheet: bool = False
    side: Side = Side.NEXT
    changes: Any = None
    explain_signs: ExplainSigns | None = None
    location: Location = NOWHERE


class Divider(NamedTuple):
    """A page that starts a section of the book."""

    title: str


class Songbook(NamedTuple):
    """The whole book. `cover` and `contents` ask for those pages; `imprint` is empty where there is none.

    `sort_names`: under what a writer stands in the index, where that is not the surname.
    """

    title: str
    subtitle: str
    author: str
    language: str
    style: str
    cover: bool
    contents: bool
    imprint: tuple[Block, ...]
    entries: tuple[Song | Divider, ...]
    indexes: tuple[Index, ...]
    changes: Any = None
    paper_size: PaperSize = AS_USUAL
    sort_names: Mapping[str, str] = MappingProxyType({})


class Strings(NamedTuple):
    """How an instrument is tuned: its name, its pitches from the thickest string, and what the tuning is called, if it has a name."""

    instrument: str
    pitches: tuple[str, ...]
    tuning: str


NO_STRINGS = Strings("", (), "")


class SongFacts(NamedTuple):
    """What contents and indexes say of a song, in no language yet. `difficulty` is 0 where nobody asked.

    `sign_pages`: each sign with the first of the song's pages (from 1) on which it stands, once the song is laid out.
    """

    title: str
    writers: tuple[str, ...]
    first_line: str
    key: str
    tuning: Strings
    signs: tuple[str, ...]
    difficulty: float = 0.0
    language: str = ""
    sign_pages: tuple[tuple[str, int], ...] = ()
