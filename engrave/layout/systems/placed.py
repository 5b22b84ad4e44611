"""Where an event ended up on its staff, for whatever is placed relative to it."""

from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import MeasureFrame
from engrave.layout.measures.ink import ChordInk, FretInk, RestInk
from engrave.layout.staves import StaffPlan
from engrave.marks.mark import Source
from engrave.score.structure import Event, Note
from engrave.style.sections import Style


class HeadPlace(NamedTuple):
    """A head, or the point where the arrow of a bend ends: its edges and the height of its middle."""

    left: float
    right: float
    y: float

    @property
    def middle(self) -> float:
        """The x of its middle."""
        return (self.left + self.right) / 2


class PlacedChain(NamedTuple):
    """A bent string: where what leads to the note ends and what leads on starts, at the first and the last of its heads.

    `starts_small` and `ends_small`: these are small ones, which have no stem.
    """

    string: int
    first: HeadPlace
    last: HeadPlace
    starts_small: bool
    ends_small: bool


_HALF_HEAD = 0.5
"""Half the height of a head, in staff spaces (fact)."""


class PlacedEvent(NamedTuple):
    """One event of a voice: the x of its column, and its ink, in the staff's coordinates (staff spaces).

    `left` and `right` are the edges of heads, digits or the rest; `bottom` and `top` include the stem. `tip` is the
    stem's free end; `stem_x` its middle, both meaningless where `has_stem` is False. `y_low` and
    `y_high` are the edges of heads or digits alone. `bent` are its bent strings; where there are some, `end_x` is the column
    of the moment at which the event ends.
    """

    item: ChordInk | RestInk | FretInk
    x: float
    left: float
    right: float
    bottom: float
    top: float
    y_low: float
    y_high: float
    direction: Direction
    has_stem: bool
    stem_x: float
    tip: float
    bent: tuple[PlacedChain, ...] = ()
    end_x: float = 0.0


def event_end_x(frame: MeasureFrame, event: Event, style: Style) -> float:
    """The x of the moment at which an event ends: that of its column, or where one would stand before the barline."""
    column = frame.ink.columns.get(event.onset + event.length)
    return frame.xs[column] if column is not None else frame.right - style.spacing.note_to_barline


class NotePlace(NamedTuple):
    """One note of a placed event: the height and the right edge of its head or digit."""

    note: Note
    y: float
    right: float
    source: Source


def note_places(plan: StaffPlan, event: PlacedEvent) -> list[NotePlace]:
    """Each note of an event with its place on the staff `plan`; nothing for rests."""
    item = event.item
    if isinstance(item, ChordInk):
        return [
            NotePlace(note, position / 2, event.right, source)
            for note, position, source in zip(item.notes, item.positions, item.sources, strict=True)
        ]
    if isinstance(item, FretInk):
        return [
            NotePlace(
                digit.note,
                (plan.lines - digit.string) * plan.pitch,
                event.stem_x + digit.right,
                digit.source,
            )
            for digit in item.digits
        ]
    return []


class PlacedVoice(NamedTuple):
    """One voice of one measure on one staff."""

    events: tuple[PlacedEvent, ...]
    side: Direction | None


class VoiceAt(NamedTuple):
    """A voice of one measure: its number there, and the measure's right edge."""

    number: int
    voice: PlacedVoice
    end_x: float


def signs_left(
    event: PlacedEvent, chord: ChordInk, position: int, face: MusicFace, style: Style
) -> float | None:
    """The left edge of what stands before the head at `position`, where a line to it ends; None where nothing does.

    Accidentals at its height, and fingers and rolls before the whole chord.
    """
    if not chord.accidentals and chord.side is None:
        return None
    size = style.notes.grace_size if chord.number < 0 else 1.0
    edges = []
    for accidental in chord.accidentals:
        box = face.glyph(accidental.glyph).box
        distance = (accidental.position - position) / 2
        if box.bottom < distance + _HALF_HEAD and distance - _HALF_HEAD < box.top:
            around = face.glyph("accidentalParensLeft").advance if accidental.in_parentheses else 0.0
            edges.append(event.x + (accidental.dx + box.left - around) * size)
    if chord.side is not None and (chord.side.fingers or chord.side.roll is not None):
        edges.append(event.x - chord.side.left)
    return min(edges, default=None)
