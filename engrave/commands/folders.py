"""A folder of documents: each is made, but those of which nothing has changed since they were made last.

What tells that is the contents of files, never their times: a record in the folder holds a digest of every file that a
document was made from, of every file that came of it, of what was asked for, and of the program.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import Any

from engrave.commands.outcome import Outcome
from engrave.documents.kind import Kind
from engrave.problems import Location, Problem, Severity
from engrave.products.cache import program_digest
from engrave.products.product import Progress
from engrave.requests.option import typed_values
from engrave.requests.pages import MakeRequest
from engrave.requests.targets import check_clash
from engrave.source.files import DOCUMENT_ENDINGS
from engrave.source.inputs import recording_inputs
from engrave.whole_files import replace_file

RECORD = ".engrave.json"
"""The file in which a folder's record stands."""
_FORM = 1
"""The form of the record; one of another form counts as none (fact: ours)."""
_START = re.compile(rf"^(?:{'|'.join(kind.value for kind in Kind)})\s*:", re.MULTILINE)
_HEAD = 65_536
"""Bytes at the start of a file in which its kind is looked for (algorithm)."""

Make = Callable[[str], tuple[str, Outcome]]


def find_documents(folder: str) -> list[str]:
    """The documents in `folder` and the folders in it, in the order of their names; hidden ones are left out."""
    found = []
    for inside, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(files):
            path = os.path.normpath(os.path.join(inside, name))
            if name.lower().endswith(DOCUMENT_ENDINGS) and not name.startswith(".") and _is_document(path):
                found.append(path)
    return found


def _is_document(path: str) -> bool:
    """True for a file that names a kind of document at the start of a line; styles and hands are none."""
    try:
        with open(path, "rb") as stream:
            return bool(_START.search(stream.read(_HEAD).decode("utf-8", "replace")))
    except OSError:
        return True  # told when it is made


def make_folder(
    folder: str, request: MakeRequest, make: Make, progress: Progress
) -> Iterator[tuple[str, Outcome]]:
    """What became of each document of `folder`, in order; `make` makes one, and `progress` is told how many are done."""
    documents = find_documents(folder)
    clash = check_clash(documents, request.output, request.form.value) if documents else ""
    if clash or not documents:
        what = clash or "there is no document in this folder"
        yield folder, Outcome(()).with_error(folder, what, "" if clash else "documents are YAML files")
        return
    record = _read_record(folder)
    asked = _digest_of_request(request)
    kept: dict[str, Any] = {}
    for number, path in enumerate(documents):
        progress(number, len(documents))
        name = os.path.relpath(path, folder)
        entry = record.get(name)
        known = _known_outcome(path, entry, asked, folder)
        if known is not None:
            kept[name] = entry
            yield path, known
            continue
        with recording_inputs() as opened:
            told = make(path)
        if told[1].written and not told[1].failed:
            kept[name] = {
                "asked": asked,
                "warnings": [_pack(problem) for problem in told[1].problems],
                "inputs": _digests(filter(None, opened.values()), folder),
                "results": _digests(told[1].written, folder),
            }
        yield told
    progress(len(documents), len(documents))
    _write_record(folder, kept)


def _read_record(folder: str) -> dict[str, Any]:
    try:
        record = json.loads((Path(folder) / RECORD).read_text("utf-8"))
        documents = record["documents"] if record["form"] == _FORM else {}
        return documents if isinstance(documents, dict) else {}
    except (OSError, ValueError, KeyError, TypeError):
        return {}


def _write_record(folder: str, documents: dict[str, Any]) -> None:
    """A folder that cannot be written to has no record: everything in it is made anew."""
    text = json.dumps({"form": _FORM, "documents": documents}, indent=1, sort_keys=True, ensure_ascii=False)
    with suppress(OSError, ValueError):
        replace_file(Path(folder) / RECORD, f"{text}\n".encode("utf-8", "surrogatepass"), is_lasting=False)


def _known_outcome(path: str, entry: Any, asked: str, folder: str) -> Outcome | None:
    """What became of a document that was made in the same way of files that are what they were, and whose results still are.

    None where it must be made, also where the record is not of our writing.
    """
    try:
        if entry is None or entry["asked"] != asked:
            return None
        files = {**entry["inputs"], **entry["results"]}
        if any(_digest_of(os.path.join(folder, name)) != digest for name, digest in files.items()):
            return None
        results = ", ".join(os.path.normpath(os.path.join(folder, each)) for each in entry["results"])
        warnings = tuple(_unpack(fields) for fields in entry["warnings"])
    except (AttributeError, KeyError, TypeError, ValueError):
        return None
    return Outcome(warnings, remarks=(f"{path}: nothing has changed since {results} was made",))


def _pack(problem: Problem) -> dict[str, Any]:
    return {**asdict(problem), "severity": problem.severity.value}


def _unpack(fields: dict[str, Any]) -> Problem:
    return Problem(
        **{**fields, "location": Location(*fields["location"]), "severity": Severity(fields["severity"])}
    )


def _digests(paths: Iterable[str], folder: str) -> dict[str, str]:
    return {os.path.relpath(path, folder): _digest_of(path) for path in paths}


def _digest_of(path: str) -> str:
    """A digest of the bytes of a file; "" for one that cannot be read, which is like no other."""
    try:
        return hashlib.sha256(Path(path).read_bytes()).hexdigest()
    except (OSError, ValueError):
        return ""


def _digest_of_request(request: MakeRequest) -> str:
    digest = hashlib.sha256(program_digest())
    wanted = (request.output, request.form, request.looks, request.dpi, request.prepress)
    digest.update("\0".join(map(_words, wanted)).encode("utf-8", "surrogatepass"))
    return digest.hexdigest()


def _words(value: Any) -> str:
    """A request in words: its values by name."""
    return repr(typed_values(value)) if hasattr(type(value), "__dataclass_fields__") else str(value)
