"""What is asked of neck diagrams."""

from __future__ import annotations

from engrave.requests.answers import (
    DRAWN,
    AnswerForm,
    find_misnamed,
    form_option,
    output_option,
    sheet_language_option,
    sheet_style_option,
)
from engrave.requests.option import option, request
from engrave.requests.pages import dots_option, quiet_option
from engrave.theory.neck_diagram import Direction, Labels


@request
class NecksRequest:
    """Show scales, arpeggios, triads or dots by hand on the neck of an instrument in any tuning."""

    necks: tuple[str, ...] = option(
        'what each neck shows: "A minor pentatonic, position 5", "E7 arpeggio, strings 4 to 1, frets 7 to 10", "C triad, '
        'first inversion, strings 3 to 1", or dots by hand: "6:5 root 6:8 5:5"',
        flag="",
        value="NECK",
        many=True,
    )
    instrument: str = option("an instrument such as ukulele or bass-5", value="NAME", default="guitar")
    tuning: str = option(
        '"drop D", or "D2 A2 D3 G3 B3 E4", the thickest string first', value="NAME|PITCHES", default=""
    )
    labels: Labels | None = option(
        "what stands in the dots", choices=Labels, default=None, usual="degrees, or fingers written by hand"
    )
    direction: Direction | None = option(
        "upright or lying necks",
        choices=Direction,
        default=None,
        usual="necks of many frets lie",
        forms=DRAWN,
    )
    root: str = option("the root of dots by hand, from which degrees count", value="NOTE", default="")
    numbers: str = option(
        "number the dots: up, down, as-written, or places in their order",
        value="ORDER",
        default="",
        clashes="arrows",
    )
    arrows: str = option(
        "draw arrows from dot to dot: up, down, as-written, or places in their order",
        value="ORDER",
        default="",
    )
    left_handed: bool = option("mirror the necks for left-handed players", default=False, forms=DRAWN)
    form: AnswerForm = form_option()
    output: str = output_option("necks.pdf")
    style: str = sheet_style_option()
    language: str = sheet_language_option()
    dpi: float = dots_option()
    quiet: bool = quiet_option("print the answer and problems only")

    def find_misuse(self) -> str:
        """What is wrong with the name of the result; "" when nothing is."""
        return find_misnamed(self.output, self.form)
