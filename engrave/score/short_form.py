"""The short form of events: what a player says in words, typed after a fret or in a row of events.

    row     = event { event }                                one after the other, each of the duration they stand behind
    event   = ( notes | pitches | "rest" | "hidden-rest" | "tie" | "slash" ) { word }
    notes   = string ":" fret { "+" string ":" fret }        3:2 or 5:3+4:2+3:0
    pitches = pitch { "+" pitch }                            F#4 or C4+E4+G4
    fret    = number | number "." number | "x" | "tie"       3, 2.7 (a harmonic's node), a dead note, a held one
    word    = mark                                           any of MARKS: hammer-on, slide, accent
            | "p" | "i" | "m" | "a" | "c"                    the right hand
            | "finger" ( "0" ... "4" | "T" )                 the left hand
            | "bend" amounts                                 bend full then 1 1/2 (theory/bends.py)
            | "vibrato-bar" move                             vibrato-bar dip 1/2 (theory/vibrato_bar.py)
            | "trill" number                                 the fret of the upper note
            | ( "artificial-" | "tapped-" | "touched-" ) "harmonic" number    where the string is touched
            | "pitch" pitch                                  how the note is spelled

Spaces separate words, and words stand in any order. Behind a string in a mapping stands a fret with its words: {3: 7 bend
full}, and 3:7 bend full says the same. In a row, marks of an event (`Carrier.EVENT`) are the event's, marks of a note
those of each of its notes, struck or held; words that say more need a single note. After pitches and rests stand marks
alone, which are the event's.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from enum import Enum
from functools import lru_cache
from typing import NamedTuple

from engrave.problems import nearest_word
from engrave.score.sign_list import (
    DYNAMICS,
    MARKS,
    NUMBERED_SPANS,
    SIGNS,
    SPANS,
    TOUCHED_HARMONICS,
    Carrier,
    SignName,
)
from engrave.score.techniques import RightFinger, Technique, amount_words
from engrave.theory.bends import AMOUNT_WORDS, BEND_WORDS, KINDS

REST, HIDDEN, TIE, SLASH, DEAD = "rest", "hidden-rest", "tie", "slash", "x"
_ALONE = (REST, HIDDEN, TIE, SLASH)
BEND, BAR, TRILL = SignName.BEND, SignName.VIBRATO_BAR, SignName.TRILL
FINGER, PLUCK, PITCH = SignName.FINGER, SignName.PLUCK, "pitch"
PLUCKS = tuple(finger.value for finger in RightFinger)
"""The letters for the fingers of the right hand."""
FINGERS = ("0", "1", "2", "3", "4", "T")
"""The fingers of the left hand; 0 for an open string."""
WITH_AMOUNT = (BEND, BAR, PLUCK, TRILL, *TOUCHED_HARMONICS)
"""Marks of a note that say how far, where or with what."""

_KNOWN = (*MARKS, BEND, BAR, FINGER, PITCH, *TOUCHED_HARMONICS)
_MARKS = frozenset(MARKS)
_NUMBERED = frozenset((TRILL, *TOUCHED_HARMONICS))
_AMOUNT = re.compile(r"[0-9]{1,3}(/[0-9]{1,3})?")
_FRET = re.compile(r"[0-9]{1,3}")
_NODE = re.compile(r"[0-9]{1,2}\.[0-9]{1,2}")
_ON_STRING = re.compile(r"([0-9]+):(.*)")
_PITCH = r"[A-Ga-g](?:##|#|bb|b|♯♯|♯|♭♭|♭|♮)?-?[0-9]"
_EVENT = re.compile(rf"{REST}|{HIDDEN}|{TIE}|{SLASH}|[0-9]+:\S*|{_PITCH}(?:\+\S*)?|[A-G][a-z]*[0-9]")
"""What starts an event in a row; misspelt pitches too."""
_LIKE_PITCH = re.compile(rf"[A-G]|{_PITCH}")
_HIGHEST_STRING = 8
_USUAL_MARKS = "marks are words such as hammer-on, slide, vibrato or accent"


class WordsError(ValueError):
    """What is wrong with a word; `index` counts the words of the text, `hint` says what would be right."""

    def __init__(self, index: int, what: str, hint: str = "") -> None:
        super().__init__(what)
        self.index = index
        self.hint = hint


class TypedMark(NamedTuple):
    """A mark, its amount ("" for none), and the number of its word in the text (`at`)."""

    sign: SignName
    amount: str = ""
    at: int = 0


class TypedWords(NamedTuple):
    """What the words after a fret say; `finger` and `pitch` are "" where they say nothing of them."""

    marks: tuple[TypedMark, ...] = ()
    finger: str = ""
    pitch: str = ""


class FretWords(NamedTuple):
    """A fret and its words. `fret` is 0 for dead notes and ties; `node` is a harmonic's place between frets, else ""."""

    fret: int
    typed: TypedWords = TypedWords()
    is_tie: bool = False
    node: str = ""


class EventKind(Enum):
    """What an event of a row is."""

    NOTES = "notes"
    PITCHES = "pitches"
    REST = REST
    HIDDEN = HIDDEN
    TIE = TIE
    SLASH = SLASH


class OnString(NamedTuple):
    """One note of an event; `offset` is how far into the event's first word it stands, in characters."""

    string: int
    offset: int
    words: FretWords


class TextEvent(NamedTuple):
    """An event of a row. `at` is the number of its first word in the text; `text` is all of it.

    `typed` are the words of a tie, and the marks of the whole event for the others. Where `error` is given, nothing
    else can be used.
    """

    kind: EventKind
    at: int
    text: str
    notes: tuple[OnString, ...] = ()
    pitches: tuple[str, ...] = ()
    typed: TypedWords = TypedWords()
    error: WordsError | None = None


_SHORT_ROW = 1000
"""Characters up to which a row is parsed as a whole and remembered, for music repeats itself (house rule)."""


@lru_cache(maxsize=4096)
def parse_fret(text: str) -> FretWords:
    """Read "3", "3 hammer-on p", "x accent", "tie bend release", "2.7 natural-harmonic". Raises WordsError."""
    words = text.split()
    if not words:
        raise WordsError(0, "a fret is missing here", "write a number, x or tie")
    head = _read_fret(words[0])
    return _with_words(head, _read_words(words, 1))


@lru_cache(maxsize=4096)
def parse_row(text: str) -> tuple[TextEvent, ...]:
    """The events of a row, at least one; each holds its own error."""
    return tuple(_each_event(text))


def row_events(text: str) -> Iterable[TextEvent]:
    """The events of `parse_row` one after the other; those of a long row are parsed when they are asked for."""
    return parse_row(text) if len(text) <= _SHORT_ROW else _each_event(text)


def _each_event(text: str) -> Iterator[TextEvent]:
    words = text.split() or [""]
    starts = [0]
    for index in range(1, len(words)):
        if words[index - 1] != PITCH and _EVENT.fullmatch(words[index]):
            starts.append(index)
    for start, stop in zip(starts, [*starts[1:], len(words)]):
        yield _parse_event(words[start:stop], start)


def share_words(
    typed: TypedWords, count: int, words: Sequence[str], start: int
) -> tuple[TypedWords, TypedWords]:
    """What is said of each of `count` notes, and what of their event. Raises WordsError for what needs a single note.

    `words` are those of the event, `start` is where they begin in the text.
    """
    own = tuple([mark for mark in typed.marks if mark.amount or SIGNS[mark.sign].carrier is Carrier.NOTE])
    shared = TypedWords(tuple([mark for mark in typed.marks if mark not in own]))
    if count == 1:
        return typed._replace(marks=own), shared
    unclear = next((mark.at for mark in typed.marks if mark.amount), None)
    if unclear is None and (typed.finger or typed.pitch):
        unclear = start + words.index(FINGER if typed.finger else PITCH)
    if unclear is not None:
        hint = "write the chord as a mapping, such as {5: 3 finger 3, 4: 2 finger 2}"
        raise WordsError(unclear, f'"{words[unclear - start]}" belongs to one note of this chord', hint)
    return TypedWords(own), shared


def technique_texts(techniques: Sequence[Technique], finger: str = "", pitch: str = "") -> list[str]:
    """The words for techniques, a finger and a spelling, as they are read back."""
    marks = [(technique.sign.value, amount_words(technique)) for technique in techniques]
    return format_words(marks, finger, pitch)


def format_words(marks: Sequence[tuple[str, str]], finger: str = "", pitch: str = "") -> list[str]:
    """The words for marks (name, amount), a finger and a spelling, as they are read back."""
    words = [
        amount if name == PLUCK else f"{name} {amount}" if name in WITH_AMOUNT and amount else name
        for name, amount in marks
    ]
    return [*words, *([f"{FINGER} {finger}"] if finger else []), *([f"{PITCH} {pitch}"] if pitch else [])]


def _read_fret(word: str, index: int = 0) -> FretWords:
    if _FRET.fullmatch(word):
        return FretWords(int(word))
    if word == TIE:
        return FretWords(0, is_tie=True)
    if word in (DEAD, "X"):
        return FretWords(0, TypedWords((TypedMark(SignName.DEAD, "", index),)))
    if _NODE.fullmatch(word):
        return FretWords(round(float(word)), node=word)
    raise WordsError(index, f'"{word}" is not a fret', "write a number, x for a dead note, or tie")


def _with_words(head: FretWords, typed: TypedWords, index: int = 0) -> FretWords:
    if head.is_tie and typed.pitch:
        raise WordsError(index, "a held note keeps its spelling", "write pitch where the note is struck")
    return head._replace(typed=typed._replace(marks=head.typed.marks + typed.marks))


def _parse_event(words: Sequence[str], index: int) -> TextEvent:
    """One event; `index` is where its words start in the text."""
    text, first = " ".join(words), words[0]
    kind = _kind(first)
    try:
        if kind is None:
            raise _no_event(text, first, index)
        typed = _read_words(words, 1, index)
        if kind is EventKind.NOTES:
            return _parse_notes(TextEvent(kind, index, text), words, typed)
        if kind is EventKind.TIE:
            return TextEvent(
                kind, index, text, typed=_with_words(FretWords(0, is_tie=True), typed, index).typed
            )
        _check_plain(typed, words, index, kind)
        pitches = tuple(first.split("+")) if kind is EventKind.PITCHES else ()
        return TextEvent(kind, index, text, pitches=pitches, typed=typed)
    except WordsError as error:
        return TextEvent(kind or EventKind.REST, index, text, error=error)


def _kind(first: str) -> EventKind | None:
    if first in _ALONE:
        return EventKind(first)
    if ":" in first:
        return EventKind.NOTES
    return EventKind.PITCHES if _LIKE_PITCH.match(first) else None


def _no_event(text: str, first: str, index: int) -> WordsError:
    hint = "write string:fret such as 3:0, rest, tie or a pitch such as F#4"
    near = nearest_word(first, _ALONE) if first.isalpha() else None
    return WordsError(index, f'"{text}" is not an event', f'did you mean "{near}"?' if near else hint)


def _parse_notes(event: TextEvent, words: Sequence[str], typed: TypedWords) -> TextEvent:
    parts = words[0].split("+")
    own, shared = share_words(typed, len(parts), words, event.at)
    notes, offset = [], 0
    for part in parts:
        match = _ON_STRING.fullmatch(part)
        if match is None:
            hint = "notes of a chord are joined as 5:3+4:2, without spaces"
            raise WordsError(event.at, f'"{part}" is not a string and fret', hint)
        if not 1 <= int(match[1][:3]) <= _HIGHEST_STRING:
            hint = f"strings count from 1, the thinnest, to {_HIGHEST_STRING}"
            raise WordsError(event.at, f"there is no string {match[1][:9]}", hint)
        fret = _read_fret(match[2], event.at)
        notes.append(OnString(int(match[1]), offset, _with_words(fret, own, event.at)))
        offset += len(part) + 1
    return event._replace(notes=tuple(notes), typed=shared)


def _check_plain(typed: TypedWords, words: Sequence[str], index: int, kind: EventKind) -> None:
    """Raise WordsError for more than marks after a rest, a slash or pitches."""
    for position in range(1, len(words)):
        if words[position] not in _MARKS:
            names = {EventKind.REST: "a rest", EventKind.HIDDEN: "a rest", EventKind.SLASH: "a slash"}
            what = f'"{words[position]}" cannot stand after {names.get(kind, "a pitch")}'
            hint = "only marks can" if kind is not EventKind.PITCHES else "write the note as string:fret"
            raise WordsError(index + position, what, hint)


def _read_words(words: Sequence[str], first: int, start: int = 0) -> TypedWords:
    """What the words from `first` on say; the word before them is the example's. `start` is added to all indices."""
    if len(words) == first:
        return TypedWords()
    marks: list[TypedMark] = []
    singles: dict[str, str] = {}
    index = first
    while index < len(words):
        word, stop = words[index], index + 1
        if word in (BEND, BAR, FINGER, PITCH) or word in _NUMBERED:
            stop = _end_of_amount(words, index, start)
        elif word not in _MARKS and word not in PLUCKS:
            raise _unknown(words, index, first, start)
        name = PLUCK if word in PLUCKS else word
        amount = word if word in PLUCKS else " ".join(words[index + 1 : stop])
        if amount:
            if name in singles:
                raise WordsError(start + index, f'"{name}" is written twice after one fret', "write it once")
            singles[name] = amount
        if name not in (FINGER, PITCH):
            marks.append(TypedMark(SignName(name), amount, start + index))
        index = stop
    return TypedWords(tuple(marks), singles.get(FINGER, ""), singles.get(PITCH, ""))


def _end_of_amount(words: Sequence[str], index: int, start: int) -> int:
    """Where the amount of the word at `index` ends. Raises WordsError when it has none and needs one."""
    word, rest = words[index], words[index + 1 :]
    length = 0
    if word == BEND:
        length = _count(rest, BEND_WORDS)
    elif word == BAR:
        length = 1 + _count(rest[1:], AMOUNT_WORDS) if rest and rest[0] in KINDS else 0
    elif rest and word == FINGER:
        length = int(rest[0] in FINGERS)
    elif rest and word == PITCH:
        length = int(re.fullmatch(_PITCH, rest[0]) is not None)
    elif rest:
        length = int(_FRET.fullmatch(rest[0]) is not None)
    if length or word == TRILL:
        return index + 1 + length
    raise _without_amount(words, index, start)


def _count(words: Sequence[str], known: Sequence[str]) -> int:
    """How many of the first words are amounts or known."""
    for index, word in enumerate(words):
        if word not in known and not _AMOUNT.fullmatch(word):
            return index
    return len(words)


_WORDS_AFTER: dict[str, Sequence[str]] = {BEND: BEND_WORDS, BAR: KINDS, FINGER: FINGERS}
_NEEDS: dict[str, tuple[str, str]] = {
    BEND: ("a bend needs an amount", "bend full"),
    BAR: ("a vibrato-bar needs its move", "vibrato-bar dip 1/2"),
    FINGER: ("a finger is missing after finger", "finger 2"),
    PITCH: ("a pitch is missing after pitch", "pitch F#4"),
}


def _without_amount(words: Sequence[str], index: int, start: int) -> WordsError:
    word, following = words[index], words[index + 1 : index + 2]
    wanted = _WORDS_AFTER.get(word, ())
    what, example = _NEEDS.get(
        word, (f"this {word} needs the fret where the string is touched", f"{word} 15")
    )
    if following and not (following[0] in _KNOWN or following[0] in PLUCKS):
        what = f'"{following[0]}" is not understood after {word}'
        near = nearest_word(following[0], wanted)
        if near is not None:
            return WordsError(start + index + 1, what, f'did you mean "{near}"?')
        if word == FINGER:
            hint = "fingers are 1 to 4, T for the thumb, 0 for an open string"
            return WordsError(start + index + 1, what, hint)
    return WordsError(start + index, what, f"for example {words[0]} {example}")


def _unknown(words: Sequence[str], index: int, first: int, start: int) -> WordsError:
    """Why a word says nothing, and what would."""
    word, head = words[index], words[0]
    at = start + index
    if word == PLUCK:
        return WordsError(at, f'"{word}" is not needed', f"the letter says it: {head} p")
    if word in KINDS:
        return WordsError(at, f'"{word}" is a move of the vibrato bar', f"write {head} vibrato-bar {word}")
    if word in BEND_WORDS or ("/" in word and _AMOUNT.fullmatch(word)):
        return WordsError(at, f'"{word}" has no word before it', f"for example {head} bend full")
    if _AMOUNT.fullmatch(word) or word in FINGERS:
        hint = f"for example {head} finger 2, or {head} trill 5"
        return WordsError(at, f'"{word}" has no word before it', hint)
    if word in (DEAD, "X"):
        return WordsError(at, f'"{word}" stands alone, without a string', "write a dead note as 3:x")
    if word == "+" or word.startswith("+") or words[index - 1].endswith("+"):
        hint = "notes of a chord are joined as 5:3+4:2, without spaces"
        return WordsError(at, f'"{word}" stands alone', hint)
    if word in _ALONE:
        return WordsError(at, f'"{word}" stands alone, without a string', "write it as an event of its own")
    if word in SPANS:
        fret = " 5" if word in NUMBERED_SPANS else ""
        return WordsError(at, f'"{word}" goes on over several notes', f"write spans: {word}{fret} for 1/2")
    if word in DYNAMICS:
        return WordsError(at, f'"{word}" is not a mark but a dynamic', f"write dynamics: {word}")
    if re.fullmatch(r"[0-9]+\W[0-9xX]+", word):
        return WordsError(at, f'"{word}" is not understood', "write string:fret, such as 3:2")
    if word.lower() in PLUCKS or word.lower() in _KNOWN:
        return WordsError(at, f'"{word}" is not a mark', f'did you mean "{word.lower()}"?')
    near = nearest_word(word, (*_KNOWN, *_ALONE))
    return WordsError(at, f'"{word}" is not a mark', f'did you mean "{near}"?' if near else _USUAL_MARKS)
