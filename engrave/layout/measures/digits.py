"""What stands on a string of a tab: decided and measured once, carried to whoever places it."""

from collections.abc import Iterable
from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.marks.mark import NO_SOURCE, Source
from engrave.score.sign_list import SignName
from engrave.score.structure import Note
from engrave.score.techniques import NaturalHarmonic, StoppedHarmonic, Trill
from engrave.style.sections import Style


class DigitText(NamedTuple):
    """What is printed for a note on a tab: "" where it is held by a tie.

    `main` stands under the middle of the head, `tail` follows it; `in_parentheses` for ghost notes.
    """

    main: str
    tail: str
    in_parentheses: bool


class Digit(NamedTuple):
    """A digit as printed, all distances in staff spaces; `text` is empty where the note is held by a tie.

    The left edge stands `centre` left of the middle of the head, the right edge `right` right of it. `size` is that of
    the font, `half_height` reaches from the string's line to the top of a digit, `clearance` is the white at both sides
    where the line is broken. `parenthesis` is the width of each of a ghost note's parentheses, 0 without them, and
    `parenthesis_size` their font size.
    """

    string: int
    text: str
    face: str
    size: float
    width: float
    centre: float
    half_height: float
    clearance: float
    parenthesis: float
    parenthesis_size: float
    note: Note
    source: Source

    @property
    def right(self) -> float:
        """From the middle of the head to the right edge."""
        return self.width - self.centre


def decide_digit_text(note: Note) -> DigitText:
    """What is printed for a note on the tab: its fret, X for a dead note, nothing for one held by a tie.

    The node of a natural harmonic stands in angle brackets, that of a stopped string after the fret, like the upper note
    of a trill in parentheses; parentheses around the fret mean a ghost note only (common practice, no source).
    """
    if note.tie_from:
        return DigitText("", "", False)
    if not note.techniques:
        return DigitText(str(note.fret), "", False)
    ghost = note.has(SignName.GHOST)
    for technique in note.techniques:
        if isinstance(technique, NaturalHarmonic):
            return DigitText(f"<{technique.label}>", "", ghost)
        if isinstance(technique, Trill):
            return DigitText(str(note.fret), f" ({technique.to})", ghost)
        if isinstance(technique, StoppedHarmonic):
            return DigitText(str(note.fret), f" <{technique.touched}>", ghost)
    return DigitText("X" if note.has(SignName.DEAD) else str(note.fret), "", ghost)


class DigitMeasurer:
    """Measures digits for one style."""

    def __init__(self, style: Style) -> None:
        """Use the face and the distances of `style`."""
        staff = style.staff
        self._staff = staff
        self._text = text_face(staff.fret_face)
        self._size = staff.fret_height / self._text.ink("1", 1.0).top
        ink = self._text.ink("(", 1.0)
        # so tall that the parentheses of neighbouring strings do not touch
        self._parenthesis_size = (staff.tab_space - staff.fret_clearance / 2) / (ink.top - ink.bottom)

    def measure(self, note: Note, source: Source, share: float = 1.0) -> Digit:
        """The digit of a note; `share` is its size as a share of the usual (grace notes)."""
        said = decide_digit_text(note)
        size, parenthesis_size = self._size * share, self._parenthesis_size * share
        around = self._text.width("(", parenthesis_size) if said.in_parentheses else 0.0
        main, tail = self._text.width(said.main, size), self._text.width(said.tail, size)
        return Digit(
            string=note.string,
            text=said.main + said.tail,
            face=self._staff.fret_face,
            size=size,
            width=main + tail + 2 * around,
            centre=main / 2 + around,
            half_height=self._staff.fret_height / 2 * share,
            clearance=self._staff.fret_clearance * share,
            parenthesis=around,
            parenthesis_size=parenthesis_size,
            note=note,
            source=source,
        )

    def reach_left(self, notes: Iterable[Note]) -> float:
        """How far the digits of `notes` reach left of the middle of their heads; 0 without any."""
        return max((self.measure(note, NO_SOURCE).centre for note in notes if note.string), default=0.0)
