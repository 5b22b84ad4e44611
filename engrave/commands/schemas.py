"""The schemas of documents put where an editor finds them, and the line by which a document names its own."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from engrave.commands.delivery import STANDARD_OUTPUT, holds, is_free, make_folders, remove_folders
from engrave.commands.outcome import Outcome, write_files
from engrave.documents.kind import Kind
from engrave.problems import NOWHERE, Problem, Severity
from engrave.requests.schemas import SchemaRequest
from engrave.resources import schema_file, schema_text

USUAL_FOLDER = "schemas"
"""Where copies go when nothing else is said."""
_MARK = "# yaml-language-server: $schema="
"""How editors are told of a schema: a convention of theirs."""


class Copies(NamedTuple):
    """Files to write, contents by path; what stands in their way; and the line for each kind of document."""

    files: dict[str, bytes]
    problems: tuple[Problem, ...]
    lines: tuple[str, ...]


def give_schemas(request: SchemaRequest) -> Outcome:
    """Print the schema of one kind of document, or copy it, or all of them, into a folder."""
    if request.kind is not None and request.output in ("", STANDARD_OUTPUT):
        text, line = print_schema(request.kind.value)
        return Outcome((), report=(text,), remarks=(line,))
    kinds = [kind.value for kind in ([request.kind] if request.kind else Kind)]
    copies = copy_schemas(kinds, request.output)
    if copies.problems:
        return Outcome(copies.problems)
    try:
        folders = make_folders(copies.files)
    except OSError as error:
        return Outcome(()).with_error(str(error.filename), f"cannot be made: {error.strerror}")
    outcome = write_files(copies.files, Outcome((), remarks=copies.lines))
    if outcome.failed:
        remove_folders(folders)
    return outcome


def print_schema(kind: str) -> tuple[str, str]:
    """The text of one schema, and the line that leads to the installed file from any folder of this machine."""
    return schema_text(kind).rstrip("\n"), _line(kind, "wherever it lies", schema_file(kind).as_uri())


def copy_schemas(kinds: Sequence[str], output: str) -> Copies:
    """Copies of the schemas of `kinds` for the folder `output`, a .json file where it names one.

    A file that is there already is left alone where it is the same, and refused where it is not.
    """
    single = Path(output) if len(kinds) == 1 and output.lower().endswith(".json") else None
    files: dict[str, bytes] = {}
    problems: list[Problem] = []
    lines: list[str] = []
    for kind in kinds:
        source = schema_file(kind)
        target = single or Path(output or USUAL_FOLDER) / source.name
        data = schema_text(kind).encode("utf-8")
        lines.append(_line(kind, "in this folder", _address(target)))
        if is_free(target):
            files[str(target)] = data
        elif not holds(target, data):
            hint = "remove it, or name another folder with -o"
            what = f"{target} already exists and is something else"
            problems.append(Problem("schema", NOWHERE, Severity.ERROR, what, hint=hint))
    return Copies(files, tuple(problems), tuple(lines))


def _address(target: Path) -> str:
    """How a document in this folder names `target`: by its path from here, or by its URI where that is elsewhere."""
    path = os.path.relpath(target)
    outside = path.startswith(os.pardir) or os.path.isabs(path)
    return target.resolve().as_uri() if outside else Path(path).as_posix()


def _line(kind: str, where: str, address: str) -> str:
    return f"first line of a {kind} {where}: {_MARK}{address}"
