"""What is asked of the choice of strings, frets and fingers, and of chord shapes."""

from __future__ import annotations

from engrave.reading.settle import USUAL_HAND
from engrave.requests.answers import (
    AnswerForm,
    find_misnamed,
    form_option,
    output_option,
    sheet_language_option,
    sheet_style_option,
)
from engrave.requests.exchange import part_option
from engrave.requests.option import group, option, request
from engrave.requests.pages import dots_option, fit_option, instrument_option, quiet_option
from engrave.requests.targets import check_ending

_MOST_SHAPES = 500
"""Nobody reads more shapes of one chord (house rule)."""


def hand_option() -> str:
    """Whose hand is thought of."""
    found: str = option(
        "beginner, intermediate, advanced or a hand file",
        flag="--hand",
        value="NAME|FILE",
        default=USUAL_HAND,
    )
    return found


@request
class Move:
    """Where music moves to; what is not given stays."""

    tuning: str = option(
        'move to this tuning: "drop D", or "D2 A2 D3 G3 B3 E4"', value="NAME|PITCHES", default=""
    )
    capo: int | None = option(
        "move to this capo; the sound stays the same", value="FRET", convert=int, default=None
    )
    instrument: str = instrument_option("move to this instrument; what has no strings too")
    fit: bool = fit_option()
    key: str = option('transpose to this key, by the smaller interval: "A major"', value="KEY", default="")
    semitones: int | None = option(
        "transpose by N semitones (negative: down)", value="N", convert=int, default=None
    )

    def __bool__(self) -> bool:
        """True when anything moves."""
        return bool(self.tuning or self.instrument or self.key) or not (
            self.capo is None and self.semitones is None
        )

    def find_misuse(self) -> str:
        """What cannot be meant together; "" when nothing is wrong."""
        own = {"--key": self.key, "--semitones": self.semitones is not None, "--capo": self.capo is not None}
        chosen = next((flag for flag, given in own.items() if given), "")
        return f"--fit chooses octave, key and capo itself; leave out {chosen}" if self.fit and chosen else ""


@request
class PlaceRequest:
    """Choose strings and frets for pitches, left-hand fingers for frets and, if asked, the right hand; a new score is written."""

    file: str = option("a score", flag="", value="FILE")
    output: str = option("write to this file", flag="-o", value="PATH", default="", usual="FILE-placed.yaml")
    hand: str = hand_option()
    avoid_open: bool = option("use open strings only where nothing else is possible", default=False)
    highest_fret: int | None = option(
        "highest fret that may be used", value="FRET", convert=int, default=None, least=1
    )
    position: int | None = option(
        "stay in this position where possible", value="N", convert=int, default=None, least=1
    )
    parts: tuple[str, ...] = part_option()
    right_hand: str = option(
        "also choose fingers (p i m a) or strokes for the right hand: fingers, pick, economy or a right-hand file",
        value="NAME|FILE",
        default="",
        usual="none",
    )
    fingers: bool = option("choose strings and frets only", flag="--no-fingers", present=False, default=True)
    anew: bool = option("ignore written strings and fingers, with --right-hand also strokes", default=False)
    move: Move = group(
        default_factory=Move, title="moving music", words="notes that can stay where they are do"
    )
    why: bool = option("explain every choice and name the next best", default=False)
    quiet: bool = quiet_option()

    def find_misuse(self) -> str:
        """What is wrong with the name of the result; "" when nothing is."""
        return check_ending(self.output, "yaml", choice=False)


@request
class ShapesRequest:
    """Find shapes for chord names in any tuning, the best first; with --name, find chord names for shapes."""

    chords: tuple[str, ...] = option(
        'chord names (or frets such as "x 3 2 0 1 0" with --name)', flag="", value="CHORD", many=True
    )
    name: bool = option("name shapes given as frets", default=False, forms=(AnswerForm.TEXT.value,))
    instrument: str = option("an instrument such as ukulele or bass-5", value="NAME", default="guitar")
    tuning: str = option(
        '"drop D", or "D2 A2 D3 G3 B3 E4", the thickest string first', value="NAME|PITCHES", default=""
    )
    capo: int = option("count frets from this capo", value="FRET", convert=int, default=0)
    hand: str = hand_option()
    most: int = option("shapes per chord", value="N", convert=int, default=6, least=1, most=_MOST_SHAPES)
    highest_fret: int = option(
        "highest fret that may be used", value="FRET", convert=int, default=15, least=1
    )
    inversions: bool = option("allow tones other than the root in the bass", default=False)
    rootless: bool = option("allow the root to be left out", default=False)
    form: AnswerForm = form_option()
    output: str = output_option("shapes.pdf")
    style: str = sheet_style_option()
    language: str = sheet_language_option()
    dpi: float = dots_option()
    quiet: bool = quiet_option("print the answer and problems only")

    def find_misuse(self) -> str:
        """What is wrong with the name of the result; "" when nothing is."""
        return find_misnamed(self.output, self.form)
