"""The reading table: what each character on a string line means, and the words around the tab."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated

from engrave.problems import ProblemLog
from engrave.score.sign_list import MARKS
from engrave.settings.kinds import Keys, OneOf, Words, kinds_of
from engrave.settings.layers import Form, Layering, Values, copy_values
from engrave.settings.shipped import build_whole, read_tree, read_values, shipped_file
from engrave.source.tree import SourceMap
from engrave.theory.instrument import PRESETS

SPECIAL = ("slide-up", "slide-down", "bend", "release", "dead", "ignored")
"""What a character may mean besides the marks of the score language."""
_LIKELY = ("hammer-on", "pull-off", "slide-up", "bend", "vibrato")
"""What a sign means most often; a message names these first."""
_MEANINGS = tuple(dict.fromkeys((*_LIKELY, *SPECIAL, *MARKS)))
PAIRS = {"(": ")", "<": ">", "[": "]", "{": "}"}
"""Characters that open a pair, with those that close it; `ghost` and `natural-harmonic` may be written so."""


_CHARACTER = Keys(
    noun="a sign",
    pattern=r"[^-0-9| )>\]}]",
    hint="use one character other than a digit, a dash or a barline",
)
Meaning = Annotated[str, OneOf(_MEANINGS, "the meaning of a sign")]
_FREE = Keys(noun="a word", pattern=r".+")
_FAMILIES = tuple(dict.fromkeys(part for preset in PRESETS for part in preset.split("-") if part.isalpha()))
_TOLD = ("title", "subtitle", "music", "words", "arrangement", "tuning", "capo", "time", "tempo", "key")
"""What a heading may say of the whole piece."""


@dataclass(frozen=True, slots=True)
class ReadingTable:
    """`signs` by character; `instruments` (word to family), `sections` and `headings` in lower case."""

    signs: Annotated[Mapping[str, Meaning], _CHARACTER]
    instruments: Annotated[Mapping[str, Annotated[str, OneOf(_FAMILIES)]], _FREE]
    sections: frozenset[Words]
    headings: Annotated[Mapping[str, Annotated[str, OneOf(_TOLD)]], _FREE]


_FORM = Form("a table of signs", kinds_of(ReadingTable))


@lru_cache(maxsize=1)
def _shipped() -> Values:
    path = shipped_file("exchange", "text-tab.yaml")
    return read_values(read_tree(path), _FORM, str(path))


@lru_cache(maxsize=1)
def shipped_table() -> ReadingTable:
    """The table that travels with the program."""
    return build_whole(ReadingTable, _FORM, _shipped(), "styles/exchange/text-tab.yaml")


def read_own_table(tree: SourceMap, log: ProblemLog) -> ReadingTable:
    """A table of the user's own, laid over the shipped one. Faults go to `log`."""
    values = copy_values(_shipped())
    Layering(_FORM, log, {}).lay(tree, values)
    return build_whole(ReadingTable, _FORM, values, log.file)
