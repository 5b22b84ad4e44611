"""Reads music back from a PDF page with pdfplumber: staves from their lines, heads and digits from their letters.

Knows print, not layout: a five-line staff is five full lines a space apart, a tab is lines a space and a half apart.
"""

from __future__ import annotations

from collections import defaultdict
from io import BytesIO
from typing import NamedTuple

import pdfplumber

HEADS = {0xE0A2, 0xE0A3, 0xE0A4, 0xE0A7, 0xE0A8, 0xE0A9}
SIGNS = {0xE264: -2, 0xE260: -1, 0xE261: 0, 0xE262: 1, 0xE263: 2}


class Head(NamedTuple):
    """A head: left edge and width in spaces, staff position in half spaces."""

    x: float
    position: int
    code: int


class Sign(NamedTuple):
    """An accidental."""

    x: float
    position: int
    alter: int


class Digit(NamedTuple):
    """A fret as printed: middle x in spaces, string counted from 1 at the top."""

    x: float
    string: int
    text: str


class Staff(NamedTuple):
    """One staff or tab of a system."""

    top: float
    is_tab: bool
    heads: list[Head]
    signs: list[Sign]
    digits: list[Digit]


def read_staves(pdf: bytes, space: float, fret_face: str) -> list[Staff]:
    """Every staff of the document from the top of the first page to the foot of the last; x and positions in spaces."""
    staves: list[Staff] = []
    with pdfplumber.open(BytesIO(pdf)) as document:
        for number, page in enumerate(document.pages):
            staves.extend(_read_page(page, number * 10_000.0, space, fret_face))
    return staves


def _read_page(page: pdfplumber.page.Page, offset: float, space: float, fret_face: str) -> list[Staff]:
    height = float(page.height)
    found = _find_staves(page, space)
    staves = []
    for bottom, _, pitch in found:
        staves.append(Staff(offset + height - bottom, pitch > 1.2, [], [], []))
    for char in page.chars:
        music = "EngraveMusic" in char["fontname"]
        x, y = char["matrix"][4] / space, char["matrix"][5] / space
        index = _nearest(found, y * space, space)
        if index is None:
            continue
        bottom, lines, pitch = found[index]
        staff = staves[index]
        height_in_spaces = y - bottom / space
        if music and not staff.is_tab:
            code = ord(char["text"])
            position = round(height_in_spaces * 2)
            if code in HEADS and char["size"] < 0.8 * 4 * space:
                continue  # small heads, which take no time
            if code in HEADS:
                assert abs(height_in_spaces * 2 - position) < 0.02, "a head off its line or space"
                staff.heads.append(Head(x, position, code))
            elif code in SIGNS:
                staff.signs.append(Sign(x, position, SIGNS[code]))
    for staff, (bottom, lines, pitch) in zip(staves, found, strict=True):
        if staff.is_tab:
            staff.digits.extend(_read_digits(page, bottom, lines, pitch, space, fret_face))
        staff.heads.sort()
        staff.signs.sort()
    return staves


def _find_staves(page: pdfplumber.page.Page, space: float) -> list[tuple[float, int, float]]:
    """(y of the bottom line, number of lines, line distance in spaces) from the top of the page down."""
    rows: dict[float, list[tuple[float, float]]] = defaultdict(list)
    height = float(page.height)
    for line in page.lines:
        if (
            abs(line["top"] - line["bottom"]) < 0.01 and line["linewidth"] < 0.15 * space
        ):  # ledger lines are heavier
            rows[round(height - line["top"], 2)].append((line["x0"], line["x1"]))
    wide = sorted((y for y, pieces in rows.items() if _is_staff_line(pieces, space)), reverse=True)
    staves = []
    start = 0
    while start < len(wide):
        stop = start + 1
        pitch = 0.0
        while stop < len(wide):
            gap = (wide[stop - 1] - wide[stop]) / space
            if min(abs(gap - 1.0), abs(gap - 1.5)) > 0.02 or (pitch and abs(gap - pitch) > 0.02):
                break
            pitch = gap
            stop += 1
        if stop - start >= 4:
            staves.append((wide[stop - 1], stop - start, pitch))
        start = stop
    return staves


def _is_staff_line(pieces: list[tuple[float, float]], space: float) -> bool:
    """True for lines that cover most of their span: not for rows of ledger lines."""
    covered = sum(right - left for left, right in pieces)
    span = max(right for _, right in pieces) - min(left for left, _ in pieces)
    return covered > 8 * space and covered > 0.5 * span


def _nearest(found: list[tuple[float, int, float]], y: float, space: float) -> int | None:
    best = None
    for index, (bottom, lines, pitch) in enumerate(found):
        top = bottom + (lines - 1) * pitch * space
        away = max(bottom - y, y - top, 0.0)
        if pitch < 1.2 and (best is None or away < best[0]):
            best = (away, index)
    return best[1] if best else None


def _read_digits(
    page: pdfplumber.page.Page, bottom: float, lines: int, pitch: float, space: float, fret_face: str
) -> list[Digit]:
    height = float(page.height)
    rows: dict[int, list[dict]] = defaultdict(list)
    for char in page.chars:
        if fret_face not in char["fontname"] or not (char["text"].isdigit() or char["text"] in "X()"):
            continue
        around = (
            char["text"] in "()"
        )  # parentheses are taller: their middle is about 0.3 of their size above the baseline
        middle = (char["matrix"][5] + (0.3 * char["size"] if around else 0.625 * space) - bottom) / space
        line = middle / pitch
        if -0.2 < line < lines - 0.8 and abs(line - round(line)) < (0.2 if around else 0.05):
            rows[lines - round(line)].append(char)
    digits = []
    for string, chars in rows.items():
        chars.sort(key=lambda c: c["x0"])
        run: list[dict] = []
        for char in [*chars, None]:
            if run and (char is None or char["x0"] - run[-1]["x1"] > 0.05 * space):
                middle = (run[0]["x0"] + run[-1]["x1"]) / 2 / space
                digits.append(Digit(middle, string, "".join(c["text"] for c in run)))
                run = []
            if char is not None:
                run.append(char)
    assert height > 0
    return sorted(digits)
