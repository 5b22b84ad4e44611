"""The arrows of bends over a staff that has no tab under it, measured. In staff spaces."""

from __future__ import annotations

from engrave.fonts.symbols import MusicFace
from engrave.layout.measures.bend_room import (
    NO_BENDS,
    NOTHING,
    BendInk,
    BendPlace,
    BentNote,
    BentStrings,
    is_held,
    measure_bends,
)
from engrave.layout.measures.bent_pitches import has_quarter_tones
from engrave.layout.measures.ink import ChordInk
from engrave.style.sections import Style


def measure_staff_arrows(
    chord: ChordInk, held: BentStrings, has_rhythm: bool, size: float, style: Style, face: MusicFace
) -> BendInk:
    """The arrows of a chord drawn at `size`; `held` are the strings that a tie holds bent.

    Where heads say to what a string is bent, arrows stand for quarter tones alone, which heads do not say.
    """
    are_heads = style.notes.bends == "sounding"
    if are_heads and not any(has_quarter_tones(note.bend) for note in chord.notes):
        return NO_BENDS
    boxes = [face.glyph(head).box for head in chord.heads]
    left = min(dx + box.left for dx, box in zip(chord.head_dx, boxes, strict=True)) * size
    right = max(dx + box.right for dx, box in zip(chord.head_dx, boxes, strict=True)) * size
    notes = [
        BentNote(
            note if not are_heads or has_quarter_tones(note.bend) else note._replace(techniques=()),
            right,
            position / 2,
            is_held(note, held) and not are_heads,
        )
        for note, position in zip(chord.notes, chord.positions, strict=True)
    ]
    place = BendPlace((left + right) / 2, chord.stem_dx * size, NOTHING, False, has_rhythm)
    return measure_bends(notes, place, style)
