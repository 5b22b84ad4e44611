"""The sections of a style for blank paper, handouts and books."""

from typing import Annotated, NamedTuple

from engrave.settings.kinds import Number, Share
from engrave.style.words import FEW, REPEATED, Face, TextStyle

LineDistance = Annotated[float, Number(0.5, 50, "mm")]
"""Closer lines cannot be told apart, and sheets of them would fill the memory (safety limit)."""


class BlankStyle(NamedTuple):
    """Blank paper, in millimetres unless said otherwise."""

    staff_line_distance: LineDistance
    tab_line_distance: LineDistance
    staff_to_tab: float
    """From the staff's bottom line to the tab's top line, in staff spaces of the sheet (line distances of its staff)."""
    system_gap: float
    """White between systems where their number is free."""
    system_gap_least: float
    line: float
    """Thickness of lines."""
    least_staff_line_distance: LineDistance
    least_tab_line_distance: LineDistance
    grid_width: Annotated[float, REPEATED]
    """From the outermost string to the outermost string of a blank chord grid."""
    grid_frets: Annotated[int, FEW]
    grid_fret_distance: Annotated[float, REPEATED]
    grid_gap: float
    grid_name_room: float
    """Room for a chord's name over a grid."""
    heading_room: float
    footer_room: float
    words: TextStyle
    """Words on the sheet; the size in points."""
    hole_mark: float
    """Length of each stroke of the cross where a hole is punched."""
    clef_gap: float
    """From the left end of the lines to the clef, in staff spaces."""
    name_gap: float
    """From a string's letter to its line."""
    name_size: float
    """Size of the letters of strings, as a share of the words'."""
    nut: float
    """Thickness of a blank grid's nut."""
    narrowing: Annotated[float, Number(0.01, 50, "mm")]
    """Step by which line distances are narrowed to make a number of systems fit."""
    string_depth: float
    """How much deeper each string beyond the sixth reaches under the staff, in staff spaces."""
    date_start: float
    """Where the line for the date starts, as a share of the width."""
    title_gap: float
    """Between the lines for title and date."""
    word_gap: float
    """Between a word and the line ruled after it."""
    margin_top: float
    margin_bottom: float
    margin_inner: float
    """At the left edge, where it is not punched."""
    margin_outer: float
    margin_punched: float
    """At the left edge where it is punched."""
    grey_ink: Share
    """Lines and words of paper in grey ink: 0 black to 1 white."""


class ParagraphStyle(NamedTuple):
    """How paragraphs of running words are broken into lines. Costs have no unit; they are squared badnesses."""

    stretch: Annotated[float, Number(0, 10, is_open=True)]
    """The share of its width that a blank gains at badness 100."""
    shrink: Annotated[float, Number(0, 0.9)]
    """The share of its width that a blank may lose at most."""
    ragged_stretch: Annotated[float, Number(0, 100, "ems", is_open=True)]
    """Ems that a ragged line is too short at badness 100."""
    hyphen_penalty: float
    """Added to the badness of a line that ends inside a word."""
    two_hyphens_as_wide: Annotated[float, Number(1, 100)]
    """A second hyphen in a row costs as much as a line whose blanks are so many times as wide as they should be."""
    least_letters: Annotated[int, Number(2, 100)]
    """Shorter words are not hyphenated."""
    least_before_hyphen: Annotated[int, Number(1, 100)]
    least_after_hyphen: Annotated[int, Number(1, 100)]
    """Letters that must stand before and after a hyphen."""

    @property
    def two_hyphens(self) -> float:
        """What a second hyphen in a row costs."""
        return float((1 + 100 * ((self.two_hyphens_as_wide - 1) / self.stretch) ** 3) ** 2)


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
    code_face: Face
    typed: TextStyle
    """Lines printed as they are typed: a face in which all letters are equally wide."""
    typed_pitch: float
    """Distance of their baselines, as a share of the size."""
    typed_turn: int
    """Lines that are too long go on indented by so many letters more."""
    typed_lines: int
    """So many lines of them stay together."""
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
    frame_grey: Share
    """Tint of boxes, 0 black to 1 white."""
    form_line: float
    most_stretch: float
    """No white of a handout grows beyond this many times the usual between systems."""
    strip_height: float
    strip_cell: float
    strip_bar: float
    strip_lightest: Share
    strip_numbers: float
    rule: float
    """Thickness of a rule across the text."""
    rule_gap: float
    """White over a rule, as a share of `paragraph_gap`."""
    link_drop: float
    """How far a link's area reaches under the baseline, as a share of the size."""
    list_sign_gap: float
    """White between the sign of an item and its words, as a share of `list_indent`."""
    ascent: float
    """From the top of a line to its baseline, as a share of its height."""
    least_gap: float
    """How far the white around things may shrink, as a share of it."""
    whole_systems: int
    """Examples of so few systems are not torn apart."""
    caution_bar: float
    """Width of the dark bar at the left of a caution."""
    name_share: float
    """How much of the line the student's name may take, as a share."""
    title_ascent: float
    """From the top of the page to the baseline of the title, as a share of its size."""
    title_pitch: float
    """Distance of the baselines of a title of several lines, as a share of its size."""
    about_pitch: float
    """From the title to the line under it, as a share of that line's size."""
    foot_height: float
    """Where the page number stands, as a share of the bottom margin."""
    strip_head_gap: float
    """White between the head of the strip and its upper line, as a share of the numbers' size."""
    strip_number_room: float
    """Numbers stand close where a measure is narrower than this, as a share of their size."""
    strip_number_every: int
    """Where they stand close, measures are numbered at the first and at multiples of this."""
    strip_number_drop: float
    """From the foot of the strip to the baseline of its numbers, as a share of their size."""
    strip_foot: float
    """White under the numbers, beyond a line's, as a share of their size."""


class BookStyle(NamedTuple):
    """A book's own pages, and its chord sheets. Points, unless said otherwise."""

    cover_height: float
    """Where the title stands on the cover, as a share of the sheet's height."""
    cover_title: float
    """Size of the cover's title, as a share of a handout's."""
    cover_author: float
    """Size of the author's name on the cover, as a share of the body's."""
    cover_pitch: float
    """Distance of the baselines of one thing on the cover, as a share of its size."""
    cover_subtitle_gap: float
    """From the title to the subtitle, as a share of its size."""
    cover_author_gap: float
    """From the subtitle to the author, as a share of the size."""
    leader_gap: float
    """White at both ends of a row of leaders."""
    leader_end: Annotated[float, Number(0, 1)]
    """Leaders of one list end at one place, unless a row has so many page numbers that they take more of the width, as a share."""
    leader_pitch: Annotated[float, REPEATED]
    """Distance of the dots of a leader."""
    indent: float
    """Indent of songs under the section they belong to."""
    whole_group: int
    """Groups of so few rows, the heading among them, are not torn apart."""
    together: int
    """Of a longer group so many rows stay together before and after a page break."""
    section_pitch: float
    """Height of the heading of a list, and the white over it, as a share of its size."""
    group_gap: float
    """White over a group of rows, as a share of their size."""
    row_gap: float
    """White between two rows."""
    head_height: float
    """Where the running head stands, from the top of the sheet as a share of the margin."""
    sheet_words: float
    """Size of the words of a chord sheet, as a share of the body's."""
    sheet_chords: float
    """Size of the chord names over them, as a share of the words'."""
    sheet_chord_pitch: float
    """Room for the chord names over a line, as a share of the words' size."""
    sheet_pitch: float
    """Height of a line of words, as a share of their size."""
    sheet_label_pitch: float
    """Height of the label of a section, as a share of its size."""
    stanza_gap: float
    """White over a verse or a section, as a share of the words' size."""
    sheet_strum_step: float
    """From count to count of a strum pattern, as a share of the words' size."""
    sheet_strum_gap: float
    """From the word before a strum pattern to its first count, as a share of the words' size."""
    sheet_strum_arrow: float
    """The staff space of the arrows of a strum pattern, as a share of the words' size."""
    sheet_strum_pitch: float
    """Height of the counts of a strum pattern, as a share of the words' size; the arrows stand over them."""
    sheet_line_gap: float
    """White between two lines, as a share of the words' size."""
    sheet_chord_gap: float
    """Least white between two chord names, as a share of the words' size."""
    sheet_hyphen_room: float
    """Room for a hyphen where a word opens for a chord name, as a multiple of the hyphen's width."""
    sheet_tempo_gap: float
    """White over the tempo of a chord sheet, in staff spaces."""
    whole_stanza: Annotated[int, Number(1, 99)]
    """Stanzas of so few lines are not torn apart."""
    sheet_together: Annotated[int, Number(1, 20)]
    """Of a longer stanza so many lines stay together before and after a page break."""
    sheet_column_gap: float
    """White between two columns of a chord sheet."""
    sheet_column_fill: Annotated[float, Number(0, 1)]
    """A song whose lines are narrow enough stands in two columns where one would fill more than this share of the page."""
    refrain_names: tuple[str, ...]
    """How a section is called that all verses share, in small letters: a verse without words of its own there names it."""
    line_full: float
    """How full a line must be to end at a stop or a capital rather than run on to where it is full."""
    line_to_stop: float
    """How full a line must be to end before a word after a stop."""
    line_to_capital: float
    """The same before a capital."""
    line_to_sentence: float
    """The same before a capital after a stop."""


class MethodStyle(NamedTuple):
    """The pages of a method: heads of chapters, and codes that lead to recordings. Points, unless said otherwise."""

    chapter_number: TextStyle
    chapter_title: TextStyle
    chapter_sink: float
    """White over the head of a chapter, as a share of the height of the text."""
    chapter_pitch: float
    """From the number of a chapter to its title, and from line to line, as a share of the title's size."""
    chapter_foot: float
    """White under the head of a chapter."""
    code_size: Annotated[float, Number(5, 60, "mm")]
    """Side of a code, without the white around it, in millimetres."""
    code_module: float
    """A square of a code is at least so wide, in millimetres: smaller ones are not read by every telephone."""
    code_gap: float
    """White between music and a code, at least."""
    code_label_gap: float
    """From a code to the words under it, as a share of their size."""
