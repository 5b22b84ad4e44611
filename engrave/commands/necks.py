"""Neck diagrams of words, for any instrument and tuning: lines to read, YAML for a handout, or a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engrave.commands.answers import Answer, give_answer
from engrave.commands.outcome import Outcome
from engrave.commands.shape_lines import describe_instrument
from engrave.documents.handout import Handout, Necks
from engrave.layout.handout.document import place_handout
from engrave.layout.text.heading_words import decide_instrument_phrases
from engrave.problems import NOWHERE, ProblemLog
from engrave.products.handout import check_necks
from engrave.products.looks import warn_of_english
from engrave.products.stringing import find_instrument, retune
from engrave.requests.answers import AnswerForm
from engrave.requests.necks import NecksRequest
from engrave.style.load import load_style
from engrave.style.wordbook import ENGLISH, NO_BREAK, load_wordbook
from engrave.theory.instrument import Instrument
from engrave.theory.neck_diagram import Labels, NeckDiagram, NeckDot, NeckRequest, build_neck
from engrave.writing.dump import flow
from engrave.writing.neck_tree import neck_tree

_USUAL_STYLE = "handout"


def give_necks(request: NecksRequest) -> Outcome:
    """The necks that are asked for: lines to read unless a file is named, or a sheet."""
    answer = _answer(request)
    return give_answer("necks", answer, request.form, request.output, dots_per_inch=request.dpi)


def _answer(request: NecksRequest) -> Answer:
    log = ProblemLog("necks")
    instrument = find_instrument(request.instrument, log)
    if instrument is not None and request.tuning:
        instrument = retune(instrument, request.tuning, log)
    if instrument is None:
        return Answer(tuple(log.problems))
    asked = [_as_asked(text, request) for text in request.necks]
    found: list[NeckDiagram] = []
    for neck in asked:
        try:
            found.append(build_neck(neck, instrument))
        except ValueError as error:
            log.error(NOWHERE, str(error))
    if log.has_errors:
        return Answer(tuple(log.problems))
    if request.form is AnswerForm.TEXT:
        return Answer(tuple(log.problems), tuple(_lines(found, instrument)))
    if request.form is AnswerForm.YAML:
        return Answer(tuple(log.problems), tuple(_yaml(asked, request)))
    return _sheet(found, instrument, request, log)


def _as_asked(text: str, request: NecksRequest) -> NeckRequest:
    """One neck as it is typed, with what is said of all of them; words with places in them are dots by hand."""
    is_by_hand = ":" in text
    return NeckRequest(
        show="" if is_by_hand else text,
        dots=text if is_by_hand else "",
        root=request.root if is_by_hand else "",
        labels=request.labels,
        direction=request.direction,
        numbers=request.numbers,
        arrows=request.arrows,
    )


def _lines(found: Sequence[NeckDiagram], instrument: Instrument) -> Iterator[str]:
    """Each neck with a line a string, the thickest first: frets, each with its note and what stands in its dot."""
    yield describe_instrument(instrument)
    book = load_wordbook(ENGLISH)
    for diagram in found:
        yield ""
        title = book.neck_title(diagram.words) if diagram.words is not None else "Dots by hand"
        yield title.replace(NO_BREAK, " ")
        for string in range(diagram.thickest, diagram.thinnest - 1, -1):
            dots = [dot for dot in diagram.dots if dot.string == string]
            words = ", ".join(_dot_words(dot, diagram) for dot in sorted(dots, key=lambda dot: dot.row))
            yield f"  string {string}: {words or 'nothing'}"
        if diagram.arrows:
            path = [diagram.dots[diagram.arrows[0][0]], *(diagram.dots[stop] for _, stop in diagram.arrows)]
            yield "  path: " + " ".join(f"{dot.string}:{dot.row}" for dot in path)


def _dot_words(dot: NeckDot, diagram: NeckDiagram) -> str:
    """A dot in words: "fret 5 A (1, root)"."""
    said = [", ".join(map(str, dot.numbers))] if dot.numbers else []
    if diagram.labels is Labels.FINGERS and dot.finger:
        said.append(f"finger {dot.finger}")
    elif dot.tone.degree:
        said.append(dot.tone.degree)
    if dot.is_root:
        said.append("root")
    place = f"fret {dot.row}" if dot.row else "open"
    text = f"{place} {dot.tone.letter}" + (f" ({', '.join(said)})" if said else "")
    return text.replace("♯", "#").replace("♭", "b")


def _yaml(asked: Sequence[NeckRequest], request: NecksRequest) -> Iterator[str]:
    """An item for the content of a handout."""
    yield "- neck:"
    for neck in asked:
        yield f"    - {flow(neck_tree(neck))}"
    if request.instrument != "guitar":
        yield f"  instrument: {flow(request.instrument)}"
    if request.tuning:
        typed = request.tuning.replace(",", " ").split()
        is_list = len(typed) > 3
        yield f"  tuning: {flow(typed if is_list else request.tuning)}"


def _sheet(
    found: Sequence[NeckDiagram], instrument: Instrument, request: NecksRequest, log: ProblemLog
) -> Answer:
    """Pages of necks."""
    style, style_log = load_style(request.style or _USUAL_STYLE, "necks", None, request.language)
    warn_of_english(request.language, NOWHERE, log)
    problems = (*log.problems, *style_log.in_order())
    if style is None:
        return Answer(problems)
    name = style.wordbook.instrument_name(instrument.name)
    handout = Handout(
        title=style.wordbook.page.neck_diagrams,
        lesson="",
        level="  ·  ".join([name, *decide_instrument_phrases(instrument, style)]),
        date="",
        student=False,
        language=request.language,
        style="",
        items=(Necks(tuple(found), request.left_handed),),
    )
    check_necks(handout.items, style, log)
    if log.has_errors:
        return Answer((*log.problems, *style_log.in_order()))
    return Answer(problems, sheet=place_handout(handout, {}, {}, style, {}))
