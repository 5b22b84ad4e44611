"""Files that travel with the program: schemas, styles and the guide, in a checkout or inside an installed wheel."""

from __future__ import annotations

import json
import re
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_BORROWED = re.compile(r'"(\w+)\.schema\.json#/\$defs/')
"""How a schema names a definition of another one, which lies beside it."""


def data_folder() -> Path:
    """The folder that holds `schemas/` and `styles/`: inside the package when installed, beside it in a checkout."""
    inside = _PACKAGE / "_data"
    return inside if inside.is_dir() else _PACKAGE.parent


def schema_file(name: str) -> Path:
    """Where the JSON Schema called `name` (without ending) lies."""
    return data_folder() / "schemas" / f"{name}.schema.json"


def schema_text(name: str) -> str:
    """The JSON Schema called `name` (without ending), whole: what it borrows from others is in it. Raises FileNotFoundError."""
    text = schema_file(name).read_text("utf-8")
    borrowed = dict.fromkeys(_BORROWED.findall(text))
    if not borrowed:
        return text
    schema = json.loads(_BORROWED.sub('"#/$defs/', text))
    for other in borrowed:
        schema["$defs"] = {**json.loads(schema_text(other))["$defs"], **schema.get("$defs", {})}
    return f"{json.dumps(schema, indent=2, ensure_ascii=False)}\n"


def guide_file() -> Path:
    """Where the guide lies, a document with its chapters beside it."""
    data = data_folder()
    folder = data / "guide" if data.parent == _PACKAGE else data / "samples" / "guide"
    return folder / "guide.yaml"


def style_file(name: str) -> Path:
    """Where the shipped style `name` lies (it need not exist)."""
    return data_folder() / "styles" / f"{name}.yaml"


def style_names() -> tuple[str, ...]:
    """The names of the shipped styles, in alphabetical order."""
    return tuple(sorted(path.stem for path in (data_folder() / "styles").glob("*.yaml")))
