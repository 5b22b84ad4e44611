"""A tree of the score language as YAML: one musical thought a line, drawn tabs as blocks, nothing quoted that need not be."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from engrave.source.scalars import resolve_scalar

_PLAIN = re.compile(r"[A-Za-z♯♭](?:[\w♯♭ ./+'’,()&-]|(?<! )#)*(?:[\w♯♭.)'’&+-]|(?<! )#)|[A-Za-z]")
"""Text that YAML reads as text without quotes, inside flow collections too when it has no comma."""
_SHORT_WORD = r"(?:[1-8]:)?[0-9A-Za-z](?:[0-9A-Za-z/.#-]|\+(?:[1-8]:)?(?=[0-9A-Za-z]))*"
_SHORT_FORM = re.compile(rf"{_SHORT_WORD}(?: +{_SHORT_WORD})*")
"""Frets with words and rows of events, which YAML reads as text without quotes unless they are a number."""
_WORDS_OF_YAML = frozenset(
    {"true", "false", "null", "yes", "no", "on", "off", "y", "n", "True", "False", "Null"}
)
_KEY = re.compile(r"[A-Za-z0-9][\w./ +-]*")
WIDTH = 110
"""Columns of a line before a list is broken over several (house rule)."""
_BLOCKS = ("measures", "parts", "songs", "content")
"""Keys whose value is written one item a line, whatever its length."""


def dump_score(tree: Mapping[str, Any]) -> str:
    """The YAML text of a document's tree."""
    lines: list[str] = []
    for key, value in tree.items():
        if key == "measures" and value:
            lines.append("measures:")
            for measure in value:
                lines.extend(_item(measure, "  "))
        elif key in _BLOCKS and value and isinstance(value, Sequence) and not isinstance(value, str):
            lines.append(f"{key}:")
            for entry in value:
                lines.append(f"  - {flow(entry)}")
        else:
            lines.extend(entry_lines(key, value, ""))
    return "\n".join(lines) + "\n"


def _item(value: Any, indent: str) -> list[str]:
    """One item of a block list: a mapping with a key a line."""
    if not isinstance(value, Mapping) or not value:
        return [f"{indent}- {flow(value)}"]
    rows: list[str] = []
    for key, entry in value.items():
        rows.extend(entry_lines(key, entry, indent + "  "))
    rows[0] = f"{indent}- {rows[0].lstrip()}"
    return rows


def entry_lines(key: str, value: Any, indent: str) -> list[str]:
    """A key with its value: on one line where it fits, else as a block."""
    name = key_text(key)
    if isinstance(value, str) and "\n" in value:
        return [f"{indent}{name}: |", *(f"{indent}  {line}" for line in value.rstrip("\n").split("\n"))]
    line = f"{indent}{name}: {flow(value)}"
    if len(line) <= WIDTH:
        holds_block = isinstance(value, Mapping) and any(
            isinstance(v, str) and "\n" in v for v in value.values()
        )
        if not holds_block and key != "parts":
            return [line]
    if isinstance(value, Mapping) and value:
        rows = [f"{indent}{name}:"]
        for inner, entry in value.items():
            rows.extend(entry_lines(inner, entry, indent + "  "))
        return rows
    if isinstance(value, Sequence) and not isinstance(value, str) and value:
        if "/" in name:
            return _filled(f"{indent}{name}: [", value)
        rows = [f"{indent}{name}:"]
        for entry in value:
            rows.extend(_listed(entry, indent + "  "))
        return rows
    return [line]


def _filled(start: str, events: Sequence[Any]) -> list[str]:
    """A list of events over as many lines as it needs, each filled; `start` is what stands before the first."""
    lines, blank = [start], " " * len(start)
    for number, event in enumerate(events):
        text = _flow_item(event) + ("," if number + 1 < len(events) else "]")
        if len(lines[-1]) + 1 + len(text) > WIDTH and number:
            lines.append(blank + text)
        else:
            lines[-1] += f" {text}" if number else text
    return lines


def _listed(entry: Any, indent: str) -> list[str]:
    """An item of a broken list, its own list broken too where it is still too long."""
    line = f"{indent}- {_flow_item(entry)}"
    if len(line) <= WIDTH or not isinstance(entry, Mapping) or len(entry) != 1:
        return [line]
    ((key, value),) = entry.items()
    if isinstance(value, Sequence) and not isinstance(value, str) and value:
        return _filled(f"{indent}- {key_text(key)}: [", value)
    return [line]


def flow(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key_text(key)}: {flow(entry)}" for key, entry in value.items()) + "}"
    if isinstance(value, str):
        return scalar(value)
    if isinstance(value, Sequence):
        return "[" + ", ".join(map(_flow_item, value)) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return "null" if value is None else str(value)


def _flow_item(value: Any) -> str:
    """An item of a list; a duration with what it holds needs no braces there."""
    text = flow(value)
    return text[1:-1] if _is_timed(value) else text


def _is_timed(value: Any) -> bool:
    return isinstance(value, Mapping) and len(value) == 1 and "/" in str(next(iter(value)))


def scalar(text: str) -> str:
    """Text as YAML: plain where that is read back as the same text, else in double quotes."""
    is_plain = _PLAIN.fullmatch(text) is not None and "," not in text and text not in _WORDS_OF_YAML
    is_duration = re.fullmatch(r"[0-9]+/[0-9]+\.{0,2}( = [0-9.]+)?", text) is not None
    is_short = _SHORT_FORM.fullmatch(text) is not None and isinstance(resolve_scalar(text), str)
    if is_plain or is_duration or (is_short and text not in _WORDS_OF_YAML):
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return f'"{escaped}"'


def key_text(key: Any) -> str:
    """A key as YAML; in the score language keys are read as text, so numbers need no quotes."""
    text = str(key)
    return text if _KEY.fullmatch(text) and text not in _WORDS_OF_YAML else scalar(text)
