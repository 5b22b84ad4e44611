"""A text of headings, paragraphs and lists, before it is a file."""

from __future__ import annotations

from typing import NamedTuple


class Items(NamedTuple):
    """A list, and what it is called ("" for nothing)."""

    title: str
    items: tuple[str, ...]


class Section(NamedTuple):
    """What stands under one heading."""

    title: str
    blocks: tuple[str | Items, ...] = ()
    sections: tuple[Section, ...] = ()


class Outline(NamedTuple):
    """A whole text. `own` is the language of the author's titles, `language` that of all other words (BCP 47 tags)."""

    title: str
    subtitle: str
    blocks: tuple[str, ...]
    sections: tuple[Section, ...]
    language: str
    own: str
