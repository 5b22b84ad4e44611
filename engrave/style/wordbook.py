"""Everything that pages say of their own, in one language: one table of words a language, in `styles/words/`.

No word has a second home in code: a table that lacks one, or has one too many, is refused.
"""

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Annotated, NamedTuple

from engrave.score.sign_list import EXPLAINED_SIGNS
from engrave.score.structure import Part
from engrave.score.used_signs import OTHER_SIGNS
from engrave.settings.kinds import Keys, Words
from engrave.settings.shipped import names_in, read_record, read_tree, shipped_file
from engrave.source.tree import SourceMap
from engrave.theory.counting import CountingWords
from engrave.theory.instrument import PRESETS, TUNINGS
from engrave.theory.inversion import Inversion
from engrave.theory.key import Key, Mode
from engrave.theory.numbering import roman
from engrave.theory.pitch import STEPS
from engrave.theory.scales import SCALES

ENGLISH = "en"
"""The language of pages that name none, or one without a table."""
USUAL_COUNTING = "usual"
"""The syllables of the count that are said where nobody asks for others."""
OTHER_COUNTINGS = ("la-li",)
"""The others that every table has."""
LETTERED = (
    "hammer-on", "pull-off", "tap", "slap", "pop", "palm-mute", "let-ring", "rake", "natural-harmonic", "artificial-harmonic",
    "pinch-harmonic", "tapped-harmonic", "touched-harmonic", "bend", "vibrato-bar", "fade-in", "fade-out", "volume-swell",
)  # fmt: skip
"""Signs whose letters are words of a language."""
INDEXES = ("title", "writer", "first-line", "key", "tuning", "difficulty", "sign")
"""The indexes of a book, each with its heading."""
NO_BREAK = "\u00a0"
"""The space at which no line ends (Unicode: no-break space)."""
if TYPE_CHECKING:  # loaded for those who have necks
    from engrave.theory.neck_words import NeckWords

SLOT = "{}"
"""Stands in words for what the author wrote, or for a number."""
_ACCIDENTALS = {0: "", 1: "#", -1: "b"}
_NOTES = tuple(step + accidental for step in STEPS for accidental in _ACCIDENTALS.values())
_SMALL = "{small}"
_MODES = {mode.name.lower(): mode for mode in Mode}
OTHER_SCALES = tuple(name for name in SCALES if name not in _MODES)
"""Scales that are no key."""
NECK_WORDS = (
    "position", "arpeggio", "triad", "notes-a-string", *(inversion.value.replace(" ", "-") for inversion in Inversion),
)  # fmt: skip
"""What the title of a neck diagram says beside its scale or chord."""


class PageWords(NamedTuple):
    """Words that pages need beside the author's. In some, `{}` stands for what the author wrote or for a number."""

    title: Words
    date: Words
    name: Words
    lesson: Words
    example: Words
    chapter: Words
    preface: Words
    exercise: Words
    answers: Words
    glossary: Words
    recordings: Words
    track: Words
    page: Words
    """Before the number of a page in running words."""
    techniques: Words
    pieces: Words
    chords: Words
    tip: Words
    caution: Words
    difficulty: Words
    contents: Words
    continued: Words
    """The heading of a group that goes on over a page."""
    untitled: Words
    words_by: Words
    music_by: Words
    words_and_music_by: Words
    arranged_by: Words
    tuning: Words
    capo: Words
    sounds_in: Words
    """Said of a capo: the key that is heard."""
    colon: Words
    """What stands between a thing and what is said of it."""
    decimal: Words
    """What stands before the parts of a number."""
    no_chord: Words
    fret_number: Words
    """What stands beside a grid that starts up the neck."""
    strum: Words
    """What stands before a strum pattern at the head of a chord sheet."""
    signs_used: Words
    """The heading over the signs explained."""
    new_signs: Words
    strain: Words
    """Printed where a sign asks for a technique that strains the hand."""
    even: Words
    """Beside a pair of notes where swing ends: played as they are written."""
    blank_paper: Words
    chord_shapes: Words
    neck_diagrams: Words
    own_hand: Words
    """Printed under shapes that stretch the hand."""


class SignName(NamedTuple):
    """What a sign is called, and one sentence on how to play it."""

    name: Words
    play: Words


class WordTable(NamedTuple):
    """What a table of words says, as it is written."""

    language: str
    page: PageWords
    indexes: Annotated[Mapping[str, Words], Keys(INDEXES)]
    notes: Annotated[Mapping[str, Words], Keys(_NOTES)]
    keys: Annotated[Mapping[str, Words], Keys(tuple(mode.name.lower() for mode in Mode))]
    scales: Annotated[Mapping[str, Words], Keys(OTHER_SCALES)]
    necks: Annotated[Mapping[str, Words], Keys(NECK_WORDS)]
    instruments: Annotated[Mapping[str, Words], Keys(tuple(PRESETS))]
    tunings: Annotated[Mapping[str, Words], Keys(tuple(TUNINGS))]
    letters: Annotated[Mapping[str, Words], Keys(LETTERED)]
    countings: Annotated[Mapping[str, CountingWords], Keys((USUAL_COUNTING, *OTHER_COUNTINGS))]
    signs: Annotated[Mapping[str, SignName], Keys((*EXPLAINED_SIGNS, *OTHER_SIGNS), "a sign")]


class Wordbook(NamedTuple):
    """The words of one language. `counting` is what the style has chosen of `countings`, or put together itself."""

    language: str
    page: PageWords
    indexes: Mapping[str, str]
    notes: Mapping[str, str]
    """Tonics by their international names: "F#", "Bb"."""
    keys: Mapping[Mode, str]
    scales: Mapping[str, str]
    """Scales that are no key."""
    necks: Mapping[str, str]
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
        return _with_note(self.keys[key.mode], note)

    def neck_title(self, words: "NeckWords") -> str:
        """What a neck diagram shows: "A minor pentatonic, position V"."""
        tones = words.tones
        if tones.chord is not None:
            name = fill(self.necks[tones.kind], tones.chord.text.replace("#", "♯").replace("b", "♭"))
        else:
            mode = _MODES.get(tones.kind)
            template = self.scales[tones.kind] if mode is None else self.keys[mode]
            name = _with_note(template, self.notes[STEPS[tones.root.step] + _ACCIDENTALS[tones.root.alter]])
        said = [name]
        if words.inversion is not None:
            said.append(self.necks[words.inversion.value.replace(" ", "-")])
        if words.each:
            said.append(fill(self.necks["notes-a-string"], str(words.each)))
        if words.position:
            said.append(fill(self.necks["position"], roman(words.position)))
        return ", ".join([said[0], *(phrase.replace(" ", NO_BREAK) for phrase in said[1:])])

    def part_name(self, part: Part) -> str:
        """What a part is called on the page: as the author says, else by its instrument, else by its id."""
        return part.name if part.is_named else self.instruments.get(part.id, part.name)

    def instrument_name(self, name: str) -> str:
        """What an instrument is called: a preset in this language, any other as its author says."""
        return self.instruments.get(name, name)

    def number(self, value: float) -> str:
        """A number with the decimal sign of the language."""
        return f"{value:g}".replace(".", self.page.decimal)

    def difficulty(self, value: float) -> str:
        """How hard something is, in the one form that pages use: "2.4 / 10"."""
        return f"{self.number(value)} / {_HARDEST}"

    def title(self, title: str) -> str:
        """The title by which a piece is called, also one that has none."""
        return title or self.page.untitled

    def labelled(self, what: str, text: str) -> str:
        """A thing and what is said of it: "Example 1: slowly"."""
        return f"{what}{self.page.colon}{text}"


_HARDEST = 10
"""The greatest difficulty (fact: so the fingering rates)."""


def _with_note(words: str, note: str) -> str:
    """`words` with a note in its slot, or with its small letter."""
    return words.replace(_SMALL, note.lower()).replace(SLOT, note)


def fill(words: str, text: str) -> str:
    """`words` with `text` in its slot."""
    return words.replace(SLOT, text)


@lru_cache(maxsize=1)
def table_languages() -> tuple[str, ...]:
    """The languages that have a table, in alphabetical order."""
    return names_in("words")


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
    path = shipped_file("words", f"{language}.yaml")
    return read_wordbook(read_tree(path), str(path))


def read_wordbook(tree: SourceMap, file: str) -> Wordbook:
    """The words of a table. Raises ValueError for all words that are missing, too many, or empty."""
    table = read_record(WordTable, tree, file, header=("words",))
    keys = {mode: table.keys[mode.name.lower()] for mode in Mode}
    return Wordbook(
        **{**table._asdict(), "keys": MappingProxyType(keys)}, counting=table.countings[USUAL_COUNTING]
    )
