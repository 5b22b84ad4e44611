"""What a kind of document must be able to do: be read, checked, placed on pages and drawn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol, TypeVar

from engrave.documents.kind import Kind
from engrave.marks.mark import PlacedDocument
from engrave.problems import Problem, ProblemLog, Severity
from engrave.reading.load import document_kind, file_log, load_tree
from engrave.requests.pages import Looks
from engrave.source.tree import SourceMap

Progress = Callable[[int, int], None]
"""Told how many things of how many are done."""


def silent(done: int, count: int) -> None:
    """For callers that show no progress."""


@dataclass(slots=True, eq=False)
class Source:
    """A document read as far as its tree, and everything that is found wrong with it on its way to the page."""

    path: str
    kind: Kind
    tree: SourceMap
    lines: list[str]
    log: ProblemLog
    elsewhere: list[Problem] = field(default_factory=list)
    """What is wrong with other files that the document needs."""
    remarks: list[str] = field(default_factory=list)
    """What went otherwise than usual, though nothing is wrong."""

    def remark(self, words: str) -> None:
        """Note what went otherwise than usual, once."""
        if words not in self.remarks:
            self.remarks.append(words)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything found so far, each thing once: the document's own in the order of its lines, then the rest."""
        return tuple(dict.fromkeys((*self.log.in_order(), *self.elsewhere)))

    @property
    def failed(self) -> bool:
        """True when something must be mended before anything is drawn."""
        return any(problem.severity is Severity.ERROR for problem in self.problems)


def open_source(path: str) -> tuple[Source | None, ProblemLog]:
    """The document at `path` (`-`: standard input), None (and why in the log) when it is none."""
    log = file_log(path)
    tree, lines = load_tree(path, log)
    kind = document_kind(tree) if tree is not None else None
    if tree is None or kind is None:
        return None, log
    return Source(path, kind, tree, lines, log), log


class Finished(NamedTuple):
    """A drawn document: the bytes of its PDF file, and what the file says of itself.

    `opens_right`: its first page is a right-hand one, as in a bound book.
    """

    pdf: bytes
    title: str = ""
    author: str = ""
    language: str = ""
    opens_right: bool = False


@dataclass(frozen=True, kw_only=True)
class Work:
    """How pages are made. `draws`: they will be drawn, so that processes may draw while they place.

    `jobs` is the number of processes that may be used, 0 for as many as the machine has; `cache` the folder in which
    finished songs are kept, "" for none. `bound`: the pages will be folded or bound, so that left-hand ones are mirrored.
    """

    draws: bool = True
    jobs: int = 0
    cache: str = ""
    progress: Progress = silent
    bound: bool = False


Read = TypeVar("Read")
Placed = TypeVar("Placed")


class Product(Protocol[Read, Placed]):
    """One kind of document. What is wrong at any step goes to the source; a step that cannot be taken gives None."""

    def read(self, source: Source, looks: Looks) -> Read | None:
        """The document and its style, checked for what they mean."""

    def check(self, document: Read, source: Source, hand: str) -> None:
        """Warn of what the hand called `hand` can hardly play."""

    def place(self, document: Read, source: Source, work: Work) -> Placed | None:
        """The document on its pages."""

    def pages(self, placed: Placed) -> PlacedDocument | None:
        """The placed marks of all pages, None where they are not all held at once."""

    def draw(self, placed: Placed) -> Finished:
        """The pages as a PDF file."""


class PlacedPages:
    """The last steps of every product whose pages are placed as one document."""

    def pages(self, placed: PlacedDocument) -> PlacedDocument:
        """The placed marks of all pages."""
        return placed

    def draw(self, placed: PlacedDocument) -> Finished:
        """The pages as a PDF file. Raises `MissingCharacter`."""
        from engrave.drawing.pdf.draw import draw_pdf

        return Finished(draw_pdf(placed), placed.title, placed.author, placed.language)
