"""The adjustable numbers of a page as typed, frozen records.

Lengths are in staff spaces unless a field says points, millimetres or a ratio. The values, each with its
source, live in `styles/*.yaml`; there are no defaults here, so that a number has exactly one home.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from engrave.style.wordbook import Wordbook
from engrave.style.words import ExplanationStyle, GridStyle, SignStyle, TextStyle, WordsStyle


class PaperStyle(NamedTuple):
    """The sheet and its margins, in millimetres."""

    width: float
    height: float
    margin_top: float
    margin_bottom: float
    margin_inner: float
    margin_outer: float
    mirrored: bool
    """True: inner and outer margins change sides on left-hand pages."""


class StaffStyle(NamedTuple):
    """Staff and tab proportions, line weights."""

    height_mm: float
    """Height of the five-line staff in millimetres; a staff space is a quarter of it."""
    line: float
    ledger_line: float
    ledger_overhang: float
    ledger_gap: float
    """Least white between the ledger lines of neighbouring notes."""
    tab_space: float
    tab_line: float
    tab_line_grey: float
    """0 black to 1 white."""
    fret_height: float
    """Height of a fret digit."""
    fret_face: str
    fret_clearance: float
    """White on each side of a digit where the line is broken."""
    staff_to_tab: float
    """From the bottom line of the staff to the top line of its tab, in staff spaces."""
    staff_to_staff: float
    """Between the staves of different parts, ink to ink at least `skyline_gap`."""
    skyline_gap: float
    """Least white between the ink of two neighbouring staves."""
    thin_barline: float
    thick_barline: float
    double_barline_gap: float
    thick_barline_gap: float
    repeat_dot_gap: float
    dashed_barline_on: float
    dashed_barline_off: float
    bracket_bar: float
    bracket_gap: float
    """From the bracket to the left end of the staves."""


class NoteStyle(NamedTuple):
    """Stems, dots, rests, accidentals, ties."""

    stem: float
    stem_length: float
    stem_length_shortest: float
    stem_shortening_per_step: float
    """Taken off for each half space an outward stem's note lies beyond the staff's middle region."""
    flag_pitch: float
    """Extra stem for each flag beyond the second."""
    sixteenth_stem_extra: float
    """Extra stem for a two-flag note, so that the flags stay clear of the head."""
    dot_gap: float
    """Head to first dot, ink to ink."""
    dot_pitch: float
    """Dot to dot, centre to centre."""
    accidental_gap: float
    accidental_to_accidental: float
    voice_rest_shift: float
    voice_gap: float
    """White between the heads of two voices that stand side by side."""
    tie_end: float
    tie_middle: float
    tie_head_gap: float
    """From the edge of a head to the end of its tie."""
    tie_height: float
    tie_height_per_space: float
    tie_height_most: float
    tie_shortest: float
    tie_inset: float
    """Where the control points stand, as a share of the length."""
    slur_height: float
    slur_height_per_space: float
    slur_height_most: float
    harmonics: str
    """How harmonics stand on the staff: `touched` (diamonds where the hand is) or `sounding` (with a ring above)."""
    grace_size: float
    """Size of grace notes, as a share of the usual size."""
    grace_fret_size: float
    """Size of the digits of grace notes, as a share of the usual size."""
    grace_gap: float
    """White between grace notes, and from the last one to its note."""
    grace_stem: float
    """Length of their stems."""
    grace_slash: float
    """Length of the stroke through the stem, each way from its middle."""


class BeamStyle(NamedTuple):
    """Beams and tuplets."""

    thickness: float
    gap: float
    ideal_stems: tuple[float, float, float, float]
    """Ideal stem length under 1, 2, 3, 4 beams, head centre to the outer edge of the beam."""
    shortest_stems: tuple[float, float, float, float]
    """Least length between a head's centre and the inner edge of the innermost beam."""
    slope_by_interval: tuple[float, float, float, float, float, float, float]
    """Most rise for an outer interval of a 2nd, 3rd, ... octave and more."""
    slope_by_distance: tuple[float, float, float, float]
    """Most rise for outer stems less than 3, 5, 8 and more spaces apart."""
    steepest: float
    """Most rise for each space of length."""
    ledger_rise: float
    """Most rise when all notes lie beyond one ledger line."""
    many_beams_share: float
    """Share of the rise allowed with three beams and more."""
    beamlet: float
    beamlet_share: float
    """A beamlet takes at most this share of the gap between its stems."""
    rest_gap: float
    """Least white between a beam and a rest under it."""
    stub_penalty: float
    slope_penalty: float
    slit_penalty: float
    """Cost of a beam edge that leaves a sliver of white against a staff line."""
    tuplet_hook: float
    tuplet_line: float
    tuplet_gap: float
    tuplet_digit_gap: float
    tuplet_slope_most: float


class SpacingStyle(NamedTuple):
    """Horizontal distances, ink to ink."""

    quarter: float
    """Natural space after a quarter note."""
    ratio: float
    """Growth of the space when the duration doubles."""
    floor: float
    """Least natural space of the shortest values."""
    left_edge_to_clef: float
    clef_to_key: float
    key_step_sharp: float
    key_step_flat: float
    to_time: float
    time_to_note: float
    key_to_note: float
    clef_to_note: float
    barline_to_note: float
    barline_to_accidental: float
    note_to_barline: float
    head_to_head: float
    fret_to_fret: float
    slide_room: float
    courtesy_gap: float
    lyric_gap: float
    """Between words, in ems of the lyric face."""
    hyphen_room: float
    """Between syllables of one word, in ems."""
    chord_gap: float
    """Between chord names, in ems."""
    whole_rest_measure: float
    """Least inner width of a measure that holds nothing but its rest."""
    multiple_rest_measure: float
    """Inner width of a bar that stands for several measures of rest."""
    bracket_indent: float
    """Indent of the first system for part names, beyond the longest name."""


class BreakingStyle(NamedTuple):
    """Weights of the line and page search. Costs have no unit."""

    least_force: float
    crowding_weight: float
    forced_line_weight: float
    last_line_fill: float
    """A last line narrower than this share is left ragged or re-broken."""
    full_line: float
    """A ragged last line of which the notes would fill more than this share is justified all the same."""
    lone_measure_penalty: float
    uneven_penalty: float
    phrase_bonus: float
    """Taken off for a break where a label, double barline or repeat follows."""
    page_fill_weight: float
    lone_system_penalty: float
    lone_last_penalty: float
    """What a last page with one system on it costs."""
    ragged_page_fill: float
    """A last page less full than this share is not stretched."""
    sparse_page_penalty: float
    sparse_page_fill: float
    """A last page less full than this share costs a part of the penalty, an empty one all."""
    system_gap: float
    """From the ink of one system to the next at rest."""
    system_gap_least: float
    system_gap_most: float
    """The page is left ragged rather than stretched beyond this."""
    title_gap: float
    """Between the titles and the first system."""
    title_gap_least: float


class StackingStyle(NamedTuple):
    """Vertical distances of what stands above and below the staves."""

    sign_gap: float
    """White between unlike objects."""
    first_sign_gap: float
    """White between the outermost line and what stands outside the staff."""
    articulation_gap: float
    ending_height: float
    ending_line: float
    ending_hook: float
    ending_gap: float
    lyric_gap: float
    """From the lowest ink to the top of the lyrics' letters."""
    technique_arc_height: float
    hyphen_pitch: float
    """Repeat a hyphen about every so many spaces."""
    extender: float
    """Thickness of extender lines."""
    rhythm_stem: float
    """Length of the stems of a tab that carries the rhythm."""
    rhythm_stem_gap: float
    """From the outer tab line to the start of the stem."""
    rhythm_half_stem: float
    """Length of the shorter stem that tells a half note on the tab."""
    rhythm_side: str
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
    chord_fingers: str
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


class BlankStyle(NamedTuple):
    """Blank paper, in millimetres unless said otherwise."""

    staff_line_distance: float
    tab_line_distance: float
    staff_to_tab: float
    """From the staff's bottom line to the tab's top line, in staff spaces of the sheet (line distances of its staff)."""
    system_gap: float
    """White between systems where their number is free."""
    system_gap_least: float
    line: float
    """Thickness of lines."""
    least_staff_line_distance: float
    least_tab_line_distance: float
    grid_width: float
    """From the outermost string to the outermost string of a blank chord grid."""
    grid_frets: int
    grid_fret_distance: float
    grid_gap: float
    grid_name_room: float
    """Room for a chord's name over a grid."""
    heading_room: float
    footer_room: float
    words: TextStyle
    """Words on the sheet; the size in points."""
    hole_mark: float
    """Length of each stroke of the cross where a hole is punched."""


class ProseStyle(NamedTuple):
    """Running words of handouts and books. Points, unless said otherwise."""

    title: TextStyle
    about: TextStyle
    """Lesson, level and date under the title."""
    heading_1: TextStyle
    heading_2: TextStyle
    heading_3: TextStyle
    body: TextStyle
    caption: TextStyle
    code_face: str
    line_pitch: float
    """Distance of baselines, as a share of the size."""
    justified: bool
    paragraph_gap: float
    heading_gap: float
    item_gap: float
    list_indent: float
    block_gap: float
    """White around music, shapes, pictures and boxes."""
    caption_gap: float
    beside_gap: float
    """White between examples side by side."""
    frame_pad: float
    frame_grey: float
    """Tint of boxes, 0 black to 1 white."""
    form_line: float
    most_stretch: float
    """No white of a handout grows beyond this many times the usual between systems."""
    strip_height: float
    strip_cell: float
    strip_bar: float
    strip_lightest: float
    strip_numbers: float


class Style(NamedTuple):
    """Everything adjustable about a page, fully resolved."""

    name: str
    paper: PaperStyle
    staff: StaffStyle
    notes: NoteStyle
    beams: BeamStyle
    spacing: SpacingStyle
    breaking: BreakingStyle
    words: WordsStyle
    stacking: StackingStyle
    grids: GridStyle
    explanations: ExplanationStyle
    blank: BlankStyle
    prose: ProseStyle
    signs: Mapping[str, SignStyle]
    wordbook: Wordbook

    @property
    def staff_space(self) -> float:
        """One staff space in points."""
        return self.staff.height_mm / 4 * 72 / 25.4
