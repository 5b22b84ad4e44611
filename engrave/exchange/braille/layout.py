"""Lines of braille: parallels of all parts, measure under measure; overlong measures run over; pages.

In a parallel the number of its first measure stands at the margin. A measure that no line holds is divided between two
events with the music hyphen, and goes on two cells further in (manual, bar over bar; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from engrave.exchange.braille.measures import PartWriter, Piece, join_pieces
from engrave.exchange.braille.signs import GUIDE, HYPHEN, NUMBER, upper_number
from engrave.score.slurs import EventAt

_RUN_OVER = 2
"""Cells by which a line that goes on stands further in."""
_LEAST_GUIDE = 6
"""Blank cells from which guide dots lead on to the next measure (house rule)."""


class MusicRow(NamedTuple):
    """A part: what its lines begin with, and its music."""

    name: str
    music: PartWriter


class WordRow(NamedTuple):
    """Words that stand with the music: `text` gives those of the measures from one index up to another.

    `is_aligned`: they are given measure by measure, each under its music.
    """

    name: str
    text: Callable[[int, int], str]
    is_aligned: bool


Row = MusicRow | WordRow
Parallel = list[str]


class _Laid(NamedTuple):
    """How many measures a parallel holds, and its lines."""

    measures: int
    lines: Parallel


def lay_out(rows: Sequence[Row], numbers: Sequence[int], first: int, stop: int, width: int) -> list[Parallel]:
    """The parallels of the measures from `first` up to `stop`; `numbers` are those of all measures."""
    parallels = []
    while first < stop:
        laid = _parallel(rows, numbers[first], first, stop, width)
        parallels.append(laid.lines)
        first += laid.measures
    return parallels


def _parallel(rows: Sequence[Row], number: int, first: int, stop: int, width: int) -> _Laid:
    """As many measures as fit, from `first` on."""
    margin = f"{NUMBER}{upper_number(number)} "
    room = width - len(margin) - max(len(row.name) for row in rows)
    best: _Laid | None = None
    for count in range(1, stop - first + 1):
        texts = _texts(rows, first, count)
        if max(map(len, texts), default=0) > room:
            break
        best = _Laid(count, _under_margin(rows, texts, margin))
    return best or _Laid(1, _run_over(rows, first, margin, width))


def _texts(rows: Sequence[Row], first: int, count: int) -> list[str]:
    """The lines of a parallel without what stands at the margin: measures under measures."""
    table = {
        index: [_measure(row, at, at == first) for at in range(first, first + count)]
        for index, row in enumerate(rows)
        if isinstance(row, MusicRow) or row.is_aligned
    }
    widths = [max(len(row[column]) for row in table.values()) for column in range(count)]
    texts = []
    for index, row in enumerate(rows):
        if index in table:
            padded = [_padded(text, widths[c], len(table) > 1) for c, text in enumerate(table[index])]
            texts.append(
                " ".join(padded).rstrip(f" {GUIDE}") if len(table) > 1 else " ".join(filter(None, padded))
            )
        elif isinstance(row, WordRow):
            texts.append(row.text(first, first + count))
    return texts


def _padded(text: str, width: int, is_aligned: bool) -> str:
    """A measure as wide as those over and under it, with guide dots where the gap is wide."""
    gap = width - len(text)
    if not is_aligned or gap < _LEAST_GUIDE:
        return text.ljust(width) if is_aligned else text
    return f"{text} {GUIDE * (gap - 1)}"


def _measure(row: Row, index: int, begins_line: bool) -> str:
    if isinstance(row, MusicRow):
        return join_pieces(row.music.measure(index, (), begins_line))
    return row.text(index, index + 1)


def _under_margin(rows: Sequence[Row], texts: Sequence[str], margin: str) -> Parallel:
    """Lines with the number before the first, and their names; lines of words alone are left out where they are empty."""
    width = max(len(row.name) for row in rows)
    lines: Parallel = []
    for row, text in zip(rows, texts, strict=True):
        if text or isinstance(row, MusicRow):
            start = margin if not lines else " " * len(margin)
            lines.append(f"{start}{row.name.ljust(width)}{text}".rstrip())
    return lines


def _run_over(rows: Sequence[Row], index: int, margin: str, width: int) -> Parallel:
    """One measure that is wider than a line: each part in as many lines as it needs."""
    lines: Parallel = []
    name_width = max(len(row.name) for row in rows)
    for row in rows:
        start = (margin if not lines else " " * len(margin)) + row.name.ljust(name_width)
        room = width - len(start)
        texts = (
            _divided(row, index, room)
            if isinstance(row, MusicRow)
            else wrapped(row.text(index, index + 1), room, _RUN_OVER)
        )
        further = " " * (len(start) + _RUN_OVER)
        lines.extend((start if number == 0 else further) + text for number, text in enumerate(texts))
    return lines


def _divided(row: MusicRow, index: int, room: int) -> list[str]:
    """A measure in several lines, each but the last with the music hyphen at its end.

    Words that no line holds break between them, and at the very end of a line where even that does not do.
    """
    breaks: list[EventAt] = []
    while True:
        lines = _lines_at(row.music.measure(index, breaks, True), breaks)
        found = next(
            filter(None, (_break_of(line, room - _lost(i) - 1) for i, line in enumerate(lines))), None
        )
        if found is None:
            break
        breaks.append(found)
    texts = [join_pieces(line) + (HYPHEN if i < len(lines) - 1 else "") for i, line in enumerate(lines)]
    fit: list[str] = []
    for number, text in enumerate(texts):
        fit.extend([text] if len(text) <= room - _lost(number) else _cut(text, room - _RUN_OVER))
    return fit


def _cut(text: str, room: int) -> list[str]:
    """An overlong line in pieces, at its spaces where there are some."""
    pieces = wrapped(text, room)
    return [piece[at : at + room] for piece in pieces for at in range(0, len(piece), room)]


def _lost(line: int) -> int:
    return _RUN_OVER if line else 0


def _lines_at(pieces: Sequence[Piece], breaks: Sequence[EventAt]) -> list[list[Piece]]:
    lines: list[list[Piece]] = [[]]
    for piece in pieces:
        if piece.starts in breaks and piece.starts is not None:
            lines.append([])
        lines[-1].append(piece)
    return lines


def _break_of(line: Sequence[Piece], room: int) -> EventAt | None:
    """The last event before which a line may end and still fits; the second where even the first is too wide.

    None where the line fits, or cannot be broken.
    """
    found = None
    used = 0
    for place, piece in enumerate(line):
        may_break = place > 0 and piece.starts is not None
        if may_break and (used <= room or found is None):
            found = piece.starts
        used += len(piece.text)
        if used > room and found is not None:
            return found
    return None


def wrapped(text: str, width: int, further: int = 0) -> list[str]:
    """Words in lines; all but the first have `further` cells less."""
    lines: list[str] = []
    for word in text.split():
        room = width - (further if len(lines) > 1 else 0)
        if lines and len(lines[-1]) + 1 + len(word) <= room:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def as_pages(head: Sequence[str], parallels: Sequence[Parallel], height: int) -> str:
    """Lines in pages of `height`, parted by form feeds; a parallel stays on one page where it can."""
    pages: list[list[str]] = [list(head)]
    for parallel in parallels:
        if pages[-1] and len(pages[-1]) + len(parallel) > height and len(parallel) <= height:
            pages.append([])
        for line in parallel:
            if len(pages[-1]) == height:
                pages.append([])
            pages[-1].append(line)
    return "\f".join("\n".join(page) + "\n" for page in pages)
