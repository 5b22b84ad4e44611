"""From files to files: the stages put together. Holds no rules of music or print of its own."""

from __future__ import annotations

import gc
import json
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from importlib import import_module
from pathlib import Path

from engrave.diagnostics.problem import Place, Problem, Severity
from engrave.drawing.characters import MissingCharacter
from engrave.drawing.pdf.draw import draw_pdf
from engrave.fonts.faces import InstalledFaces
from engrave.layout.characters import check_characters
from engrave.layout.document import place_score
from engrave.marks.mark import PlacedDocument
from engrave.marks.trace import trace_marks
from engrave.reading.load import load_score
from engrave.reading.sign_examples import read_sign_examples
from engrave.score.structure import KeyToSigns, Score, View
from engrave.score.used_signs import used_signs
from engrave.source.files import STANDARD_INPUT
from engrave.style.load import load_style
from engrave.style.sections import Style


class Format(Enum):
    """What can be drawn."""

    PDF = "pdf"
    SVG = "svg"
    PNG = "png"


@dataclass(frozen=True, slots=True)
class Wish:
    """What the caller wants of a document. `output` is "" (beside the source), a file, or `-` (standard output)."""

    output: str = ""
    view: View | None = None
    style: str = ""
    format: Format = Format.PDF
    trace: str = ""
    dots_per_inch: float = 150.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one document: its problems, and the files written (none when there are errors)."""

    problems: tuple[Problem, ...]
    written: tuple[str, ...] = ()

    @property
    def failed(self) -> bool:
        """True when something is wrong in the input."""
        return any(problem.severity is Severity.ERROR for problem in self.problems)


def check_document(path: str, wish: Wish) -> Outcome:
    """Everything that is wrong with the document at `path`; draws nothing."""
    _, _, problems = _read(path, wish)
    return Outcome(problems)


def place_document(path: str, wish: Wish) -> tuple[PlacedDocument | None, Outcome]:
    """The placed pages of the document at `path`, None when something is wrong."""
    score, style, problems = _read(path, wish)
    if score is None or style is None:
        return None, Outcome(problems)
    examples = None
    if score.key_to_signs is not KeyToSigns.NONE:
        examples = read_sign_examples(used_signs(score))
    return place_score(score, style, wish.view, examples), Outcome(problems)


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Switch the cyclic garbage collector off for a while.

    Scores, layouts and marks are trees, freed by reference counts alone; a collector that walks through millions of
    them again and again costs a third of the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def make_document(path: str, wish: Wish) -> Outcome:
    """Check and draw the document at `path`. Nothing is written unless everything is right."""
    with _collector_paused():
        return _make(path, wish)


def _make(path: str, wish: Wish) -> Outcome:
    document, outcome = place_document(path, wish)
    if document is None:
        return outcome
    try:
        files = dict(_draw(document, path, wish))
    except MissingCharacter as missing:
        problem = Problem(path, Place(0, 0), Severity.ERROR, str(missing))
        return Outcome((*outcome.problems, problem))
    if wish.trace:
        files[wish.trace] = _trace_text(document).encode("utf-8")
    problems = list(outcome.problems)
    written = []
    for target, data in files.items():
        reason = _write(target, data)
        if reason:
            problems.append(Problem(target, Place(0, 0), Severity.ERROR, f"cannot be written: {reason}"))
        else:
            written.append(target)
    return Outcome(tuple(problems), tuple(written))


def _read(path: str, wish: Wish) -> tuple[Score | None, Style | None, tuple[Problem, ...]]:
    """Score and style, each None when it is wrong, and the problems of both."""
    score, log = load_score(path)
    style_name = wish.style or (score.style if score else "")
    changes = score.house_style if score else None
    style, style_log = load_style(style_name, path, changes, _language_of_words(score))
    if score is not None and style is not None:
        check_characters(score, style, log)
        if log.has_errors:
            score = None
    return score, style, (*log.in_order(), *style_log.in_order())


def _language_of_words(score: Score | None) -> str:
    """The language in which signs are explained and beats counted; "" where neither is wanted."""
    if score is None:
        return ""
    wanted = score.key_to_signs is not KeyToSigns.NONE or any(measure.counting for measure in score.measures)
    return score.language if wanted else ""


def _draw(document: PlacedDocument, path: str, wish: Wish) -> Iterator[tuple[str, bytes]]:
    """The files to write. With several pages SVG and PNG files are numbered."""
    if wish.format is Format.SVG:
        draw_svg = import_module("engrave.drawing.svg").draw_svg  # loaded only when wanted, as below
        for page in document.pages:
            yield (
                _target(path, wish, page.number, len(document.pages)),
                draw_svg(page, document).encode("utf-8"),
            )
        return
    pdf = draw_pdf(document)
    if wish.format is Format.PDF:
        yield _target(path, wish, 1, 1), pdf
        return
    draw_png = import_module("engrave.drawing.png").draw_png  # heavy: loaded only when pictures are wanted
    for index in range(len(document.pages)):
        yield _target(path, wish, index + 1, len(document.pages)), draw_png(pdf, index, wish.dots_per_inch)


def _target(path: str, wish: Wish, number: int, count: int) -> str:
    """Where a page goes: the wished file, or beside the source with the new ending."""
    if wish.output == STANDARD_INPUT:
        return wish.output
    base = Path(wish.output) if wish.output else Path("score" if path == STANDARD_INPUT else path)
    ending = base.suffix if wish.output and base.suffix else f".{wish.format.value}"
    stem = base.with_suffix("")
    return f"{stem}{f'-{number}' if count > 1 else ''}{ending}"


def _trace_text(document: PlacedDocument) -> str:
    rows = ",\n".join(
        json.dumps(record, ensure_ascii=False) for record in trace_marks(document, InstalledFaces())
    )
    return f"[\n{rows}\n]\n"


def _write(target: str, data: bytes) -> str:
    """Write a file whole or not at all; the reason when it cannot be."""
    if target == STANDARD_INPUT:
        with os.fdopen(os.dup(1), "wb") as stream:
            stream.write(data)
        return ""
    path = Path(target)
    temporary = ""
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        os.chmod(temporary, 0o666 & ~_umask())
        os.replace(temporary, path)
    except OSError as error:
        if temporary:
            Path(temporary).unlink(missing_ok=True)
        return error.strerror or str(error)
    return ""


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
