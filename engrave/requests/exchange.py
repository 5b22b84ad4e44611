"""What is asked of a file that others wrote, and of one written for others."""

from __future__ import annotations

from enum import Enum

from engrave.exchange.musicxml.reading.music import Unpitched
from engrave.exchange.words.depth import Depth
from engrave.requests.option import group, option, request
from engrave.requests.pages import fit_option, instrument_option, quiet_option
from engrave.requests.targets import check_ending

_NARROWEST, _WIDEST = 40, 10_000
"""Columns of typed tab: a measure of four beats needs some thirty (house rule)."""
_SLOWEST, _FASTEST = 0.25, 4.0
"""Times the written speed: slower is no music, faster cannot be followed (house rule)."""
_MOST_COUNTED, _MOST_TIMES, _MOST_RISE = 8, 100, 50.0
"""Measures that are counted in, times through, and hundredths by which each is faster, at most (house rule)."""


class Foreign(Enum):
    """The forms in which scores are exchanged."""

    MUSICXML = "musicxml"
    MXL = "mxl"
    MIDI = "midi"
    TEXT = "text"
    WAV = "wav"
    WORDS = "words"
    HTML = "html"
    BRAILLE = "braille"
    BRF = "brf"


ENDINGS = {
    Foreign.MUSICXML: ".musicxml",
    Foreign.MXL: ".mxl",
    Foreign.MIDI: ".mid",
    Foreign.TEXT: ".txt",
    Foreign.WAV: ".wav",
    Foreign.WORDS: ".words.txt",
    Foreign.HTML: ".html",
    Foreign.BRAILLE: ".brl",
    Foreign.BRF: ".brf",
}
"""The usual ending of each form's files."""
_PLAYED = (Foreign.MIDI.value, Foreign.WAV.value)
_SOUND = (Foreign.WAV.value,)
_TOLD = (Foreign.WORDS.value, Foreign.HTML.value)
_BRAILLE = (Foreign.BRAILLE.value, Foreign.BRF.value)
_FEWEST_CELLS, _MOST_CELLS = 20, 100
"""Cells of a line: displays begin with 20, no paper holds more than some 40 (common practice, no source)."""
_FEWEST_LINES, _MOST_LINES = 10, 10_000
"""Lines of a page; the most is a text without pages (house rule)."""


class Finest(Enum):
    """Note values to which MIDI may be rounded."""

    QUARTER = "1/4"
    EIGHTH = "1/8"
    SIXTEENTH = "1/16"
    THIRTY_SECOND = "1/32"
    SIXTY_FOURTH = "1/64"

    @property
    def divisor(self) -> int:
        """How many of them a whole note has."""
        return int(self.value.removeprefix("1/"))


def part_option() -> tuple[str, ...]:
    """Which parts are wanted."""
    found: tuple[str, ...] = option(
        "this part only; may be repeated", value="NAME|N", default=(), many=True, flag="--part"
    )
    return found


@request
class ReadRequest:
    """Turn plain-text tab, MusicXML or MIDI into a score; what was lost or guessed is reported."""

    file: str = option("a .txt, .musicxml, .xml, .mxl or .mid file", flag="", value="FILE")
    output: str = option(
        "write to this file", flag="-o", value="PATH", default="", usual="FILE with the ending .yaml"
    )
    parts: tuple[str, ...] = part_option()
    instrument: str = instrument_option("put what is read on this instrument")
    fit: bool = fit_option()
    merge: bool = option("put two staves of MusicXML into one part", default=False)
    unpitched: Unpitched = option(
        "what notes of MusicXML without a pitch become", choices=Unpitched, default=Unpitched.LEFT_OUT
    )
    round_to: Finest = option("finest note value read from MIDI", choices=Finest, default=Finest.SIXTEENTH)
    swing: bool = option(
        "write the long and short eighths of MIDI as triplets", flag="--no-swing", present=False, default=True
    )
    table: str = option("table of signs for plain-text tab", value="FILE", default="")
    quiet: bool = quiet_option()

    def find_misuse(self) -> str:
        """What is wrong with the name of the result; "" when nothing is."""
        return check_ending(self.output, "yaml", choice=False)


@request
class Practising:
    """How music is played for practising."""

    click: bool = option("add a click on every beat", default=False, forms=_PLAYED)
    count_in: int = option(
        "measures of click before the music",
        value="N",
        convert=int,
        default=0,
        usual="0",
        forms=_PLAYED,
        least=0,
        most=_MOST_COUNTED,
    )
    loop: int = option(
        "play it so many times", value="N", convert=int, default=1, forms=_PLAYED, least=1, most=_MOST_TIMES
    )
    rise: float = option(
        "each time faster by so many hundredths of the first tempo",
        value="X",
        convert=float,
        default=0.0,
        forms=_PLAYED,
        least=-_MOST_RISE,
        most=_MOST_RISE,
    )
    without: tuple[str, ...] = option(
        "leave this part out, or a voice (guitar lower); may be repeated",
        value="NAME|N",
        default=(),
        many=True,
        forms=_PLAYED,
    )
    tempo_scale: float = option(
        "speed: above 1 faster, below 1 slower",
        value="X",
        convert=float,
        default=1.0,
        forms=_PLAYED,
        least=_SLOWEST,
        most=_FASTEST,
    )
    room: bool = option("stereo sound with a little body and room", default=False, forms=_SOUND)
    tour: bool = option(
        "all music of a handout or book in one file, one piece after the other", default=False, forms=_SOUND
    )

    def find_misuse(self) -> str:
        """What is wrong with options that do nothing; "" when nothing is."""
        return "--rise is for --loop" if self.rise and self.loop == 1 else ""


@request
class WriteRequest:
    """Write a score as MusicXML, MIDI, plain-text tab or sound, in words or in braille; of a handout or book each piece of music."""

    file: str = option("a score, handout or songbook", flag="", value="FILE")
    form: Foreign = option("output format", flag="--as", choices=Foreign)
    output: str = option("write to this file", flag="-o", value="PATH", default="", usual="beside the score")
    parts: tuple[str, ...] = part_option()
    measures: str = option(
        "these measures only", value="1-4|LABEL", default="", forms=(*_PLAYED, *_TOLD, *_BRAILLE)
    )
    repeats: bool = option(
        "play every measure once", flag="--no-repeats", present=False, default=True, forms=_PLAYED
    )
    practising: Practising = group(
        default_factory=Practising, title="practising", words="MIDI and sound for playing along"
    )
    width: int = option(
        "columns of plain-text tab",
        value="N",
        convert=int,
        default=100,
        forms=(Foreign.TEXT.value,),
        least=_NARROWEST,
        most=_WIDEST,
    )
    depth: Depth = option("how much is told", choices=Depth, default=Depth.LINE, forms=_TOLD)
    language: str = option(
        "language of the words: de, en, es, fr",
        value="TAG",
        default="",
        usual="the score's",
        forms=(*_TOLD, *_BRAILLE),
    )
    cells: int = option(
        "cells of a line of braille",
        value="N",
        convert=int,
        default=40,
        forms=_BRAILLE,
        least=_FEWEST_CELLS,
        most=_MOST_CELLS,
    )
    lines: int = option(
        "lines of a page of braille",
        value="N",
        convert=int,
        default=25,
        forms=_BRAILLE,
        least=_FEWEST_LINES,
        most=_MOST_LINES,
    )
    strings: bool = option(
        "leave out the strings of the tab in braille",
        flag="--no-strings",
        present=False,
        default=True,
        forms=_BRAILLE,
    )
    quiet: bool = quiet_option()

    def find_misuse(self) -> str:
        """What is wrong with the name of the result; "" when nothing is."""
        return check_ending(self.output, self.form.value)
