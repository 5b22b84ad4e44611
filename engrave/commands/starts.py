"""`engrave new`: a document to start from, written where there is none."""

from __future__ import annotations

import os
from pathlib import Path

from engrave.commands.delivery import is_free
from engrave.commands.outcome import Outcome, write_files
from engrave.documents.kind import Kind
from engrave.requests.starts import NewRequest
from engrave.requests.targets import STREAM, in_folder
from engrave.resources import data_folder

_SONG = "song"
"""The start of a song that a songbook needs."""


def start_document(request: NewRequest) -> Outcome:
    """Write the start of a document of the kind that is asked for, and what it needs. Nothing that exists is replaced."""
    kind = request.kind.value
    target = in_folder(request.output, f"{kind}.yaml", "yaml") or f"{kind}.yaml"
    song = os.path.join(os.path.dirname(target), f"{_SONG}.yaml") if request.kind is Kind.SONGBOOK else ""
    files = {target: kind, song: _SONG} if song else {target: kind}
    outcome = Outcome(())
    for path in files:
        if path != STREAM and not is_free(Path(path)):
            outcome = outcome.with_error(path, "this file exists already", "name another one with -o")
    if outcome.failed:
        return outcome
    names = {"{file}": _shown(target, kind), "{song}": _shown(song, _SONG)}
    return write_files({path: _text(start, names) for path, start in files.items()}, outcome)


def _shown(path: str, kind: str) -> str:
    """How comments call the file at `path`."""
    return f"{kind}.yaml" if path in ("", STREAM) else os.path.basename(path)


def _text(start: str, names: dict[str, str]) -> bytes:
    text = (data_folder() / "schemas" / "starts" / f"{start}.yaml").read_text("utf-8")
    for word, name in names.items():
        text = text.replace(word, name)
    return text.encode("utf-8", "surrogateescape")
