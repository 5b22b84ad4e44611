"""Everything that pages say of their own, in one language: one table of words a language, in `styles/words/`.

No word has a second home in code: a table that lacks one, or has one too many, is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

from engrave.problems import ProblemLog
from engrave.resources import data_folder
from engrave.score.sign_list import SIGNS
from engrave.score.structure import Part
from engrave.score.used_signs import OTHER_SIGNS
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap
from engrave.theory.counting import CountingWords
from engrave.theory.instrument import PRESETS, TUNINGS
from engrave.theory.key import Key, Mode
from engrave.theory.pitch import STEPS

ENGLISH = "en"
"""The language of pages that name none, or one without a table."""
USUAL_COUNTING = "usual"
"""The syllables of the count that are said where nobody asks for others."""
OTHER_COUNTINGS = ("la-li",)
"""The others that every table has."""
COUNTED = {
    "half": "and_",
    "quarter": "first_quarter",
    "last-quarter": "last_quarter",
    "second-third": "second_third",
    "last-third": "last_third",
}
"""What has a syllable, and its field in `CountingWords`."""
LETTERED = (
    "hammer-on", "pull-off", "tap", "slap", "pop", "palm-mute", "let-ring", "rake", "natural-harmonic", "artificial-harmonic",
    "pinch-harmonic", "tapped-harmonic", "touched-harmonic", "bend", "vibrato-bar", "fade-in", "fade-out", "volume-swell",
)  # fmt: skip
"""Signs whose letters are words of a language."""
INDEXES = ("title", "writer", "first-line", "key", "tuning", "difficulty", "sign")
"""The indexes of a book, each with its heading."""
SLOT = "{}"
"""Stands in words for what the author wrote, or for a number."""
_ACCIDENTALS = {0: "", 1: "#", -1: "b"}
_SMALL = "{small}"


class PageWords(NamedTuple):
    """Words that pages need beside the author's. In some, `{}` stands for what the author wrote or for a number."""

    title: str
    date: str
    name: str
    lesson: str
    example: str
    tip: str
    caution: str
    difficulty: str
    level: str
    contents: str
    continued: str
    """The heading of a group that goes on over a page."""
    untitled: str
    words_by: str
    music_by: str
    words_and_music_by: str
    arranged_by: str
    tuning: str
    capo: str
    colon: str
    """What stands between a thing and what is said of it."""
    decimal: str
    """What stands before the parts of a number."""
    no_chord: str
    fret_number: str
    """What stands beside a grid that starts up the neck."""
    signs_used: str
    """The heading over the signs explained."""
    new_signs: str
    strain: str
    """Printed where a sign asks for a technique that strains the hand."""
    blank_paper: str
    chord_shapes: str
    own_hand: str
    """Printed under shapes that stretch the hand."""


class SignName(NamedTuple):
    """What a sign is called, and one sentence on how to play it."""

    name: str
    play: str


class Wordbook(NamedTuple):
    """The words of one language. `counting` is what the style has chosen of `countings`, or put together itself."""

    language: str
    page: PageWords
    indexes: Mapping[str, str]
    notes: Mapping[str, str]
    """Tonics by their international names: "F#", "Bb"."""
    keys: Mapping[Mode, str]
    instruments: Mapping[str, str]
    tunings: Mapping[str, str]
    letters: Mapping[str, str]
    """What is engraved at a sign."""
    countings: Mapping[str, CountingWords]
    signs: Mapping[str, SignName]
    counting: CountingWords

    def key_name(self, key: Key) -> str:
        """The key in words: "F♯ minor", "fis-Moll"."""
        step, alter = key.tonic
        note = self.notes[STEPS[step] + _ACCIDENTALS[alter]]
        return self.keys[key.mode].replace(_SMALL, note.lower()).replace(SLOT, note)

    def part_name(self, part: Part) -> str:
        """What a part is called on the page: as the author says, else by its instrument, else by its id."""
        return part.name if part.is_named else self.instruments.get(part.id, part.name)

    def instrument_name(self, name: str) -> str:
        """What an instrument is called: a preset in this language, any other as its author says."""
        return self.instruments.get(name, name)

    def number(self, value: float) -> str:
        """A number with the decimal sign of the language."""
        return f"{value:g}".replace(".", self.page.decimal)

    def labelled(self, what: str, text: str) -> str:
        """A thing and what is said of it: "Example 1: slowly"."""
        return f"{what}{self.page.colon}{text}"


def fill(words: str, text: str) -> str:
    """`words` with `text` in its slot."""
    return words.replace(SLOT, text)


@lru_cache(maxsize=1)
def table_languages() -> tuple[str, ...]:
    """The languages that have a table, in alphabetical order."""
    return tuple(sorted(path.stem for path in (data_folder() / "styles" / "words").glob("*.yaml")))


def base_language(language: str) -> str:
    """The language of the table for `language`, a BCP 47 tag, of which the first part counts; English without one."""
    first = language.split("-")[0].lower()
    return first if first in table_languages() else ENGLISH


def has_table(language: str) -> bool:
    """True where there is a table for `language`, or no language is named."""
    return not language or base_language(language) == language.split("-")[0].lower()


@lru_cache(maxsize=8)
def load_wordbook(language: str) -> Wordbook:
    """The words in `language`, which has a table. Raises ValueError where the table is not complete: a test rules it out."""
    path = data_folder() / "styles" / "words" / f"{language}.yaml"
    log = ProblemLog(str(path))
    tree = parse_yaml(path.read_text("utf-8"), log)
    if log.has_errors or not isinstance(tree, SourceMap):
        raise ValueError("\n".join(str(problem) for problem in log.problems))
    try:
        return read_wordbook(tree)
    except ValueError as error:
        raise ValueError(f"{path}: {error}") from None


def read_wordbook(tree: SourceMap) -> Wordbook:
    """The words of a table. Raises ValueError for a word that is missing, one too many, or empty."""
    page = _words(tree, "page", [field.replace("_", "-") for field in PageWords._fields])
    modes = {mode.name.lower(): mode for mode in Mode}
    keys = _words(tree, "keys", modes)
    countings = {
        name: CountingWords(
            **{COUNTED[key]: word for key, word in _words(tree["counting"], name, COUNTED).items()}
        )
        for name in _checked(tree, "counting", (USUAL_COUNTING, *OTHER_COUNTINGS))
    }
    signs = {
        name: SignName(**_words(tree["signs"], name, SignName._fields))
        for name in _checked(tree, "signs", (*SIGNS, *OTHER_SIGNS))
    }
    notes = [step + accidental for step in STEPS for accidental in _ACCIDENTALS.values()]
    return Wordbook(
        language=str(tree["language"]),
        page=PageWords(**{key.replace("-", "_"): words for key, words in page.items()}),
        indexes=_words(tree, "indexes", INDEXES),
        notes=_words(tree, "notes", notes),
        keys=MappingProxyType({modes[name]: words for name, words in keys.items()}),
        instruments=_words(tree, "instruments", PRESETS),
        tunings=_words(tree, "tunings", TUNINGS),
        letters=_words(tree, "letters", LETTERED),
        countings=MappingProxyType(countings),
        signs=MappingProxyType(signs),
        counting=countings[USUAL_COUNTING],
    )


def _checked(tree: SourceMap, section: str, wanted: Iterable[str]) -> SourceMap:
    """A section of a table. Raises ValueError unless it has just the keys that are wanted."""
    found = tree.get(section)
    if not isinstance(found, SourceMap):
        raise ValueError(f"{section} is missing")
    keys = set(wanted)
    for what, wrong in (("lacks", keys - found.keys()), ("has no use for", found.keys() - keys)):
        if wrong:
            raise ValueError(f"{section} {what} {', '.join(sorted(wrong))}")
    return found


def _words(tree: SourceMap, section: str, wanted: Iterable[str]) -> Mapping[str, str]:
    """A section of words. Raises ValueError like `_checked`, and for a value that is no words."""
    found = _checked(tree, section, wanted)
    for key, words in found.items():
        if not isinstance(words, str) or not words:
            raise ValueError(f"{section}: {key} says nothing")
    return MappingProxyType(found)
