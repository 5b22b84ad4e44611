"""The front door of reading: text becomes a tree of one kind of document, and a score's tree a score."""

from __future__ import annotations

from pathlib import Path

from engrave.documents.kind import Kind
from engrave.problems import NOWHERE, Location, ProblemLog, did_you_mean
from engrave.reading.score_reader import read_score
from engrave.score.structure import Score
from engrave.source.file_kinds import FileKind, find_kind
from engrave.source.files import DOCUMENT_ENDINGS, LARGEST, STANDARD_INPUT, decode, is_file, read_bytes
from engrave.source.parse import parse_yaml
from engrave.source.schema import check_form
from engrave.source.tree import SourceMap, Value

DOCUMENTS = tuple(kind.value for kind in Kind)
"""The keys that tell what a document is, each with the version of its language."""


def file_log(path: str) -> ProblemLog:
    """An empty log for the file at `path` (`-`: standard input)."""
    return ProblemLog("standard input" if path == STANDARD_INPUT else path)


def load_tree(path: str, log: ProblemLog) -> tuple[SourceMap | None, list[str]]:
    """The tree of the document at `path` and its lines. Never raises for bad input; None when it is no document."""
    text = load_text(path, log)
    return (None, []) if text is None else (read_tree(text, log), text.splitlines())


def load_text(path: str, log: ProblemLog) -> str | None:
    """The text of the document at `path`. Never raises; None, and why in `log`, when it cannot be one."""
    data = read_bytes(path, log, LARGEST, DOCUMENT_ENDINGS)
    if data is None:
        return None
    kind = find_kind(data, path)
    if kind is None:
        return decode(data, log)
    log.error(NOWHERE, f"this is {kind.words}, not a document of Engrave", hint=_say_use(kind, path))
    return None


def _say_use(kind: FileKind, path: str) -> str:
    """Which command reads a foreign file, or which files Engrave reads."""
    if kind.is_read:
        return f"engrave read {path} turns it into a score"
    beside = Path(path).with_suffix(DOCUMENT_ENDINGS[0])
    if path != STANDARD_INPUT and is_file(beside):
        return f'did you mean "{beside.name}"?'
    return f"documents are YAML files that start with {', '.join(f'{key}: 1' for key in DOCUMENTS[:-1])} or {DOCUMENTS[-1]}: 1"


def read_tree(text: str, log: ProblemLog) -> SourceMap | None:
    """The tree of the document in `text`, None (and why in `log`) when it is none."""
    tree = parse_yaml(text, log)
    if tree is None:
        return None
    if not isinstance(tree, SourceMap):
        _tell_no_document(tree, text, log)
        return None
    if document_kind(tree):
        return tree
    near = did_you_mean(next(iter(tree), ""), DOCUMENTS)
    log.error(
        tree.location,
        'the key "score" is missing',
        hint=near if near.startswith("did") else "start with score: 1",
    )
    return None


def _tell_no_document(tree: Value, text: str, log: ProblemLog) -> None:
    from engrave.source.slips.find import find_glued_key

    slip = find_glued_key(text) if isinstance(tree, str) else None
    if slip is not None:
        log.error(slip.location, slip.what, hint=slip.hint)
        return
    log.error(Location(1, 1), "this is not a score", hint="a score is a mapping that starts with score: 1")


def document_kind(tree: SourceMap) -> Kind | None:
    """The kind of a document, told by its key; None when there is no such key."""
    return next((kind for kind in Kind if kind.value in tree), None)


def load_score(path: str) -> tuple[Score | None, ProblemLog]:
    """Read the score at `path`. Never raises for bad input; None when nothing can be drawn."""
    log = file_log(path)
    tree, lines = load_tree(path, log)
    return (None if tree is None else read_score_tree(tree, lines, log)), log


def read_text_score(text: str, log: ProblemLog, unstrung: bool = False) -> Score | None:
    """The score in `text`; problems go to `log`. `unstrung`: parts that name no string are read without strings."""
    tree = read_tree(text, log)
    return None if tree is None else read_score_tree(tree, text.splitlines(), log, unstrung)


def read_score_tree(
    tree: SourceMap, lines: list[str], log: ProblemLog, unstrung: bool = False
) -> Score | None:
    """The score of a tree; problems of form and meaning go to `log`. `unstrung`: parts that name no string have none."""
    kind = document_kind(tree)
    if kind not in (Kind.SCORE, None):
        log.error(
            tree.key_location(kind.value),
            f"this is a {kind.value}, not a score",
            hint="a score starts with score: 1",
        )
        return None
    if not check_form(tree, "score", log):
        from engrave.reading.sound_rest import tell_the_rest

        tell_the_rest(tree, lines, log)
        return None
    score = read_score(tree, lines, log, unstrung=unstrung)
    return None if log.has_errors else score
