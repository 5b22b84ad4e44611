"""Settings that travel with the program: read whole, and right, or the program is broken."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from engrave.problems import ProblemLog
from engrave.resources import data_folder
from engrave.settings.kinds import kinds_of
from engrave.settings.layers import Form, Layering, Values, build
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap

_Record = TypeVar("_Record")


def shipped_file(*names: str) -> Path:
    """Where a file under `styles/` lies."""
    return data_folder().joinpath("styles", *names)


def read_tree(path: Path) -> SourceMap:
    """The mapping in a file that travels with the program. Raises ValueError with all reasons where it is none."""
    log = ProblemLog(str(path))
    tree = parse_yaml(path.read_text("utf-8"), log)
    if log.has_errors or not isinstance(tree, SourceMap):
        raise broken(log)
    return tree


def read_values(tree: SourceMap, form: Form, file: str) -> Values:
    """What a tree says, not yet made into records. Raises ValueError with all reasons when something is wrong."""
    log = ProblemLog(file)
    values: Values = {}
    Layering(form, log, {}).lay(tree, values)
    if log.has_errors:
        raise broken(log)
    return values


def build_whole(make: Callable[..., _Record], form: Form, values: Values, file: str) -> _Record:
    """The record made of `values`. Raises ValueError that names everything missing."""
    log = ProblemLog(file)
    built = build(form.kinds, values, log, form)
    if log.has_errors:
        raise broken(log)
    return make(**built)


def read_record(
    record: type[_Record], tree: SourceMap, file: str, header: tuple[str, ...] = (), joint: str = "-"
) -> _Record:
    """A record that one tree fills whole. Raises ValueError with all reasons when it does not."""
    form = form_of(record, file, header, joint)
    return build_whole(record, form, read_values(tree, form, file), file)


def form_of(record: type, document: str, header: tuple[str, ...] = (), joint: str = "-") -> Form:
    """The form of files that hold one record."""
    return Form(document, kinds_of(record), header, joint=joint)


def broken(log: ProblemLog) -> ValueError:
    """The error for a file that travels with the program and is wrong: a test rules it out."""
    return ValueError("\n".join(map(str, log.in_order())) or f"{log.file} is not a mapping")


def names_in(*folders: str) -> tuple[str, ...]:
    """The files of a folder under `styles/`, without their ending, in alphabetical order."""
    return tuple(sorted(path.stem for path in shipped_file(*folders).glob("*.yaml")))
