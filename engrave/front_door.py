r"""Engrave for programs: read, check, place, draw, write. What stands here is kept stable, and `import engrave` gives it.

    import engrave

    document = engrave.read("tune.yaml")
    print(*engrave.check(document), sep="\n")
    pages = engrave.place(document, style="songbook")
    pdf = engrave.draw(pages)
    sound = engrave.write(document, engrave.Foreign.WAV)

Nothing here prints or writes a file. What is wrong with the input comes as records (`Problem`), all in one run.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from engrave.commands.exchange import read_foreign
from engrave.commands.make import draw_pictures, prepare_file
from engrave.commands.writing import Written, write_score
from engrave.documents.kind import Kind
from engrave.marks.mark import PlacedDocument
from engrave.problems import CannotBeDrawn, Location, Problem, ProblemLog, Severity
from engrave.products.lay_out import LaidOut, lay_out
from engrave.products.product import Source, Work
from engrave.reading.load import document_kind, load_text, read_score_tree, read_tree
from engrave.requests.exchange import Foreign, Practising, ReadRequest, WriteRequest
from engrave.requests.misuse import find_misuse
from engrave.requests.pages import Format, Looks, Prepress, SheetSize
from engrave.score.paper_size import Orientation
from engrave.score.structure import Score, View
from engrave.source.tree import SourceMap

__all__ = [
    "CannotBeDrawn",
    "Document",
    "Foreign",
    "Format",
    "Kind",
    "Location",
    "Orientation",
    "Pages",
    "Practising",
    "Prepress",
    "Problem",
    "Score",
    "Severity",
    "View",
    "Written",
    "WrongInput",
    "check",
    "draw",
    "draw_pages",
    "place",
    "read",
    "read_text",
    "write",
]


class WrongInput(ValueError):
    """The input is wrong. `problems` holds all that was found, warnings too; as text, a line for each."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        """`problems` in the order in which they are to be told."""
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


@dataclass(frozen=True)
class Document:
    """A document that has been read as far as its tree: any number of pages can be made of it.

    `path` is where it comes from, and where files that it names are looked for; `text` is its YAML; `remarks` are what
    was lost or guessed where it was read from another form.
    """

    path: str
    kind: Kind
    text: str
    tree: SourceMap
    remarks: tuple[Problem, ...] = ()

    @cached_property
    def score(self) -> Score:
        """The score. Raises WrongInput for documents of other kinds, and when something is wrong with it."""
        source = _source(self)
        score = read_score_tree(source.tree, source.lines, source.log)
        if score is None:
            raise WrongInput(source.problems)
        return score


@dataclass(frozen=True)
class Pages:
    """A document on its pages, ready to be drawn. `problems` are warnings.

    `marks` holds everything that is placed, in points; it is None for songbooks, which draw themselves song by song.
    """

    marks: PlacedDocument | None
    problems: tuple[Problem, ...]
    laid_out: LaidOut


def read(path: str | Path) -> Document:
    """The document at `path`: YAML of Engrave, or a score in plain-text tab, MusicXML or MIDI. Raises WrongInput."""
    name = str(path)
    log = ProblemLog(name)
    if Path(name).suffix.lower() in _FOREIGN:
        text, problems = read_foreign(name, ReadRequest(file=name))
        if text is None:
            raise WrongInput(problems)
        return replace(read_text(text, name), remarks=problems)
    text = load_text(name, log)
    if text is None:
        raise WrongInput(tuple(log.in_order()))
    return read_text(text, name)


_FOREIGN = (".txt", ".tab", ".mid", ".midi", ".musicxml", ".xml", ".mxl")
"""How files end that hold a score in another form."""


def read_text(text: str, path: str = "score.yaml") -> Document:
    """The document in `text`; files that it names are looked for beside `path`. Raises WrongInput."""
    log = ProblemLog(path)
    tree = read_tree(text, log)
    kind = document_kind(tree) if tree is not None else None
    if tree is None or kind is None:
        raise WrongInput(tuple(log.in_order()))
    return Document(path, kind, text, tree)


def check(
    document: Document, *, view: View | None = None, style: str = "", hand: str = ""
) -> tuple[Problem, ...]:
    """Everything that is wrong with `document`, found by laying it out; () when nothing is.

    `hand` names the hand whose reach is looked at ("beginner", "intermediate", "advanced" or a file), "" for none.
    """
    source = _source(document)
    lay_out(source, Looks(view=view, style=style), Work(draws=False), hand)
    return source.problems


def place(
    document: Document,
    *,
    view: View | None = None,
    style: str = "",
    size: str = "",
    orientation: Orientation | None = None,
    jobs: int = 0,
) -> Pages:
    """The pages of `document`. What is given here outranks what the document says. Raises WrongInput.

    `style` is the name of a shipped style or a file; `size` a paper size ("A4", "210x297"); `jobs` how many processes a
    songbook may use, 0 for as many as the machine has. Raises ValueError for a size that cannot be.
    """
    looks = Looks(view=view, style=style, sheet=SheetSize(size=size, orientation=orientation))
    _refuse_misuse(looks)
    source = _source(document)
    laid_out = lay_out(source, looks, Work(jobs=jobs))
    if laid_out is None:
        raise WrongInput(source.problems)
    return Pages(laid_out.pages, source.problems, laid_out)


def draw(pages: Pages, prepress: Prepress | None = None, source: Document | None = None) -> bytes:
    """The pages as one PDF file. Raises `CannotBeDrawn`.

    `prepress` says what is done to it for the print shop or the archive; `source` is the document to be attached to the
    file where that is asked for.
    """
    name = Path(source.path).name if source is not None else ""
    text = source.text.encode("utf-8") if source is not None else b""
    return prepare_file(pages.laid_out.draw(), prepress or Prepress(), name, text)


def draw_pages(pages: Pages, form: Format = Format.PNG, dots_per_inch: float = 150.0) -> tuple[bytes, ...]:
    """Each page as a PNG or SVG file. Raises `CannotBeDrawn` for a songbook as SVG, ValueError for PDF."""
    return tuple(draw_pictures(pages.laid_out, form, dots_per_inch))


def write(
    document: Document,
    form: Foreign,
    *,
    measures: str = "",
    repeats: bool = True,
    parts: tuple[str, ...] = (),
    practising: Practising | None = None,
) -> Written:
    """The score in another form: its bytes, warnings of what that form cannot carry, words about it. Raises WrongInput.

    `measures` ("1-4" or a label), `repeats` and `practising` are for what is played, MIDI and sound; `parts` by name or number.
    """
    request = WriteRequest(
        file=document.path,
        form=form,
        measures=measures,
        repeats=repeats,
        parts=parts,
        practising=practising or Practising(),
    )
    _refuse_misuse(request)
    written = write_score(document.score, document.path, request)
    if written.data is None:
        raise WrongInput(written.problems)
    return written


def _refuse_misuse(request: object) -> None:
    """Raise ValueError for values that cannot be meant."""
    complaint = find_misuse(request)
    if complaint:
        raise ValueError(complaint.removeprefix("--"))


def _source(document: Document) -> Source:
    """The document with nothing found wrong yet."""
    lines = document.text.splitlines()
    return Source(document.path, document.kind, document.tree, lines, ProblemLog(document.path))
