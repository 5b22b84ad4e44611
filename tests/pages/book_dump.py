"""A finished book as text: the words of every page, where each link leads, and the outline.

Songs are drawn apart and bound as PDF, so a book is read back from its file; notes and lines are left to the dumps of
scores.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from io import BytesIO
from typing import Any, NamedTuple

import pdfplumber

from tests.pages.dump import number

_MUSIC = "EngraveMusic"
_APART = 0.1
"""Characters further apart than this share of their size belong to different words."""
_LEADER = "."
_LEADER_PITCH = 0.5
"""Dots nearer to each other than this share of their size are one row of leaders."""


class _Word(NamedTuple):
    """Characters that follow each other on one line, in points."""

    x: float
    y: float
    end: float
    face: str
    size: float
    text: str


def dump_book(pdf: bytes) -> str:
    """The pages of a book, then its outline."""
    lines: list[str] = []
    with pdfplumber.open(BytesIO(pdf)) as document:
        numbers = {page.page_obj.pageid: page.page_number for page in document.pages}
        for page in document.pages:
            lines.extend(_dump_page(page, numbers))
        lines.append("outline")
        lines.extend("    " + "  " * (level - 1) + title for level, title, *_ in document.doc.get_outlines())
    return "\n".join(lines) + "\n"


def _dump_page(page: Any, numbers: Mapping[int, int]) -> Iterator[str]:
    yield f"page {page.page_number}: {number(float(page.width))} x {number(float(page.height))} pt"
    for word in sorted(_words(page.chars), key=lambda word: (-round(word.y, 1), word.x)):
        text = f"{len(word.text)} dots" if set(word.text) == {_LEADER} else f'"{word.text}"'
        yield f"    {number(word.x):>8}{number(word.y):>8}  {text} {word.face} {number(word.size)}"
    for link in sorted(page.annots, key=lambda link: link["top"]):
        target = link["uri"] or f"page {numbers[link['data']['Dest'][0].objid]}"
        yield f"    {number(link['x0']):>8}{number(float(page.height) - link['bottom']):>8}  link to {target}"
    yield ""


def _words(characters: Sequence[Mapping[str, Any]]) -> list[_Word]:
    """The words of a page in the order of the file, without the signs of the music face."""
    words: list[_Word] = []
    for character in characters:
        face = character["fontname"].partition("+")[2]
        if face.startswith(_MUSIC):
            continue
        x, y, size = character["matrix"][4], character["matrix"][5], character["size"]
        last = words[-1] if words else None
        near = _LEADER_PITCH if character["text"] == _LEADER == (last.text[-1:] if last else "") else _APART
        if last and (last.face, last.size, last.y) == (face, size, y) and abs(x - last.end) < near * size:
            words[-1] = last._replace(end=character["x1"], text=last.text + character["text"])
        else:
            words.append(_Word(x, y, character["x1"], face, size, character["text"]))
    return words
