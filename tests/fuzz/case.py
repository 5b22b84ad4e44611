"""A case: files in a folder and the commands that are run there, one after the other; kept as JSON that can be read.

In that JSON a text is the list of its lines, so that a diff shows what changed; other bytes are base64.
"""

from __future__ import annotations

import base64
import json
import re
from pathlib import Path
from typing import Any, NamedTuple

SOURCES = "work"
"""The folder inside a case's own in which its files lie and its commands run: `..` stays within the case."""


class Step(NamedTuple):
    """One run of the command line. The fields name other steps by their place in the case; None for no step."""

    arguments: tuple[str, ...]
    agrees: int | None = None
    """This step must find errors where that one does, and none where it finds none."""
    after: int | None = None
    """This step reads what that one made: it is run only if that one succeeded."""
    must: bool = False
    """It must succeed: nothing is wrong with what it is given, or it is what an earlier step made."""
    stdin: str = ""
    """The file that is typed into it."""


class Case(NamedTuple):
    """Files by name, and what is done with them."""

    reader: str
    files: dict[str, bytes]
    steps: tuple[Step, ...]

    def write(self, folder: Path) -> Path:
        """Put the files into `folder`; the folder in which the commands are to be run."""
        work = folder / SOURCES
        for name, data in self.files.items():
            path = work / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        (work / "out").mkdir(parents=True, exist_ok=True)
        return work

    @property
    def size(self) -> int:
        """Bytes of files and arguments, by which the smaller of two cases is known."""
        typed = sum(len(word) for step in self.steps for word in step.arguments)
        return sum(map(len, self.files.values())) + typed


_FOLDERS = re.compile(r'File "/[^"]*?/((?:tests|engrave)/)')
"""What stands before the project's own files in a traceback."""


def to_json(case: Case, why: str = "", key: str = "") -> str:
    """A case as a text that people can read; `why` says what went wrong, `key` where.

    Folders of the machine that found it are left out.
    """
    why = _FOLDERS.sub(r'File "\1', why)
    steps = []
    for step in case.steps:
        row: dict[str, Any] = {"arguments": list(step.arguments)}
        row.update({name: value for name, value in step._asdict().items() if name != "arguments" and value})
        row.update({name: 0 for name in ("agrees", "after") if getattr(step, name) == 0})
        steps.append(row)
    files = {name: _packed(data) for name, data in case.files.items()}
    tree = {"reader": case.reader, "why": why, "key": key, "files": files, "steps": steps}
    return json.dumps(tree, indent=1, ensure_ascii=True) + "\n"


def from_json(text: str) -> Case:
    """The case in a text of `to_json`."""
    tree = json.loads(text)
    files = {name: _unpacked(data) for name, data in tree["files"].items()}
    steps = tuple(Step(**{**row, "arguments": tuple(row["arguments"])}) for row in tree["steps"])
    return Case(tree["reader"], files, steps)


def _packed(data: bytes) -> Any:
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        return {"base64": base64.b64encode(data).decode("ascii")}
    return text.splitlines(keepends=True)


def _unpacked(value: Any) -> bytes:
    return base64.b64decode(value["base64"]) if isinstance(value, dict) else "".join(value).encode("utf-8")
