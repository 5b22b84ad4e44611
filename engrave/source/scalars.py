"""Plain scalars by the core schema of YAML 1.2.2 (section 10.3): null, true and false, integers, floats; all else is text."""

from __future__ import annotations

import re

_WORDS: dict[str, object] = {
    "": None,
    "~": None,
    "null": None,
    "Null": None,
    "NULL": None,
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
    ".inf": float("inf"),
    ".Inf": float("inf"),
    ".INF": float("inf"),
    "+.inf": float("inf"),
    "-.inf": float("-inf"),
    "-.Inf": float("-inf"),
    "-.INF": float("-inf"),
    ".nan": float("nan"),
    ".NaN": float("nan"),
    ".NAN": float("nan"),
}
_INTEGER = re.compile(r"[-+]?[0-9]+")
_BASED = re.compile(r"0o[0-7]+|0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_LONGEST_NUMBER = 40
"""Longer runs of digits stay text: nobody writes such a number into a score, and huge ones cost time."""


def resolve_scalar(text: str) -> object:
    """The value of an unquoted scalar."""
    first = text[:1]
    if text in _WORDS:
        return _WORDS[text]
    if first.isalpha():
        return text
    if len(text) > _LONGEST_NUMBER:
        return text
    if _INTEGER.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    if _BASED.fullmatch(text):
        return int(text[2:], 8 if text[1] == "o" else 16)
    return text
