"""Shapes of chord names, and names of shapes, for any instrument and tuning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engrave.commands.answers import Answer, give_answer
from engrave.commands.outcome import Outcome
from engrave.commands.shape_lines import Chord, shape_lines, shape_mapping, shape_names
from engrave.documents.handout import BoxedText, Handout, Item, Shapes
from engrave.fingering.difficulty import CAUTION
from engrave.fingering.hand import Hand
from engrave.fingering.neck import build_neck
from engrave.fingering.shapes import RankedShape, ShapeLimits, find_shapes, is_simple
from engrave.layout.handout.document import place_handout
from engrave.layout.text.heading_words import decide_instrument_phrases
from engrave.problems import NOWHERE, ProblemLog
from engrave.products.looks import warn_of_english
from engrave.products.reach import find_hand
from engrave.products.stringing import find_instrument, retune
from engrave.requests.answers import AnswerForm
from engrave.requests.fingering import ShapesRequest
from engrave.score.rich_text import Paragraph, Run
from engrave.score.structure import NamedShape
from engrave.style.load import load_style
from engrave.style.sections import Style
from engrave.theory.chord_name import ChordName, parse_chord_name
from engrave.theory.chord_naming import name_shape
from engrave.theory.chord_shape import parse_chord_shape
from engrave.theory.instrument import PRESETS, Instrument, with_capo

_USUAL_STYLE = "handout"
_COLUMNS = 6
"""Grids of six strings stand well so on a page (house rule)."""
_NAMES = 12
"""No more names of one shape are worth reading (house rule)."""


def give_shapes(request: ShapesRequest) -> Outcome:
    """Shapes of chord names or names of shapes: lines to read unless a file is named, or a sheet."""
    answer = answer_names(request) if request.name else answer_shapes(request)
    return give_answer("shapes", answer, request.form, request.output, dots_per_inch=request.dpi)


def answer_shapes(request: ShapesRequest) -> Answer:
    """The shapes of the chords that are named."""
    log = ProblemLog("shapes")
    chords = [chord for chord in (_read_name(name, log) for name in request.chords) if chord is not None]
    instrument = _read_instrument(request, log)
    hand = find_hand(request.hand, log)
    if log.has_errors or instrument is None or hand is None:
        return Answer(tuple(log.problems))
    found = [Chord(name, _find(name, instrument, hand, request, log)) for name in dict.fromkeys(chords)]
    if not any(chord.shapes for chord in found):
        log.error(NOWHERE, "none of these chords has a shape", hint="try --hand advanced or another tuning")
        return Answer(tuple(log.problems))
    _tell_what_is_not_simple(found, instrument, hand, log)
    strains = _strains(found, hand)
    caution = CAUTION if strains else ""
    problems = tuple(log.problems)
    if request.form is AnswerForm.TEXT:
        return Answer(problems, tuple(shape_lines(found, instrument, caution)))
    if request.form is AnswerForm.YAML:
        return Answer(problems, tuple(shape_mapping(found, instrument, caution)))
    return _sheet(found, instrument, strains, request, log)


def answer_names(request: ShapesRequest) -> Answer:
    """The chord names of shapes written like "x 3 2 0 1 0"."""
    log = ProblemLog("shapes")
    instrument = _read_instrument(request, log)
    lines: list[str] = []
    for text in request.chords:
        try:
            shape = parse_chord_shape(text, strings=instrument.strings if instrument is not None else None)
        except ValueError as error:
            log.error(NOWHERE, str(error))
            continue
        if instrument is not None:
            tuning = [pitch.midi for pitch in reversed(instrument.tuning)]
            found = name_shape(shape.frets, tuning)
            lines.extend(shape_names(shape, tuning, found[:_NAMES]))
    return Answer(tuple(log.problems), () if log.has_errors else tuple(lines))


def _read_name(text: str, log: ProblemLog) -> ChordName | None:
    try:
        name = parse_chord_name(text)
    except ValueError as error:
        log.error(NOWHERE, str(error))
        return None
    if name.root is None:
        log.error(NOWHERE, f'"{text}" is not a chord, so it has no shape')
        return None
    return name


def _read_instrument(request: ShapesRequest, log: ProblemLog) -> Instrument | None:
    """The instrument with its tuning and capo; None, and all reasons in `log`, when it cannot be."""
    instrument = find_instrument(request.instrument, log) or PRESETS["guitar"]
    if request.tuning:
        instrument = retune(instrument, request.tuning, log) or instrument
    if not 0 <= request.capo < instrument.frets:
        log.error(
            NOWHERE,
            f"a capo at fret {request.capo} is not possible",
            hint=f"write 0 to {instrument.frets - 1}",
        )
        return None
    return None if log.has_errors else with_capo(instrument, request.capo)


def _find(
    name: ChordName, instrument: Instrument, hand: Hand, request: ShapesRequest, log: ProblemLog
) -> list[RankedShape]:
    asked = ShapeLimits(request.most, request.highest_fret, request.inversions, request.rootless)
    found = find_shapes(name, build_neck(instrument, hand), hand, asked)
    if not found:
        ways = [
            way
            for way, there in (
                ("--inversions", not request.inversions and name.bass is None),
                ("--rootless", not request.rootless),
                ("a higher --highest-fret", True),
            )
            if there
        ]
        log.warning(NOWHERE, f"no shape of {name.text} can be held", hint=f"try {' or '.join(ways)}")
    return found


def _tell_what_is_not_simple(
    found: Sequence[Chord], instrument: Instrument, hand: Hand, log: ProblemLog
) -> None:
    """Say for which chords a hand that begins has neither an open form nor one of few strings."""
    if not hand.shapes.small_strings:
        return
    for chord in found:
        if chord.shapes and not any(is_simple(ranked, hand) for ranked in chord.shapes):
            log.warning(
                NOWHERE,
                f"{chord.name.text} has no open form and none of three or four thin strings on the "
                f"{instrument.name.replace('-', ' ')}",
                hint="those given ask for more than a hand that begins; another key or a capo may be easier",
            )


def _strains(found: Sequence[Chord], hand: Hand) -> bool:
    """True when some shape lies beyond the comfortable reach."""
    return any(shape.reach > hand.reach.comfortable for chord in found for shape in chord.shapes)


def _sheet(
    found: Sequence[Chord], instrument: Instrument, strains: bool, request: ShapesRequest, log: ProblemLog
) -> Answer:
    """Pages of grids."""
    style, style_log = load_style(request.style or _USUAL_STYLE, "shapes", None, request.language)
    warn_of_english(request.language, NOWHERE, log)
    problems = (*log.problems, *style_log.in_order())
    if style is None:
        return Answer(problems)
    say = style.wordbook.page
    items: list[Item] = list(_grid_rows(found))
    if strains:
        items.append(BoxedText("caution", (Paragraph((Run(say.own_hand),), NOWHERE),)))
    about = _about(instrument, style)
    handout = Handout(
        title=say.chord_shapes,
        lesson="",
        level=about,
        date="",
        student=False,
        language=request.language,
        style="",
        items=tuple(items),
    )
    return Answer(problems, sheet=place_handout(handout, {}, {}, style, {}))


def _about(instrument: Instrument, style: Style) -> str:
    """What is played, in the words of the sheet."""
    name = style.wordbook.instrument_name(instrument.name)
    return "  ·  ".join([name, *decide_instrument_phrases(instrument, style)])


def _grid_rows(found: Sequence[Chord]) -> Iterator[Shapes]:
    """Rows of grids: as many chords side by side as have room, all their first shapes under each other."""
    chords = [chord for chord in found if chord.shapes]
    most = min(_COLUMNS, max(len(chord.shapes) for chord in chords))
    beside = _COLUMNS // most
    for first in range(0, len(chords), beside):
        group = chords[first : first + beside]
        deepest = max(len(chord.shapes) for chord in group)
        for start in range(0, deepest, most):
            cells: list[NamedShape | None] = []
            for chord in group:
                shown = [
                    NamedShape(chord.name, ranked.shape) for ranked in chord.shapes[start : start + most]
                ]
                cells.extend([*shown, *[None] * (most - len(shown))])
            yield Shapes(tuple(cells), columns=most * beside)
