"""Small notes of tempo marks, and figures of tuplets and fingers."""

from __future__ import annotations

import engrave.face.flags
import engrave.face.heads
import engrave.face.time_signatures  # noqa: F401  # their drawings are used by name
from engrave.face.registry import DRAWINGS, symbol
from engrave.face.shapes import Shape, at_left, disc, move, rectangle, scale, skewed, unite

_STEM = 0.14
_HEIGHT = 3.1
"""From the middle of the head to the end of the stem."""


def _note(head: str, flags: str = "", stem: bool = True) -> Shape:
    """A small note for tempo marks, its head resting on y = 0."""
    shape = move(DRAWINGS[head](), 0, 0.5)
    if not stem:
        return shape
    right = shape.bounds[2]
    parts = [shape, rectangle(right - _STEM, 0.62, right, 0.5 + _HEIGHT)]
    if flags:
        parts.append(move(scale(DRAWINGS[flags](), 0.92, 0.86), right - _STEM, 0.5 + _HEIGHT))
    return unite(*parts)


_NOTES = {
    "metNoteWhole": ("noteheadWhole", "", False),
    "metNoteHalfUp": ("noteheadHalf", "", True),
    "metNoteQuarterUp": ("noteheadBlack", "", True),
    "metNote8thUp": ("noteheadBlack", "flag8thUp", True),
    "metNote16thUp": ("noteheadBlack", "flag16thUp", True),
    "metNote32ndUp": ("noteheadBlack", "flag32ndUp", True),
    "metNote64thUp": ("noteheadBlack", "flag64thUp", True),
}


def _register_notes() -> None:
    for name, (head, flags, stem) in _NOTES.items():

        def draw_note(head: str = head, flags: str = flags, stem: bool = stem) -> Shape:
            return _note(head, flags, stem)

        DRAWINGS[name] = draw_note


_register_notes()


@symbol("metAugmentationDot")
def draw_small_dot() -> Shape:
    """The dot beside a small note; its foot where the head's middle is."""
    return disc(0.22, 0.5, 0.22)


def _register_figures() -> None:
    """Tuplet and fingering figures: the time digits, made slimmer; tuplets lean."""
    for number in range(10):

        def draw_tuplet(number: int = number) -> Shape:
            digit = scale(DRAWINGS[f"timeSig{number}"](), 0.62, 0.72)
            return at_left(skewed(move(digit, 0, 0.72)))

        DRAWINGS[f"tuplet{number}"] = draw_tuplet
    for number in range(6):

        def draw_finger(number: int = number) -> Shape:
            digit = scale(DRAWINGS[f"timeSig{number}"](), 0.56, 0.66)
            return at_left(move(digit, 0, 0.66))

        DRAWINGS[f"fingering{number}"] = draw_finger


_register_figures()


@symbol("tupletColon")
def draw_tuplet_colon() -> Shape:
    """The colon of a ratio."""
    return at_left(unite(disc(0, 0.36, 0.13), disc(0.12, 1.02, 0.13)))
