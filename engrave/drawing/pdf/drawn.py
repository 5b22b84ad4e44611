"""Drawn pages before they are put together in one file: plain records, kept and moved without any library."""

from __future__ import annotations

from collections.abc import Mapping, Set
from typing import NamedTuple


class PageLink(NamedTuple):
    """An area of a page, in points (left, bottom, right, top), that leads to an address or a destination."""

    area: tuple[float, float, float, float]
    target: str


class PagePicture(NamedTuple):
    """A picture file in an area of a page, in points (left, bottom, right, top)."""

    area: tuple[float, float, float, float]
    data: bytes


class PageCode(NamedTuple):
    """The finished content of one page: its size in points, its operators, links and pictures."""

    width: float
    height: float
    code: str
    links: tuple[PageLink, ...] = ()
    pictures: tuple[PagePicture, ...] = ()
    anchors: tuple[str, ...] = ()


class DrawnPages(NamedTuple):
    """Pages ready to be put together, and the characters that each face must have for them."""

    pages: tuple[PageCode, ...]
    used: Mapping[str, Set[int]]


class Bookmark(NamedTuple):
    """An entry of the outline: its title, the index of its page, its depth (0 outermost), and a name for links to it."""

    title: str
    page: int
    depth: int = 0
    name: str = ""
