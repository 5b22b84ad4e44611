"""The adjustable numbers of a page as typed, frozen records.

Lengths are in staff spaces unless a field says otherwise. Values and sources live in `styles/*.yaml`; there are no defaults here.
"""

from collections.abc import Mapping
from typing import Annotated, NamedTuple

from engrave.score.paper_size import LEAST_SIDE, MOST_SIDE
from engrave.settings.kinds import Keys, Number, OneOf, Share
from engrave.style.necks import NeckStyle
from engrave.style.sheets import BlankStyle, BookStyle, MethodStyle, ParagraphStyle, ProseStyle
from engrave.style.stacking import StackingStyle
from engrave.style.wordbook import Wordbook
from engrave.style.words import ExplanationStyle, Face, GridStyle, SignStyle, WordsStyle

POINTS_PER_MM = 72 / 25.4
"""An inch has 72 points and 25.4 mm (fact: ISO 32000-1, 8.3.2.3; the inch by definition)."""

Side = Annotated[float, Number(LEAST_SIDE, MOST_SIDE, "mm")]
Margin = Annotated[float, Number(0, MOST_SIDE, "mm")]


class PaperStyle(NamedTuple):
    """The sheet and its margins, in millimetres."""

    width: Side
    height: Side
    margin_top: Margin
    margin_bottom: Margin
    margin_inner: Margin
    margin_outer: Margin
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
    clef_change_cost: float
    """What another clef must spare before it is chosen for a stretch: ledger lines beyond the most, squared, head by head."""
    ledger_lines_most: Annotated[int, Number(1, 12)]
    """Parts whose notes need more of them stand in another clef, where that needs fewer."""
    clef_change_size: float
    """Of the clef at the start of a line."""
    tab_space: float
    tab_line: float
    tab_line_grey: Share
    """0 black to 1 white."""
    fret_height: float
    """Height of a fret digit."""
    fret_face: Face
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
    brace_width: float
    brace_gap: float
    """From the brace to what stands right of it."""
    brace_thickness: float
    """Of its halves in their middle."""
    brace_bow: Share
    """How far its halves swing back from the point, as a share of its width."""
    brace_reach: Share
    """How soon they turn there and at their ends, as a share of their height."""
    part_name_gap: float
    """From a part's name to the bracket."""
    tuning_room: float
    """Room left of the first tab for the letters of its strings."""
    continued_start: float
    """How far left of the first note of a line what goes on from the line before starts."""


class NoteStyle(NamedTuple):
    """Stems, dots, rests, accidentals, ties."""

    stem: float
    stem_length: float
    stem_length_shortest: float
    stem_shortening_per_step: float
    stem_shortened_from: Annotated[int, Number(4, 40)]
    """Upward stems are shortened from this staff position on, downward ones from its mirror image (0: bottom line)."""
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
    slur_end_gap: float
    """White between a head, a stem or a sign and the end of a slur over it."""
    slur_clearance: float
    """White between a slur and what it passes over."""
    slur_over_slur: float
    """White between a slur and another one that lies in it."""
    slur_apart: float
    """How far the ends of two slurs that meet at one note stand from its middle."""
    slur_half: float
    """Least length of what a line shows of a slur that comes from another line or goes on to one."""
    slur_half_rise: float
    """How much higher than its notes a slur stands where it leaves or enters a line."""
    slur_lift: float
    slur_steep: float
    """What it costs to lift an end by a space, where a space of height costs 1."""
    slur_lift_most: float
    """How far an end may be lifted to pass something near it."""
    slur_slope_most: float
    """Rise for each space of length from which on a slant costs as much as a lift."""
    harmonics: Annotated[str, OneOf(("touched", "sounding"))]
    """How harmonics stand on the staff: `touched` (diamonds where the hand is) or `sounding` (with a ring above)."""
    bends: Annotated[str, OneOf(("sounding", "fretted"))]
    """What a bent note shows on the staff: `sounding` (where it is fretted and to what it is bent) or `fretted` alone."""
    bend_stroke: float
    """Thickness of the angular slur between the heads of a bent note."""
    bend_peak: float
    """How far its peak stands over the higher one of its ends."""
    bend_gap: float
    """White between a small head and the head that it leads to or comes from, where the slur is seen."""
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
    tie_over_head: float
    """From the middle of a head to the ends of its tie."""
    tie_line_clearance: float
    """How near a staff line a tie's apex may come before it is moved."""
    tie_over_digit: float
    """From the middle of a digit to the ends of its tie."""
    tie_on_tab_most: float
    """The highest apex of a tie on a tab over its ends."""
    tie_flat_over_digit: float
    """The same as `tie_over_digit` for a tie under another string's digit."""
    tie_flat: float
    """The apex of such a tie over its ends."""
    tie_clearance: float
    """White between a tie and heads, accidentals, dots, digits and signs."""
    tie_lift_most: float
    """How far from its notes a tie looks for room over an accidental."""
    half_tie_gap: float
    """How far before the last barline a half tie ends."""
    slur_over_head: float
    """From the middle of a head to the end of a slur over it."""
    accidental_clearance: float
    """Vertical white between accidentals that share a column."""
    rest_voice_gap: float
    """Between a rest and the other voice's heads."""
    head_overlap: float
    """Heads of two voices may overlap by the width of a stem and this much more."""
    grace_slash_from_tip: float
    """Where the stroke crosses the stem, from its free end."""
    grace_slash_slope: float
    """Rise of the stroke for its width."""
    grace_line: float
    """Thickness of grace stems, as a share of the usual one."""
    grace_beam_rise: float
    """Most rise of a beam of grace notes."""


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
    rest_near: float
    """White beside a rest within which a beamlet counts as over it."""
    rest_stem_growth: float
    """Stems grow by this much before a rest under their beam moves."""
    rest_retreat_most: int
    """A rest under a beam moves no more spaces than this; stems take what is missing."""
    slope_distances: tuple[float, float, float]
    """The distances of outer stems at which `slope_by_distance` changes."""
    short_stem_weight: float
    """How much dearer a stem is that is too short than one that is too long."""
    mean_stem_weight: float
    """How much the mean of the stems counts beside the shortest one."""
    inner_slit_share: float
    """How much a sliver of white at an inner beam counts, as a share of the outer one's."""
    tuplet_stroke_least: float
    """A bracket has strokes this long beside its number, or is left out."""


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
    clef_change_to_note: float
    clef_change_to_barline: float
    barline_to_note: float
    barline_to_accidental: float
    note_to_barline: float
    head_to_head: float
    fret_to_fret: float
    even_share: float
    """Where ink holds a note open and the line has room, equal notes of its measure get this share of its space."""
    even_most: float
    """But no more than so many times their natural space."""
    even_force: float
    """A line has room for that as long as its springs stand at this force or more."""
    slide_room: float
    courtesy_gap: float
    courtesy_end: float
    """From warning signs at a line's end to the end of the staff."""
    lyric_gap: float
    """Between words, in ems of the lyric face."""
    hyphen_room: float
    """Between syllables of one word, in ems."""
    lyric_lean: float
    """The share of its width that a syllable may stand off its note before spacing widens."""
    lyric_lean_most: float
    """And no further than this."""
    chord_gap: float
    """Between chord names, in ems."""
    whole_rest_measure: float
    """Least inner width of a measure that holds nothing but its rest."""
    multiple_rest_measure: float
    """Inner width of a bar that stands for several measures of rest."""
    bracket_indent: float
    """Indent of the first system for part names, beyond the longest name."""
    turn_half: float
    """Half the width of a late turn, and its white."""
    breath_room: float
    """Room for a breath or a caesura after its note."""
    roll_room: float
    """White and wave of a rolled chord together."""
    multiple_rest_inset: float
    """From the barlines to the ends of the bar that stands for several measures of rest."""
    tab_time_spread: float
    """How much further from the middle the two numbers of a time stand on a tab."""


class BreakingStyle(NamedTuple):
    """Weights of the line and page search. Costs have no unit."""

    least_force: float
    crowding_weight: float
    line_shrink: Annotated[float, Number(0.2, 1)]
    """A measure that is wider than its line is made smaller, down to this share; smaller ones are refused."""
    last_line_fill: float
    """A last line narrower than this share is left ragged or re-broken."""
    full_line: float
    """A ragged last line of which the notes would fill more than this share is justified all the same."""
    lone_measure_penalty: float
    density_least: float
    """The width at rest of the notes of all lines over the width that the lines have for them: no less where it can be helped."""
    density_most: float
    density_roomy: float
    """The least for a piece that stands on one page all the same."""
    ink_share: float
    """How much the room that ink and words ask for counts for the grey of a line, beside that of the notes' values."""
    uneven_weight: float
    """What the square of the difference from that costs. As the densities of a piece add up to much the same, the sum
    of squares is least where all lines are alike."""
    beyond_weight: float
    """What the square of the difference from the densities that are allowed costs, for each line."""
    phrase_bonus: float
    """Taken off for a break where a label, double barline or repeat follows."""
    parted_pickup_penalty: float
    blank_foot: float
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
    last_foot_weight: float
    """How much an empty foot counts on the last page, as a share of what it counts elsewhere."""
    overfull_weight: float
    """How much gaps narrower than usual count, beside wider ones."""
    turn_look_back: int
    turn_rest: float
    """A page may end so many systems earlier for an easy turn: one with a rest of such a share of a whole note at it."""


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
    necks: NeckStyle
    explanations: ExplanationStyle
    blank: BlankStyle
    prose: ProseStyle
    paragraphs: ParagraphStyle
    book: BookStyle
    method: MethodStyle
    signs: Annotated[Mapping[str, SignStyle], Keys(noun="a sign")]
    wordbook: Wordbook

    @property
    def staff_space(self) -> float:
        """One staff space in points."""
        return self.staff.height_mm / 4 * POINTS_PER_MM
