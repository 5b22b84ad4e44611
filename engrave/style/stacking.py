"""The section `stacking` of a style: vertical distances, in staff spaces unless a field says otherwise."""

from typing import Annotated, NamedTuple

from engrave.settings.kinds import OneOf
from engrave.style.words import REPEATED


class StackingStyle(NamedTuple):
    """Vertical distances of what stands above and below the staves."""

    sign_gap: float
    """White between unlike objects."""
    first_sign_gap: float
    head_gap: float
    """White under labels and tempo marks, over chord names above all: nearer they would run into them."""
    """White between the outermost line and what stands outside the staff."""
    articulation_gap: float
    ending_height: float
    ending_line: float
    ending_hook: float
    ending_gap: float
    lyric_gap: float
    """From the lowest ink to the top of the lyrics' letters."""
    technique_arc_height: float
    hyphen_pitch: Annotated[float, REPEATED]
    """Repeat a hyphen about every so many spaces."""
    extender: float
    """Thickness of extender lines."""
    rhythm_stem: float
    """Length of the stems of a tab that carries the rhythm."""
    rhythm_stem_gap: float
    """From the outer tab line to the start of the stem."""
    rhythm_half_stem: float
    """Length of the shorter stem that tells a half note on the tab."""
    rhythm_side: Annotated[str, OneOf(("above", "below"))]
    """Where the stems of a tab's single voice stand: `above` or `below`."""
    vibrato_gap: float
    bend_height: float
    bend_step: float
    """From one arrow of a bend to the next."""
    bend_level: float
    """How much higher a further bend rises."""
    rhythm_bend_level: float
    bend_partly: float
    """Where the arrow of a partial release ends, over the top line."""
    rhythm_bend_height: float
    """How far a bend rises over the tab between the rhythm's stems, its amount under their beams."""
    rhythm_stem_least: float
    """The shortest stem on a tab: what is left where it gives way to an arrow."""
    rhythm_bend_to_beam: float
    """Least white between the amount of a bend and the beams over it."""
    rhythm_bend_gap: float
    """From a stem, flag or dot to the amount of a bend beside it."""
    bend_line: float
    bend_arrow: float
    delay: float
    """How far right of its note a delayed turn stands."""
    bar_dive: float
    """Width and depth of the line that stands for a dive of the vibrato bar."""
    slide_line: float
    slide_length: float
    """Length of a slide from or to nowhere."""
    slide_rise: float
    slide_tilt: float
    """Rise of a slide's line on a tab each way from the middle, as a share of the distance of the strings."""
    side_gap: float
    arpeggio_overhang: float
    bracket_hook: float
    tremolo_clearance: float
    chord_fingers: Annotated[str, OneOf(("beside", "above"))]
    """Where the left-hand fingers of chords stand on the staff: `beside` or `above`."""
    finger_pitch: float
    """Least distance of two fingers one above the other."""
    finger_shift: float
    """Fingers of a chord stand over it where one beside it would be further than this from its head."""
    finger_clearance: float
    """White around a finger beside a chord, where it breaks the staff's lines."""
    span_line: float
    span_dash: float
    span_dash_gap: float
    span_hook: float
    hairpin_height: float
    hairpin_line: float
    hairpin_shortest: float
    slide_half_rise: float
    """How far the first half of a slide rises or falls on a staff."""
    slide_crowded: float
    """Less room than this between two notes is too little for a slide."""
    slide_least: float
    """So long is a slide where there is too little room."""
    slur_digit_gap: float
    """White between a digit and the slur over or under it."""
    slur_beside_digit: float
    """Height of a slur's end at the side of a digit."""
    bend_away: float
    """How far right of the digit the first arrow of a bend stands, in lengths of its head."""
    bend_hook: float
    """The same for an upright arrow that cannot stand over its digit."""
    bend_digit_gap: float
    """White between a digit and the arrow over it."""
    bend_fraction: float
    """Size of the fractions in amounts, as a share of that of whole numbers: their digits are smaller."""
    bend_shaft: float
    """The shortest shaft of an upright arrow, in lengths of its head."""
    bend_head_width: float
    """Width of the head of a bend's arrow, as a share of its length."""
    bend_head_cover: float
    """How much of the head the shaft stays clear of, as a share of its length."""
    wave_height: Annotated[float, REPEATED]
    """Height of half a wave of a rolled chord."""
    wave_swing: float
    """How far the control points of a half wave swing aside."""
    wave_line: float
    """Thickness of the wave."""
    roll_arrow: float
    """Length of the arrow head of a roll whose direction is given."""
    roll_arrow_width: float
    """Width of that arrow head, as a share of its length."""
    breath_lift: float
    """How far a breath mark stands over the staff."""
    in_space_shift: float
    """How far a small sign inside the staff stands off the middle of its space, towards the head."""
    span_text_gap: float
    """Between the words of a dashed line and its first dash."""
    coda_drop: float
    """How far the coda sign reaches under the words beside it."""
    ending_number_inset: float
    """From the hook of an ending bracket to its number."""
    ending_number_drop: float
    """From the bracket down to the top of its number."""
