"""The section `necks` of a style: neck diagrams."""

from typing import Annotated, NamedTuple

from engrave.settings.kinds import Number, Share
from engrave.style.words import MORE_THAN_NOTHING, Face, TextStyle


class NeckStyle(NamedTuple):
    """The sizes of a neck diagram in staff spaces, unless said otherwise."""

    string_pitch: Annotated[float, MORE_THAN_NOTHING]
    """From string to string."""
    fret_pitch: Annotated[float, MORE_THAN_NOTHING]
    """From fret to fret."""
    fret_pitch_least: Annotated[float, MORE_THAN_NOTHING]
    """So near they may come where many frets have to stand on one line."""
    line: float
    """Thickness of strings and frets."""
    nut: float
    """Thickness of the nut."""
    dot: float
    """Diameter of a dot."""
    root: float
    """Side of the square of a root."""
    dot_line: float
    """Thickness of the ring of a dot with a letter in it."""
    open_gap: float
    """From the nut to the edge of the dot of an open string."""
    inlays: tuple[int, ...]
    """Frets with a dot in the wood."""
    double_inlays: tuple[int, ...]
    """Frets with two of them."""
    inlay: float
    """Diameter of a dot in the wood."""
    inlay_grey: Share
    """0 black to 1 white."""
    label_face: Face
    label_size: Annotated[float, MORE_THAN_NOTHING]
    """Font size of the letters in dots."""
    label_least: Annotated[float, MORE_THAN_NOTHING]
    """So small they may be set; longer ones widen their dot."""
    label_pad: float
    """White on each side of the letters in a dot."""
    number_face: Face
    number_size: float
    """Font size of the numbers of frets."""
    number_gap: float
    """White between a dot on the outer string and the numbers of frets."""
    arrow_line: float
    arrow_head: float
    """Length of the head of an arrow."""
    arrow_gap: float
    """White between a dot and the ends of an arrow."""
    title: TextStyle
    title_pitch: float
    """From baseline to baseline of a title, as a share of its size."""
    title_width: float
    """Least width in which a title is broken into lines."""
    title_gap: float
    """White between a title and its neck."""
    apart: float
    """White between two necks."""
    row_gap: float
    """White over the first row of necks and between rows."""
    upright_most: Annotated[int, Number(1, 30)]
    """Necks of more frets lie, unless their author says otherwise."""
    over_music_width: Share
    """The widest neck over music, as a share of the line."""
    over_music_height: Share
    """The tallest neck over music, as a share of the page between its margins."""
