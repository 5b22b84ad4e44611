"""`engrave make`: documents taken to finished files."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from engrave.commands.outcome import Outcome, write_files
from engrave.fonts.text_setting import InstalledFaces
from engrave.marks.mark import PlacedDocument
from engrave.marks.trace import trace_marks
from engrave.problems import CannotBeDrawn
from engrave.products.lay_out import LaidOut, collector_paused, lay_out
from engrave.products.product import Finished, Progress, Source, Work, open_source, silent
from engrave.requests.pages import Format, MakeRequest, Prepress
from engrave.source.files import DOCUMENT_ENDINGS, STANDARD_INPUT, is_file, is_stream
from engrave.source.inputs import is_input, is_same_file, read_input

_NO_MARKS = "a songbook is drawn as pdf or png, without a trace"


class Job(NamedTuple):
    """How one document is drawn. `output` is "" (beside the source), a file, or `-` (standard output)."""

    path: str
    output: str
    form: Format
    dots_per_inch: float
    prepress: Prepress
    trace: str = ""
    source: bytes = b""
    """The text that may be attached."""

    def target(self, number: int = 1, count: int = 1) -> str:
        """Where page `number` of `count` goes, or the whole file."""
        if self.output == STANDARD_INPUT or (count == 1 and is_stream(self.output)):
            return self.output
        base = Path(self.output or ("score" if self.path == STANDARD_INPUT else self.path))
        ending = base.suffix if self.output and base.suffix else f".{self.form.value}"
        return f"{base.with_suffix('')}{f'-{number}' if count > 1 else ''}{ending}"


def make_document(path: str, request: MakeRequest, progress: Progress = silent) -> Outcome:
    """Check and draw the document at `path`. Nothing is written unless everything is right.

    `progress` is told how many songs of a book are done.
    """
    source, log = open_source(path)
    if source is None:
        return Outcome(tuple(log.in_order()))
    looks = request.looks
    job = Job(
        path=path,
        output=request.output_of(path),
        form=request.form,
        dots_per_inch=request.dpi,
        prepress=request.prepress,
        trace=request.trace,
        source=_text_of(source) if request.prepress.attach_source else b"",
    )
    work = Work(jobs=request.jobs, cache=request.cache, progress=progress, bound=request.prepress.booklet)
    with collector_paused():
        return draw_outcome(source, lay_out(source, looks, work), job)


def _text_of(source: Source) -> bytes:
    """The text of a document as its author wrote it; of standard input and what else is read but once, its lines."""
    if is_file(source.path):
        with suppress(OSError):
            return read_input(source.path)
    return "".join(f"{line}\n" for line in source.lines).encode("utf-8")


def draw_outcome(source: Source, laid_out: LaidOut | None, job: Job) -> Outcome:
    """The outcome of a document that is to be drawn."""
    outcome = Outcome(source.problems, remarks=tuple(source.remarks))
    return outcome if laid_out is None else draw_files(laid_out, outcome, job)


def draw_files(laid_out: LaidOut, outcome: Outcome, job: Job) -> Outcome:
    """Draw a document and write its files, each whole or not at all."""
    pages = laid_out.pages
    if pages is None and job.trace:
        return outcome.with_error(job.path, _NO_MARKS)
    try:
        files = dict(_draw(laid_out, job))
    except CannotBeDrawn as error:
        return outcome.with_error(job.path, str(error))
    if job.trace and pages is not None:
        if any(is_same_file(job.trace, target) for target in files):
            return outcome.with_error(job.trace, "the trace and the result cannot be one file")
        if job.trace.lower().endswith(DOCUMENT_ENDINGS) and not is_input(job.trace):
            usual = Path(job.trace).with_suffix(".json")
            what = "a trace is JSON, and this name ends like a document"
            return outcome.with_error(job.trace, what, f"name it {usual}")
        files[job.trace] = _trace_text(pages).encode("utf-8")
    return write_files(files, outcome)


def _draw(laid_out: LaidOut, job: Job) -> Iterator[tuple[str, bytes]]:
    """The files to write. With several pages SVG and PNG files are numbered."""
    if job.form is Format.PDF:
        name = "score.yaml" if job.path == STANDARD_INPUT else Path(job.path).name
        yield job.target(), prepare_file(laid_out.draw(), job.prepress, name, job.source)
        return
    pictures = list(draw_pictures(laid_out, job.form, job.dots_per_inch))
    for number, picture in enumerate(pictures, start=1):
        yield job.target(number, len(pictures)), picture


def draw_pictures(laid_out: LaidOut, form: Format, dots_per_inch: float) -> Iterator[bytes]:
    """Every page as a file of its own, PNG or SVG. Raises `CannotBeDrawn`."""
    if form is Format.PDF:
        raise ValueError("a PDF file holds all pages")
    if form is Format.SVG:
        from engrave.drawing.svg import draw_svg

        if laid_out.pages is None:
            raise CannotBeDrawn(_NO_MARKS)
        for page in laid_out.pages.pages:
            yield draw_svg(page, laid_out.pages).encode("utf-8")
        return
    from engrave.drawing.png import count_pages, draw_png

    pdf = laid_out.draw().pdf
    for index in range(count_pages(pdf)):
        yield draw_png(pdf, index, dots_per_inch)


def prepare_file(finished: Finished, prepress: Prepress, name: str, source: bytes) -> bytes:
    """The file as the print shop or the archive wants it. Raises `CannotBeDrawn`.

    `source` is the text that is attached under `name` where that is asked for.
    """
    pdf = finished.pdf
    if prepress.booklet or prepress.two_up or prepress.crop_marks:
        from engrave.prepress.crop_marks import read_crop_marks
        from engrave.prepress.imposition import add_crop_marks, impose_booklet, impose_two_up

        if prepress.booklet:
            pdf = impose_booklet(pdf, prepress.creep)
        elif prepress.two_up:
            pdf = impose_two_up(pdf, finished.opens_right)
        if prepress.crop_marks:
            pdf = add_crop_marks(pdf, read_crop_marks(), prepress.bleed)
    if prepress.archive or prepress.attach_source:
        from engrave.prepress.archive import make_archival

        attachments = {name: source} if prepress.attach_source and source else {}
        pdf = make_archival(pdf, finished.title, finished.author, finished.language, attachments)
    return pdf


def _trace_text(document: PlacedDocument) -> str:
    rows = ",\n".join(
        json.dumps(record, ensure_ascii=False) for record in trace_marks(document, InstalledFaces())
    )
    return f"[\n{rows}\n]\n"
