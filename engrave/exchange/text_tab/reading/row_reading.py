"""What the rows of a block say of its measures: marks go to the notes, words and signs to the tree of the measure."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

from engrave.exchange.text_tab.lines import rows
from engrave.exchange.text_tab.lines.rows import Entry
from engrave.exchange.text_tab.lines.text_lines import RemarkLog, without_quotes
from engrave.exchange.text_tab.reading.drafts import Draft
from engrave.exchange.text_tab.reading.timing import Timed, TimedMeasure
from engrave.problems import NOWHERE
from engrave.reading.header import read_tempo
from engrave.reading.words import parse_span
from engrave.score.sign_list import DYNAMICS
from engrave.score.structure import Barline, NewLine
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.key import parse_key
from engrave.theory.metre import beat_text
from engrave.theory.repeats import GoBack
from engrave.theory.swing import Swing
from engrave.writing.key_values import lyrics_tree

Tree = dict[str, Any]
_AT = re.compile(
    r"@(?P<whole>\d{1,3})(?:(?P<part>\.\d{1,3})|\+(?P<over>\d{1,3}/[1-9]\d{0,2}))?(?: (?P<words>.*))?"
)
_ENDING = re.compile(r"(?P<numbers>[1-9]\d?(?:[,+][1-9]\d?)*)\.?-*\|?")
_SPAN = re.compile(r"(?P<sign>.*?[a-z0-9])-*\|?")
_NEAR = 1
"""Columns by which an entry may miss its note (house rule)."""
_FINEST = 64
_WORDED_SIGNS = {"segno": "segno", "coda": "coda", "to coda": "to-coda", "fine": "fine"}


def onset_of(entry: Entry, timed: Timed, measure: TimedMeasure) -> tuple[Fraction, str]:
    """The moment of an entry, in whole notes from the start of its measure, and its words.

    A beat may stand before the words as @3 or @2.5 or @2+1/3; else the note or rest under the entry decides, or the
    last one before it.
    """
    match = _AT.fullmatch(entry.text)
    if match is not None:
        beat = int(match["whole"]) + Fraction(match["over"] or match["part"] or 0)
        missing = measure.metre.length - measure.length if measure.pickup else Fraction(0)
        onset = (beat - 1) / measure.metre.unit - missing
        return max(onset, Fraction(0)), match["words"] or ""
    column = entry.column - timed.draft.measure.column
    near = min(timed.onsets, key=lambda pair: abs(pair[0] - column), default=None)
    if near is not None and abs(near[0] - column) <= _NEAR:
        return near[1], entry.text
    return max((onset for place, onset in timed.onsets if place <= column), default=Fraction(0)), entry.text


def put_shared(tree: Tree, drafts: Sequence[Draft], log: RemarkLog) -> None:
    """What all parts share: endings, D.C. and D.S., label, tempo, and the words of the row `measures`."""
    readers: dict[str, Callable[[Tree, str], None]] = {
        rows.ENDING: _put_ending,
        rows.ROADMAP: _put_roadmap,
        rows.LABEL: lambda tree, words: tree.update(label=without_quotes(words)),
        rows.TEMPO: _put_tempo,
        rows.MEASURES: _put_measures,
    }
    for entry in [entry for draft in drafts for entry in draft.entries if entry.row in readers]:
        try:
            readers[entry.row](tree, entry.text)
        except (ValueError, KeyError):
            _drop(entry, log)


def _drop(entry: Entry, log: RemarkLog) -> None:
    log.add(
        "dropped", entry.line, entry.column, f'"{entry.text[:40]}" is not understood in the row {entry.row}'
    )


def _put_ending(tree: Tree, words: str) -> None:
    match = _ENDING.fullmatch(words)
    if match is None:
        raise ValueError(words)
    numbers = [int(number) for number in re.split("[,+]", match["numbers"])]
    tree["ending"] = numbers[0] if len(numbers) == 1 else numbers


def _put_roadmap(tree: Tree, words: str) -> None:
    for word in words.split(", "):
        if word in _WORDED_SIGNS:
            tree[_WORDED_SIGNS[word]] = True
        else:
            tree["go-back"] = GoBack(word).value


def _put_tempo(tree: Tree, words: str) -> None:
    tree["tempo"] = without_quotes(words)
    read_tempo(tree["tempo"])


def _put_measures(tree: Tree, words: str) -> None:
    for pair in words.split(", "):
        key, _, value = pair.partition(" ")
        if pair == rows.PICKUP:
            continue
        if key == "number":
            tree[key] = int(value)
        elif key == "swing":
            tree[key] = Swing(value).value
        elif key == "counting":
            tree[key] = {"on": True, "off": False}[value]
        elif key == "key":
            tree[key] = parse_key(value).name
        elif key == "barline":
            tree[key] = Barline(value).value
        elif key == "new" and NewLine(value) is not NewLine.NONE:
            tree[key] = value
        else:
            raise ValueError(key)


def put_words(
    tree: Tree, part: Sequence[Timed | None], index: int, measures: Sequence[TimedMeasure], log: RemarkLog
) -> None:
    """Free words, dynamics, signs that last and lyrics of the measure `index` of one part."""
    timed, measure = part[index], measures[index]
    if timed is None:
        return
    found: dict[str, list[tuple[Fraction, str]]] = {}
    for entry in timed.draft.entries:
        onset, words = onset_of(entry, timed, measure)
        if onset >= measure.length or not words:
            _drop(entry, log)
        elif entry.row == rows.TEXT:
            found.setdefault("text", []).append((onset, without_quotes(words)))
        elif entry.row == rows.DYNAMICS and words in DYNAMICS:
            found.setdefault("dynamics", []).append((onset, words))
        elif entry.row == rows.CHORDS and _is_chord(without_quotes(words)):
            found.setdefault("chord", []).append((onset, without_quotes(words)))
        elif entry.row in (rows.DYNAMICS, rows.SPANS):
            sign = _read_span(entry, words, onset, part, index, measures)
            if sign:
                found.setdefault("spans", []).append((onset, sign))
            else:
                _drop(entry, log)
        elif entry.row == rows.CHORDS:
            _drop(entry, log)
    for key, pairs in found.items():
        _by_beat(tree, key, pairs, measure)
    _put_lyrics(tree, timed, log)


def _is_chord(words: str) -> bool:
    try:
        parse_chord_name(words)
    except ValueError:
        return False
    return True


def _by_beat(tree: Tree, key: str, pairs: list[tuple[Fraction, str]], measure: TimedMeasure) -> None:
    """Add words by beat to what the tree has there already."""
    missing = measure.metre.length - measure.length if measure.pickup else Fraction(0)
    first = beat_text(missing, measure.metre)
    there = tree.get(key, {})
    words: dict[str, list[str]] = {}
    for beat, text in (there if isinstance(there, dict) else {first: there}).items():
        words[str(beat)] = [text]
    for onset, text in pairs:
        words.setdefault(beat_text(onset + missing, measure.metre), []).append(text)
    ordered = sorted(words.items(), key=lambda pair: sum(map(Fraction, pair[0].split())))
    if key == "spans":
        tree[key] = {beat: texts[0] if len(texts) == 1 else texts for beat, texts in ordered}
    else:
        tree[key] = {beat: "; ".join(texts) if key == "text" else texts[0] for beat, texts in ordered}


def _read_span(
    entry: Entry,
    words: str,
    onset: Fraction,
    part: Sequence[Timed | None],
    index: int,
    measures: Sequence[TimedMeasure],
) -> str:
    """A sign that lasts as the score language writes it; "" for none. Dashes reach to where it ends."""
    match = _SPAN.fullmatch(words)
    sign = match["sign"] if match else words
    if " for " not in sign:
        length = _reach(entry, onset, part, index, measures)
        length = Fraction(-(-length * _FINEST // 1), _FINEST)
        sign = f"{sign} for {length.numerator}/{length.denominator}"
    try:
        parse_span(sign, onset, NOWHERE)
    except ValueError:
        return ""
    return sign


def _reach(
    entry: Entry, onset: Fraction, part: Sequence[Timed | None], index: int, measures: Sequence[TimedMeasure]
) -> Fraction:
    """How long an entry lasts in whole notes: up to the first note or rest that stands after its end."""
    length = -onset
    first = part[index]
    for timed, measure in zip(part[index:], measures[index:]):
        if timed is None or first is None or timed.draft.measure.numbers != first.draft.measure.numbers:
            break
        drawn = timed.draft.measure
        end = entry.end - drawn.column
        after = [
            start for place, start in timed.onsets if place >= end and (timed is not first or start > onset)
        ]
        if after:
            return length + min(after)
        length += measure.length
        if end <= drawn.width + 1:
            break
    return length


def _put_lyrics(tree: Tree, timed: Timed, log: RemarkLog) -> None:
    """The words of each verse, as many syllables as there are notes struck."""
    verses: dict[int, list[str]] = {}
    for entry in timed.draft.entries:
        if entry.row == rows.LYRICS:
            verses.setdefault(entry.number or 1, []).append(without_quotes(entry.text))
    if verses:
        tree["lyrics"] = lyrics_tree({verse: " ".join(words) for verse, words in sorted(verses.items())})
