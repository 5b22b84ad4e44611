"""From files to files: the stages put together. Holds no rules of music or print of its own."""

from __future__ import annotations

import gc
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import NamedTuple

from engrave.documents.songbook import BoundBook
from engrave.drawing.characters import MissingCharacter
from engrave.drawing.pdf.draw import draw_pdf
from engrave.fonts.text_setting import InstalledFaces
from engrave.marks.mark import PlacedDocument
from engrave.marks.trace import trace_marks
from engrave.problems import NOWHERE, Location, Problem, ProblemLog, Severity
from engrave.products.delivery import STANDARD_OUTPUT, deliver, is_same_file, make_folders
from engrave.products.exchange_wish import ENDINGS, Foreign, ReadWish, WriteWish
from engrave.products.place_wish import PlaceWish
from engrave.products.printable import check_printable
from engrave.products.shapes_wish import ShapesWish
from engrave.products.wish import Format, Press, Wish
from engrave.reading.load import document_kind, file_log, load_tree
from engrave.reading.settle import USUAL_HAND
from engrave.source.files import STANDARD_INPUT
from engrave.source.tree import SourceMap, Value

Progress = Callable[[int, int], None]
"""Told how many things of how many are done."""


def _silent(done: int, count: int) -> None:
    """For callers that show no progress."""


class Outcome(NamedTuple):
    """What became of one document: its problems, and the files written (none when there are errors).

    `report` holds lines that were asked for, `remarks` what is worth knowing of the files.
    """

    problems: tuple[Problem, ...]
    written: tuple[str, ...] = ()
    report: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def failed(self) -> bool:
        """True when something is wrong in the input."""
        return any(problem.severity is Severity.ERROR for problem in self.problems)


class _Document(NamedTuple):
    """A document read as far as its tree, which is None when it is no document at all."""

    path: str
    tree: SourceMap | None
    lines: list[str]
    log: ProblemLog

    @property
    def is_book(self) -> bool:
        """True for songbooks, which draw themselves song by song."""
        return self.tree is not None and document_kind(self.tree) == "songbook"


def _load(path: str) -> _Document:
    log = file_log(path)
    tree, lines = load_tree(path, log)
    return _Document(path, tree, lines, log)


def check_document(path: str, wish: Wish, progress: Progress = _silent) -> Outcome:
    """Everything that is wrong with the document at `path`: it is laid out as for drawing, but not drawn."""
    document = _load(path)
    if document.is_book:
        return _draw_book(document, wish, True, progress)[1]
    wish = wish._replace(hand=wish.hand or USUAL_HAND)
    outcome = _place(document, wish)[1]
    if wish.difficulty and not outcome.failed and "score" in (document.tree or ()):
        report = import_module("engrave.products.fingering").rate(path, wish.hand)
        return outcome._replace(report=report)
    return outcome


def place_document(path: str, wish: Wish) -> tuple[PlacedDocument | None, Outcome]:
    """The placed pages of the document at `path` (no songbook), None when something is wrong."""
    return _place(_load(path), wish)


def _place(document: _Document, wish: Wish) -> tuple[PlacedDocument | None, Outcome]:
    """Each kind of document is made by the module of its name, loaded when it is wanted."""
    path, tree, lines, log = document
    if tree is None:
        return None, Outcome(tuple(log.in_order()))
    product = import_module(f"engrave.products.{document_kind(tree)}")
    placed, problems = product.place(tree, lines, path, wish, log)
    own = file_log(path)
    if placed is not None and not check_printable(placed, lines, own):
        placed = None
    return placed, Outcome((*problems, *own.in_order()))


def _draw_book(
    document: _Document, wish: Wish, only_check: bool, progress: Progress
) -> tuple[BoundBook | None, Outcome]:
    path, tree, lines, log = document
    book = import_module("engrave.products.songbook")
    bound, problems = book.draw(tree, lines, path, wish, only_check=only_check, log=log, progress=progress)
    return bound, Outcome(problems)


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


def make_document(path: str, wish: Wish, progress: Progress = _silent) -> Outcome:
    """Check and draw the document at `path`. Nothing is written unless everything is right.

    `progress` is told how many songs of a book are done.
    """
    with _collector_paused():
        return _make(path, wish, progress)


def make_paper(options: Mapping[str, Value], wish: Wish) -> Outcome:
    """Draw blank paper from options, which are the keys of a paper document."""
    tree = SourceMap(NOWHERE)
    for key, value in {"paper": 1, **options}.items():
        tree.put(key, NOWHERE, value, NOWHERE)
    placed, outcome = _place(_Document("paper", tree, [], ProblemLog("paper")), wish)
    return outcome if placed is None else _draw_all(placed, outcome, "paper", wish)


def read_document(path: str, output: str, wish: ReadWish) -> Outcome:
    """Read a foreign file and write its score; an existing file is only replaced when `output` names it."""
    foreign = import_module("engrave.products.foreign")
    text, problems = foreign.read_foreign(path, wish)
    if text is None:
        return Outcome(problems)
    base = Path("score" if path == STANDARD_INPUT else path)
    target = output or str(base.with_suffix(".yaml"))
    if not output and _exists(target):
        return _taken(path, target, Outcome(problems))
    return _write_all({target: text.encode("utf-8")}, Outcome(problems), path)


def place_notes(path: str, output: str, wish: PlaceWish) -> Outcome:
    """Choose strings, frets and fingers for the score at `path`; its own file is only replaced when `output` names it."""
    fingering = import_module("engrave.products.fingering")
    chosen = fingering.place_notes(path, wish)
    if chosen.text is None:
        return Outcome(chosen.problems, report=chosen.report)
    return _write_new(path, output, "placed", chosen.text, Outcome(chosen.problems, report=chosen.report))


def give_shapes(chords: Sequence[str], output: str, wish: ShapesWish, look: Wish) -> Outcome:
    """The shapes of chord names: lines to read unless `output` names a file, or a sheet."""
    shapes = import_module("engrave.products.shapes")
    answer = shapes.answer_shapes(chords, wish)
    if answer.sheet is not None:
        return _draw_all(answer.sheet, Outcome(answer.problems), "shapes", look)
    return _give_lines(answer.lines, output, Outcome(answer.problems))


def give_names(shapes: Sequence[str], output: str, wish: ShapesWish) -> Outcome:
    """The chord names of shapes, as lines to read unless `output` names a file."""
    answer = import_module("engrave.products.shapes").answer_names(shapes, wish)
    return _give_lines(answer.lines, output, Outcome(answer.problems))


def give_schemas(kind: str, output: str) -> Outcome:
    """Print the schema of one kind of document, or copy it, or all of them, into the folder `output`."""
    schemas = import_module("engrave.products.schemas")
    if kind and output in ("", STANDARD_OUTPUT):
        text, line = schemas.print_schema(kind)
        return Outcome((), report=(text,), remarks=(line,))
    copies = schemas.copy_schemas([kind] if kind else [], output)
    if copies.problems:
        return Outcome(copies.problems)
    reason = make_folders(copies.files)
    if reason:
        return Outcome((Problem("schema", NOWHERE, Severity.ERROR, reason),))
    return _write_all(copies.files, Outcome((), remarks=copies.lines))


def _give_lines(lines: tuple[str, ...], output: str, outcome: Outcome) -> Outcome:
    if outcome.failed or not output:
        return outcome._replace(report=lines)
    return _write_all({output: ("\n".join(lines) + "\n").encode("utf-8")}, outcome)


def _write_new(path: str, output: str, word: str, text: str, outcome: Outcome) -> Outcome:
    """Write a new version of a score beside it, with `word` in its name, unless `output` says where."""
    base = Path("score.yaml" if path == STANDARD_INPUT else path)
    target = output or str(base.with_name(f"{base.stem}-{word}{base.suffix or '.yaml'}"))
    if not output and _exists(target):
        return _taken(path, target, outcome)
    return _write_all({target: text.encode("utf-8")}, outcome)


def _exists(target: str) -> bool:
    """True when something is at `target`; names that no file can have are refused when they are written."""
    try:
        return Path(target).exists()
    except (OSError, ValueError):
        return False


def _taken(path: str, target: str, outcome: Outcome) -> Outcome:
    """Nothing is overwritten unasked."""
    what = f"{target} already exists"
    problem = Problem(path, NOWHERE, Severity.ERROR, what, hint="name the result with -o")
    return Outcome((*outcome.problems, problem), report=outcome.report)


def write_document(path: str, output: str, wish: WriteWish) -> Outcome:
    """Write the score at `path` in another form, beside it unless `output` says where.

    An existing file that could be read again is only replaced when `output` names it: it may be what the score was
    read from.
    """
    foreign = import_module("engrave.products.foreign")
    data, problems, remarks = foreign.write_foreign(path, wish)
    if data is None:
        return Outcome(problems)
    base = Path("score" if path == STANDARD_INPUT else path)
    target = output or str(base.with_suffix(ENDINGS[wish.form]))
    outcome = Outcome(problems, remarks=remarks)
    if not output and wish.form is not Foreign.WAV and _exists(target):
        return _taken(path, target, outcome)
    return _write_all({target: data}, outcome, path)


def _make(path: str, wish: Wish, progress: Progress) -> Outcome:
    document = _load(path)
    if document.is_book:
        return _write_book(*_draw_book(document, wish, False, progress), path, wish)
    placed, outcome = _place(document, wish)
    return outcome if placed is None else _draw_all(placed, outcome, path, wish)


def _write_book(book: BoundBook | None, outcome: Outcome, path: str, wish: Wish) -> Outcome:
    """Write a finished book; pictures of its pages are made from the PDF."""
    if book is None:
        return outcome
    pdf = book.pdf
    if wish.format is Format.SVG or wish.trace:
        what = "a songbook is drawn as pdf or png, without a trace"
        return Outcome((*outcome.problems, Problem(path, Location(0, 0), Severity.ERROR, what)))
    if wish.format is Format.PDF:
        about = PlacedDocument((), book.title, book.author, book.language)
        try:
            finished = pdf if wish.press.is_idle else _finish(pdf, about, path, wish.press)
        except ValueError as error:
            return Outcome((*outcome.problems, Problem(path, Location(0, 0), Severity.ERROR, str(error))))
        return _write_all({_target(path, wish, 1, 1): finished}, outcome, path)
    png = import_module("engrave.drawing.png")
    count = png.count_pages(pdf)
    files = {
        _target(path, wish, index + 1, count): png.draw_png(pdf, index, wish.dots_per_inch)
        for index in range(count)
    }
    return _write_all(files, outcome, path)


def _draw_all(document: PlacedDocument, outcome: Outcome, path: str, wish: Wish) -> Outcome:
    """Draw a document and write its files, each whole or not at all."""
    try:
        files = dict(_draw(document, path, wish))
    except (MissingCharacter, ValueError) as error:
        problem = Problem(path, Location(0, 0), Severity.ERROR, str(error))
        return Outcome((*outcome.problems, problem))
    if any(is_same_file(wish.trace, target) for target in files if wish.trace):
        what = "the trace and the result cannot be one file"
        return Outcome((*outcome.problems, Problem(wish.trace, NOWHERE, Severity.ERROR, what)))
    if wish.trace:
        files[wish.trace] = _trace_text(document).encode("utf-8")
    return _write_all(files, outcome, path, wish.style or "-")


def _write_all(files: Mapping[str, bytes], outcome: Outcome, *sources: str) -> Outcome:
    """Write the files, each whole or not at all, and none over one of `sources`."""
    problems, written = deliver(files, sources)
    return outcome._replace(problems=(*outcome.problems, *problems), written=tuple(written))


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
        yield (
            _target(path, wish, 1, 1),
            pdf if wish.press.is_idle else _finish(pdf, document, path, wish.press),
        )
        return
    draw_png = import_module("engrave.drawing.png").draw_png  # heavy: loaded only when pictures are wanted
    for index in range(len(document.pages)):
        yield _target(path, wish, index + 1, len(document.pages)), draw_png(pdf, index, wish.dots_per_inch)


def _finish(pdf: bytes, document: PlacedDocument, path: str, press: Press) -> bytes:
    """The file as the press or the archive wants it. Raises ValueError for what cannot be."""
    if press.booklet or press.two_up or press.crop_marks:
        imposition = import_module("engrave.prepress.imposition")  # pypdf is loaded only when wanted
        if press.booklet:
            pdf = imposition.impose_booklet(pdf, press.creep)
        elif press.two_up:
            pdf = imposition.impose_two_up(pdf)
        if press.crop_marks:
            pdf = imposition.add_crop_marks(pdf, press.bleed)
    if press.archive or press.attach_source:
        attachments = (
            {Path(path).name: Path(path).read_bytes()}
            if press.attach_source and path != STANDARD_INPUT
            else {}
        )
        archive = import_module("engrave.prepress.archive")
        pdf = archive.make_archival(pdf, document.title, document.author, document.language, attachments)
    return pdf


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
