"""The reading table: what each character on a string line means, and the words around the tab."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from engrave.problems import ProblemLog
from engrave.resources import data_folder
from engrave.score.sign_list import MARKS
from engrave.source.parse import parse_yaml

SPECIAL = ("slide-up", "slide-down", "bend", "release", "dead", "ignored")
"""What a character may mean besides the marks of the score language."""
PAIRS = {"(": ")", "<": ">", "[": "]", "{": "}"}
"""Characters that open a pair, with those that close it; `ghost` and `natural-harmonic` may be written so."""


@dataclass(frozen=True, slots=True)
class ReadingTable:
    """`signs` by character; `instruments` (word to family), `sections` and `headings` in lower case."""

    signs: Mapping[str, str]
    instruments: Mapping[str, str]
    sections: frozenset[str]
    headings: Mapping[str, str]


@lru_cache(maxsize=1)
def _shipped() -> ReadingTable:
    log = ProblemLog("styles/exchange/text-tab.yaml")
    tree = parse_yaml((data_folder() / "styles" / "exchange" / "text-tab.yaml").read_text("utf-8"), log)
    assert tree is not None, [str(problem) for problem in log.in_order()]
    return ReadingTable(
        {key: str(value) for key, value in tree["signs"].items()},
        {key: str(value) for key, value in tree["instruments"].items()},
        frozenset(str(word) for word in tree["sections"]),
        {key: str(value) for key, value in tree["headings"].items()},
    )


def reading_table(own: Mapping[str, str] | None = None) -> ReadingTable:
    """The shipped table, with `own` signs by character over it. Raises ValueError that says what would be right."""
    shipped = _shipped()
    for character, meaning in (own or {}).items():
        if len(character) != 1 or character.isdigit() or character in "-| )>]}":
            raise ValueError(
                f'"{character}" cannot be a sign; use one character other than a digit, a dash or a barline'
            )
        if meaning not in MARKS and meaning not in SPECIAL:
            raise ValueError(
                f'"{meaning}" is not the meaning of a sign; write a mark, or {", ".join(SPECIAL)}'
            )
    return ReadingTable(
        {**shipped.signs, **(own or {})}, shipped.instruments, shipped.sections, shipped.headings
    )
