"""Drawn pages before they are put together in one file: plain records, kept and moved without any library."""

from collections.abc import Mapping, Set
from typing import NamedTuple

from engrave.marks.turn import UPRIGHT

Area = tuple[float, float, float, float]
"""Left, bottom, right, top in points."""


class PageLink(NamedTuple):
    """An area of a page, in points (left, bottom, right, top), that leads to an address or a destination."""

    area: Area
    target: str


class PagePicture(NamedTuple):
    """A picture file in an area of a page, in points (left, bottom, right, top), turned as `turn` says."""

    area: Area
    data: bytes
    turn: int = UPRIGHT


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


def shift_page(page: PageCode, dx: float) -> PageCode:
    """The page with all that it shows and leads to `dx` points further right."""
    if not dx:
        return page
    links = [link._replace(area=_shift_area(link.area, dx)) for link in page.links]
    pictures = [picture._replace(area=_shift_area(picture.area, dx)) for picture in page.pictures]
    code = f"q 1 0 0 1 {dx:.4f} 0 cm\n{page.code}\nQ"
    return page._replace(code=code, links=tuple(links), pictures=tuple(pictures))


def overlay_page(page: PageCode, over: PageCode) -> PageCode:
    """The page with the ink, links and pictures of `over` on it as well; it keeps its size."""
    return page._replace(
        code=f"{page.code}\n{over.code}",
        links=page.links + over.links,
        pictures=page.pictures + over.pictures,
        anchors=page.anchors + over.anchors,
    )


def blank_page(width: float, height: float) -> PageCode:
    """A page of this size in points with nothing on it."""
    return PageCode(width, height, "")


def _shift_area(area: Area, dx: float) -> Area:
    left, bottom, right, top = area
    return left + dx, bottom, right + dx, top
