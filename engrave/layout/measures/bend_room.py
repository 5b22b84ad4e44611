"""How much room a bend's arrows need beside their note."""

from __future__ import annotations

from engrave.fonts.text_face import text_face
from engrave.score.structure import Note
from engrave.style.sections import Style
from engrave.theory.bends import BendKind, BendStep, amount_label, parse_bend


def bend_steps(note: Note) -> tuple[BendStep, ...]:
    """How a note is bent; nothing when it is not."""
    for mark in note.marks:
        if mark.name == "bend":
            return parse_bend(mark.amount, note.tie_from)
    return ()


def step_width(style: Style, inside: bool) -> float:
    """From one arrow of a bend to the next, in staff spaces; `inside`: under the beams of a tab with rhythm."""
    return style.stacking.rhythm_bend_room if inside else style.stacking.bend_step


def bend_reach(notes: tuple[Note, ...], style: Style, inside: bool) -> float:
    """How far right of their digits the bends of a chord reach, in staff spaces; 0 without bends."""
    rows = {bend_steps(note) for note in notes} - {()}
    reach = 0.0
    for steps in rows:
        arrows = sum(1 for step in steps if step.kind not in (BendKind.HOLD, BendKind.PRE_BEND))
        last = steps[-1]
        if last.kind is BendKind.RELEASE and last.semitones:
            arrows += 1
        width = step_width(style, inside)
        if inside:
            reach += width * arrows
        else:
            reach += max(0, arrows - 1) * width + style.stacking.bend_arrow * 1.4 + _half_label(steps, style)
    return reach


def _half_label(steps: tuple[BendStep, ...], style: Style) -> float:
    """Half the width of the last amount, which stands centred over its arrow."""
    words = style.words.bend
    label = amount_label(max(step.semitones for step in steps)) if any(s.semitones for s in steps) else ""
    return text_face(words.face).width(label, words.size) / 2
