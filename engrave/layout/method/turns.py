"""Page turns in a method: pages that are turned end where the hands are free, and what is left of bad turns."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from engrave.documents.handout import Piece
from engrave.layout.method.chapters import Spot, Stretch
from engrave.layout.method.index_rows import Found
from engrave.layout.pages.turns import hands_are_free
from engrave.layout.text.boxes import FlowBox

Filled = list[list[tuple[FlowBox, float]]]
"""The boxes of each page, each with its distance from the top."""


class BadTurn(NamedTuple):
    """A right-hand page that ends while the hands are busy: its number, the last measure on it, and the piece."""

    piece: Piece
    page: int
    measure: int


def fill_eased(
    stretch: Stretch,
    first_page: int,
    fill: Callable[[Sequence[FlowBox]], Filled],
    *,
    least_rest: float,
    look_back: int,
) -> Filled:
    """The pages of a stretch that starts on page `first_page`.

    A right-hand page that would end within a piece while the hands are busy ends up to `look_back` systems earlier, where
    they are free for `least_rest` of a whole note, if no page is added.
    """
    boxes = list(stretch.boxes)
    pages = fill(boxes)
    for index in range(len(pages) - 1):
        starts = list(accumulate((len(page) for page in pages), initial=0))
        if index >= len(pages) - 1 or (first_page + index) % 2 == 0:
            continue
        stop = starts[index + 1]
        piece = _piece_before(stretch.spots, stop)
        if piece is None or _is_free(piece, least_rest):
            continue
        for earlier in range(stop - 1, max(starts[index], stop - 1 - look_back), -1):
            spot = _piece_before(stretch.spots, earlier)
            if spot is None or spot.item is not piece.item or not _is_free(spot, least_rest):
                continue
            tried = [*boxes[:earlier], boxes[earlier]._replace(new_page=True), *boxes[earlier + 1 :]]
            filled = fill(tried)
            if len(filled) <= len(pages):
                boxes, pages = tried, filled
                break
    return pages


def find_bad_turns(found: Iterable[Found], least_rest: float) -> Iterator[BadTurn]:
    """Pieces that go on over a leaf while the hands are busy."""
    lasts: dict[tuple[int, int], Found] = {}
    for entry in found:
        if isinstance(entry.item, Piece):
            lasts[(id(entry.item), entry.page)] = entry
    for entry in lasts.values():
        piece = entry.item
        if (
            not isinstance(piece, Piece)
            or entry.page % 2 == 0
            or not 0 < entry.stop < len(piece.score.measures)
        ):
            continue
        if not hands_are_free(piece.score, entry.stop - 1, least_rest):
            yield BadTurn(piece, entry.page, piece.score.measures[entry.stop - 1].number)


def _piece_before(spots: Sequence[tuple[Spot, ...]], stop: int) -> Spot | None:
    """The measures of a piece that the box before box `stop` shows, if the piece goes on after it."""
    for spot in spots[stop - 1] if stop else ():
        if isinstance(spot.item, Piece) and 0 < spot.stop < len(spot.item.score.measures):
            return spot
    return None


def _is_free(spot: Spot, least_rest: float) -> bool:
    return isinstance(spot.item, Piece) and hands_are_free(spot.item.score, spot.stop - 1, least_rest)
