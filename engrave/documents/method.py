"""A method book: chapters of words and music, with what stands before and after them."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from engrave.documents.edition import Edition
from engrave.documents.handout import Item
from engrave.documents.songbook import Side
from engrave.problems import Location
from engrave.score.paper_size import AS_USUAL, PaperSize
from engrave.score.rich_text import Block


class SignKey(Enum):
    """Where signs are explained: nowhere, at the end of the chapter that uses them first, or at the end of the book."""

    NONE = "none"
    NEW = "new"
    END = "end"


class MethodIndex(Enum):
    """The indexes that a method can have at its end."""

    TECHNIQUE = "technique"
    PIECE = "piece"
    CHORD = "chord"
    KEY = "key"


class Chapter(NamedTuple):
    """One chapter. `file` is where it is written; `name` what the text calls it by."""

    number: int
    title: str
    name: str
    items: tuple[Item, ...]
    file: str
    location: Location


class Term(NamedTuple):
    """A word of the glossary and what it means."""

    word: str
    meaning: tuple[Block, ...]


class Method(NamedTuple):
    """The whole book. `cover` and `contents` ask for those pages; `imprint` and `preface` are empty where there is none.

    `chapter_side` is the page on which chapters start. `edition` says whether the answers are printed.
    `lists_recordings`: a list of them stands at the end.
    """

    title: str
    subtitle: str
    author: str
    language: str
    cover: bool
    contents: bool
    imprint: tuple[Block, ...]
    preface: tuple[Block, ...]
    chapters: tuple[Chapter, ...]
    chapter_side: Side
    edition: Edition
    sign_key: SignKey
    glossary: tuple[Term, ...]
    indexes: tuple[MethodIndex, ...]
    lists_recordings: bool
    paper_size: PaperSize = AS_USUAL
