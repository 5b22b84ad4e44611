"""The words in which scores are told: one table a language, in `styles/spoken/`.

What signs, keys and instruments are called comes from the words of pages; no word has two homes.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Annotated, NamedTuple

from engrave.score.sign_list import DYNAMICS, SignName
from engrave.score.techniques import RightFinger
from engrave.settings.kinds import Keys, Words
from engrave.settings.shipped import read_record, read_tree, shipped_file
from engrave.source.tree import SourceMap
from engrave.style.wordbook import base_language
from engrave.theory.bends import KINDS
from engrave.theory.clef import Clef
from engrave.theory.duration import DENOMINATORS
from engrave.theory.pitch import STEPS

ALTERS = {-2: "double-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
"""The keys of accidentals, by semitones."""
REACHED = (SignName.HAMMER_ON, SignName.PULL_OFF, SignName.SLIDE, SignName.SLURRED_SLIDE)
"""Signs that are said before the fret that they lead to."""
CHORD_WORDS = ("m", "dim", "aug", "maj", "half", "sus", "add", "no", "alt", "sharp", "flat", "none")
"""What is said of chord names letter by letter."""
STEP_COUNT = 12
"""Bends go by quarters of a whole step up to three whole steps (`theory/bends.py`)."""
_NOTE_NAMES = tuple(step + sign for step in STEPS for sign in ("bb", "b", "#", "##"))


class Phrases(NamedTuple):
    """Sentences and parts of them, with `{}` or named slots for what a score says."""

    overview: Words
    length: Words
    form: Words
    order: Words
    strings_tuned: Words
    range: Words
    highest_fret: Words
    signs_used: Words
    chords_used: Words
    octaves: Words
    written: Words
    octave_lower: Words
    measure: Words
    measures: Words
    from_to: Words
    pickup: Words
    section: Words
    chord: Words
    key: Words
    time: Words
    common_time: Words
    cut_time: Words
    tempo: Words
    per_minute: Words
    repeat_start: Words
    repeat_end: Words
    ending: Words
    segno: Words
    coda: Words
    to_coda: Words
    fine: Words
    double_barline: Words
    dashed_barline: Words
    no_barline: Words
    final_barline: Words
    same_measure: Words
    same_measures: Words
    same_pickup: Words
    again: Words
    again_many: Words
    upper_voice: Words
    lower_voice: Words
    one_voice: Words
    beat: Words
    beat_between: Words
    for_beats: Words
    for_beat: Words
    for_measures: Words
    for_measure: Words
    fret: Words
    not_played: Words
    octave: Words
    together: Words
    """What stands between the notes of a chord."""
    same_notes: Words
    """A chord struck again."""
    held: Words
    tied: Words
    whole_rest: Words
    measures_rest: Words
    tuplet: Words
    times: Words
    finger: Words
    finger_thumb: Words
    finger_open: Words
    words: Words
    verse: Words
    syllable_held: Words
    instruction: Words
    dynamic: Words
    clef: Words
    slur_begins: Words
    slur_ends: Words
    phrase_begins: Words
    phrase_ends: Words
    upper_note: Words
    natural: Words
    trill_to: Words
    node: Words
    touched: Words
    bend: Words
    pre_bend: Words
    release: Words
    release_to: Words
    hold: Words
    bar_by: Words
    over: Words
    quote_open: Words
    quote_close: Words


class ValueNames(NamedTuple):
    """A note value: one note of it, several, its rest; and all that with a dot."""

    one: Words
    many: Words
    rest: Words
    dotted: Words
    dotted_many: Words
    dotted_rest: Words


class SpokenTable(NamedTuple):
    """What a table of spoken words says. Lists begin with one, those of frets with the open string."""

    language: str
    lowers_names: bool
    """Names of signs begin with a small letter inside a sentence."""
    phrases: Phrases
    values: Annotated[Mapping[str, ValueNames], Keys(tuple(map(str, DENOMINATORS)))]
    double_dotted: Words
    counts: tuple[Words, ...]
    strings: tuple[Words, ...]
    frets: tuple[Words, ...]
    notes: tuple[Words, ...]
    accidentals: Annotated[Mapping[str, Words], Keys(tuple(ALTERS.values()))]
    note_names: Annotated[Mapping[str, Words], Keys(pattern="|".join(_NOTE_NAMES))]
    """Altered notes that are not called by the rule of `accidentals`."""
    chord_words: Annotated[Mapping[str, Words], Keys(CHORD_WORDS)]
    steps: tuple[Words, ...]
    bar_moves: Annotated[Mapping[str, Words], Keys(KINDS)]
    pluck: Annotated[Mapping[str, Words], Keys(tuple(finger.value for finger in RightFinger))]
    reached: Annotated[Mapping[str, Words], Keys(tuple(sign.value for sign in REACHED))]
    clefs: Annotated[Mapping[str, Words], Keys(tuple(clef.value for clef in Clef))]
    dynamics: Annotated[Mapping[str, Words], Keys(DYNAMICS)]


@lru_cache(maxsize=8)
def load_spoken(language: str) -> SpokenTable:
    """The words for `language`, a BCP 47 tag; English where there is no table. Raises ValueError for a table with gaps."""
    path = shipped_file("spoken", f"{base_language(language)}.yaml")
    return read_spoken(read_tree(path), str(path))


def read_spoken(tree: SourceMap, file: str) -> SpokenTable:
    """The words of a table. Raises ValueError for all words that are missing, too many, or empty."""
    return read_record(SpokenTable, tree, file, header=("spoken",))


def fill(words: str, text: str = "", /, **slots: str) -> str:
    """`words` with `text` in the slot `{}` and others in slots of their names."""
    for name, value in {"": text, **slots}.items():
        words = words.replace(f"{{{name}}}", value)
    return words
