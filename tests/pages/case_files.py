"""The case files: small documents, each named after the rule it shows, and the dumps of their pages beside them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from engrave.diagnostics.problem import Problem
from engrave.pipeline import place_document
from engrave.products.songbook import draw as draw_book
from engrave.products.wish import Wish
from engrave.reading.load import document_kind, file_log, load_tree
from tests.pages.book_dump import dump_book
from tests.pages.dump import dump_document

CASES = Path(__file__).parent / "cases"
SOURCES = (
    "Gould",
    "Ross",
    "Gourlay",
    "SMuFL",
    "ISO",
    "UKAAF",
    "MSN",
    "common practice, no source",
    "house rule",
    "computed",
)
"""What a rule may come from; the books from memory."""


def case_names() -> list[str]:
    """Every case, by name."""
    return sorted(path.stem for path in CASES.glob("*.yaml"))


def dump_file(name: str) -> Path:
    """Where the accepted dump of a case lies."""
    return CASES / f"{name}.txt"


def read_rule(name: str) -> str:
    """The comment at the head of a case: the rule and its source, on one line."""
    text = (CASES / f"{name}.yaml").read_text("utf-8")
    head = re.match(r"(?:#.*\n)+", text)
    return " ".join(line.lstrip("# ") for line in head.group().splitlines()) if head else ""


def dump_case(name: str) -> str:
    """The pages of a case as text. Raises ValueError where something is wrong with the case."""
    path = str(CASES / f"{name}.yaml")
    log = file_log(path)
    tree, lines = load_tree(path, log)
    if tree is not None and document_kind(tree) == "songbook":
        book, problems = draw_book(tree, lines, path, Wish(jobs=1), False, log, lambda done, count: None)
        return _or_problems(problems, book and dump_book(book.pdf))
    document, outcome = place_document(path, Wish())
    return _or_problems(outcome.problems, document and dump_document(document))


def _or_problems(problems: Sequence[Problem], dump: str | None) -> str:
    if dump is None or problems:
        raise ValueError("\n".join(str(problem) for problem in problems))
    return dump
