"""The records of a style that say how words and signs are set.

Lengths are in staff spaces unless a field says points or a ratio; the values live in `styles/*.yaml`.
"""

from enum import StrEnum
from typing import Annotated, NamedTuple

from engrave.fonts.face_files import FACE_NAMES
from engrave.settings.kinds import Having, Number, OneOf
from engrave.style.wordbook import SLOT

Face = Annotated[str, OneOf(FACE_NAMES, "a face")]
MORE_THAN_NOTHING = Number(0, is_open=True)
REPEATED = Number(0.1)
"""Distances at which something is drawn again and again: shorter ones would fill the memory before the page (safety limit)."""
FEW = Number(1, 12)
"""Things that stand beside each other on a page."""


class TextStyle(NamedTuple):
    """One kind of text: its face and its size in staff spaces."""

    face: Face
    size: Annotated[float, MORE_THAN_NOTHING]


class WordsStyle(NamedTuple):
    """Faces and sizes of all words, and the distances that belong to them."""

    title: TextStyle
    subtitle: TextStyle
    credit: TextStyle
    copyright: TextStyle
    page_number: TextStyle
    running_head: TextStyle
    tempo: TextStyle
    metronome: TextStyle
    """The number a minute, and what stands between it and the note value."""
    label: TextStyle
    text: TextStyle
    chord_name: TextStyle
    lyric: TextStyle
    verse_number: TextStyle
    measure_number: TextStyle
    part_name: TextStyle
    string_name: TextStyle
    tuning: TextStyle
    ending: TextStyle
    go_back: TextStyle
    technique: TextStyle
    span: TextStyle
    finger: TextStyle
    tuplet: TextStyle
    counting: TextStyle
    rest_count: TextStyle
    bend: TextStyle
    chord_raised_size: float
    """Size of raised extensions, as a share of the chord name's."""
    chord_raise: float
    """How far extensions are raised, as a share of the size."""
    chord_accidental_size: float
    """Size of sharps and flats in chord names, as a share of the name's."""
    label_pad: float
    label_line: float
    line_pitch: float
    """Distance of baselines, as a share of the size."""
    no_chord: str
    """What is printed where no chord sounds; the language's, unless a style says otherwise."""
    note_letters: Annotated[str, OneOf(("international", "german"))]
    """How chord names and strings are called: `international`, or `german` (H for B; B flat stays a flattened B)."""
    measure_numbers: Annotated[str, OneOf(("lines", "all", "none"))]
    """`lines` (at each line's start), `all`, or `none`."""
    show_tuning: bool
    upper_case_titles: bool
    running_head_gap: float
    """White under the running head, as a share of its size."""
    running_head_lift: float
    """How far the running head stands over the top margin, as a share of its size."""
    foot_height: float
    """Where page number and copyright stand, as a share of the bottom margin."""
    foot_clearance: float
    """Least white between the music and the page number, in millimetres."""
    foot_least: float
    """The foot's line stands no lower than this, in millimetres from the edge of the sheet."""
    furniture_width: float
    """The most that a running head or a copyright takes of the width, as a share."""
    heading_shrink: Annotated[float, Number(0.5, 1)]
    """A line of the head that is too long may be set smaller, down to this share, before it is broken."""
    heading_apart: float
    """Least white between two things on one line of the head."""
    credit_gap: float
    """White over the credits, as a share of their size."""
    heading_foot: float
    """White under the titles, as a share of the credits' size."""
    chord_sharp_top: float
    """The top of a sharp over the baseline, as a share of the letters' size."""
    label_gap: float
    """White between a label and the next tempo mark or label on the line."""
    label_push_most: float
    """How far a label or a tempo mark may be pushed to the right by the one before it."""
    tempo_lines_most: Annotated[int, Number(1, 9)]
    """A tempo mark without room to its right takes about so many lines at most; then it starts further to the left."""
    metronome_note: float
    """Size of the note in a metronome mark beside words of size 1."""
    metronome_note_gap: float
    """White on both sides of that note."""
    metronome_dot_gap: float
    """White before its dots."""
    swing_step: float
    """Between the notes of the sign of swing, in spaces of its own."""
    swing_flag_room: float
    """More of it where the first note has a stem of its own and the second a flag."""
    swing_beam_gap: float
    """White between two beams there."""
    swing_short_beam: float
    """Length of a beam at one note alone there."""
    swing_three_gap: float
    """White under its 3."""
    swing_hook: float
    """How far the bracket beside the 3 comes down."""
    hyphen_width: float
    """Width of a hyphen between syllables, in ems."""
    hyphen_clear: float
    """Least white on each side of it, in ems."""
    hyphen_line: float
    """Thickness of it, in ems."""
    verse_number_gap: float
    """Between a verse's number and its first syllable, in ems."""
    lyric_depth: float
    """How deep the letters of lyrics are taken to reach, in ems."""
    elision_reach: float
    """How far an elision's tie reaches under its neighbours, in ems."""
    elision_drop: float
    """How far it lies below the baseline, in ems."""
    elision_height: float
    """Its depth, in ems."""
    extender_start: float
    """Between a syllable and its extender line, in ems."""

    @property
    def says_h(self) -> bool:
        """True where a B that is not flat is called H."""
        return self.note_letters == "german"


class GridStyle(NamedTuple):
    """The sizes of a grid in staff spaces, unless said otherwise. `dot` and `barre` are shares of the string pitch."""

    string_pitch: float
    """From string to string."""
    fret_pitch: float
    """From fret to fret."""
    line: float
    """Thickness of strings and frets."""
    nut: float
    """Thickness of the nut."""
    dot: float
    """Diameter of a dot, a share of the string pitch."""
    barre: float
    """Thickness of a barre, a share of the string pitch."""
    mark_height: float
    """Height of the rings and crosses."""
    mark_gap: float
    """White between them and the nut."""
    finger_face: Face
    finger_size: float
    """Font size."""
    finger_gap: float
    """White between the last fret and the digits."""
    fret_number_face: Face
    fret_number_size: float
    """Font size."""
    fret_number_gap: float
    """White between the number and a dot on the string beside it."""
    fret_number: Annotated[str, Having(SLOT, "the number")]
    """What stands beside a grid that starts up the neck, `{}` for the number; the language's, like `no_chord`."""
    name_gap: float
    """White between a grid and the chord name over it."""
    apart: float
    """White between two grids."""
    row_gap: float
    """White over the first row of grids and between rows."""


class ExplanationStyle(NamedTuple):
    """Signs explained after the music."""

    columns: Annotated[int, FEW]
    example_size: float
    """Size of the examples, as a share of the music's."""
    example_width: float
    """Room for an example at the left of its words."""
    gap: float
    """White between example and words, and between columns."""
    row_gap: float
    row_gap_least: float
    """White between rows."""
    heading: TextStyle
    name: TextStyle
    text: TextStyle
    line_pitch: float
    """Distance of the baselines of the words, as a share of their size."""


class OtherMark(StrEnum):
    """Marks that are no signs of the language and have a row in the same table."""

    TUPLET = "tuplet"
    DYNAMIC = "dynamic"
    COUNT = "count"
    LYRIC = "lyric"
    CHORD_NAME = "chord-name"
    NECK = "neck"
    TEXT = "text"
    HARMONIC_RING = "harmonic-ring"
    """Over a harmonic that is written at its sound."""


class SignStyle(NamedTuple):
    """How one sign is drawn: a symbol of the music face, or letters, and where.

    `size` is a share of the usual size. `on` is staff, tab, both or none; where a view lacks that staff the other one carries the sign. `side` is head
    (away from the stem), above or below. The smaller `order`, the nearer the sign stands to its note, whatever its kind.
    `of` is what it belongs to, `lane` whether it stands as near as it can or in one row along the line, `yields` how it gives way.
    """

    glyph: str = ""
    letters: str = ""
    on: Annotated[str, OneOf(("staff", "tab", "both", "none"))] = "none"
    side: Annotated[str, OneOf(("head", "above", "below"))] = "above"
    order: Annotated[float, Number(0, 100)] = 0.0
    of: Annotated[
        str,
        OneOf(
            ("note", "graces", "start", "late", "after", "beside", "stem", "beam", "digit", "join", "line")
        ),
    ] = "note"
    lane: Annotated[str, OneOf(("near", "row"))] = "near"
    yields: Annotated[str, OneOf(("outwards", "into-space", "stays"))] = "outwards"
    size: Annotated[float, Number(0.3, 3)] = 1.0

    @property
    def stands_outside(self) -> bool:
        """True where the place follows from the order: over or under the note, not at a measured place beside it or between two."""
        return self.yields != "stays"
