"""Notes as the ends of ties, slurs and lines: where what joins them to others starts and stops."""

from typing import NamedTuple

from engrave.layout.direction import Direction
from engrave.layout.systems.placed import PlacedChain, PlacedEvent
from engrave.marks.mark import Source
from engrave.score.joins import NoteAt
from engrave.score.structure import Note


class JoinEnd(NamedTuple):
    """One note as the end of a slur: edges of its head or digit, its height, and where it points."""

    left: float
    right: float
    y: float
    direction: Direction
    note: Note
    source: Source
    tie_from: float = 0.0
    """Where the ink ends that a tie must start right of: the head, its dots, a flag in the way."""
    stem: Direction | None = None
    """Where the stem points, if there is one."""
    arrived: Direction | None = None
    """The side of the slur that ends here on a staff: the next one of the chain keeps it."""
    leave: PlacedChain | None = None
    """A bent string, from the last head of which what follows starts."""
    bent: bool = False
    """True while a string stays bent: on a tab, a dashed line shows that it is held."""
    has_arrow: bool = False
    """True where an arrow of a bend starts, which takes the room above."""
    string: int = 0
    has_flag: bool = False
    """True where a tie would cross the flag of its own note."""
    is_continued: bool = False
    """True where the note stands on the line before."""
    slur: Direction = Direction.UP
    """Where a slur stands on a tab: away from the stems."""
    at: NoteAt | None = None
    """Where the note stands in its part; None for a head that shows but where a string is touched."""
    signs_left: float | None = None
    """Where what stands before the head begins, accidentals above all: lines to the note end there. None where nothing does."""
    covered: bool = False
    """True for a digit with another one next to it where its slur would stand: slurs pass at its side."""


def arriving(end: JoinEnd, event: PlacedEvent) -> JoinEnd:
    """`end` at the first head of a bent string."""
    chain = next((chain for chain in event.bent if chain.string == end.note.string), None)
    if chain is None:
        return end
    if not chain.starts_small:
        return end._replace(leave=chain)
    first = chain.first
    return end._replace(
        left=first.left, right=first.right, y=first.y, stem=None, leave=chain, signs_left=None
    )


def leaving(end: JoinEnd) -> JoinEnd:
    """`end` at the last head of a bent string: where what follows starts."""
    if end.leave is None:
        return end
    last, small = end.leave.last, end.leave.ends_small
    return end._replace(
        left=last.left,
        right=last.right,
        y=last.y,
        tie_from=max(end.tie_from, last.right),
        stem=None if small else end.stem,
        covered=end.covered and not small,
        leave=None,
    )


def located(end: JoinEnd, event: PlacedEvent, at: NoteAt) -> JoinEnd:
    """`end`, told where its note stands; `at` is where the first note of the event does."""
    notes = event.item.event.notes
    alike = (
        index
        for index, own in enumerate(notes)
        if own.string == end.note.string and (own.string or own.pitch == end.note.pitch)
    )
    index = next(alike, None)
    return end._replace(at=at._replace(note=index) if index is not None else None)
