"""The case files: small documents, each named after the rule it shows, and the dumps of their pages beside them."""

from __future__ import annotations

import difflib
import re
from pathlib import Path

from tests.pages.documents import dump, make

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


def case_file(name: str) -> Path:
    """The document of a case."""
    return CASES / f"{name}.yaml"


def dump_file(name: str) -> Path:
    """Where the accepted dump of a case lies."""
    return CASES / f"{name}.txt"


def read_rule(name: str) -> str:
    """The comment at the head of a case: the rule and its source, on one line."""
    head = re.match(r"(?:#.*\n)+", case_file(name).read_text("utf-8"))
    return " ".join(line.lstrip("# ") for line in head.group().splitlines()) if head else ""


def dump_case(name: str) -> str:
    """The pages of a case as text. Raises ValueError where something is wrong with the case."""
    return dump(make(case_file(name)))


def read_accepted(name: str) -> str:
    """The accepted dump of a case; nothing where there is none yet."""
    file = dump_file(name)
    return file.read_text("utf-8") if file.is_file() else ""


def show_changes(before: str, after: str) -> str:
    """What differs between two dumps, as a unified diff."""
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), "accepted", "now", lineterm="", n=1)
    return "\n".join(lines)
