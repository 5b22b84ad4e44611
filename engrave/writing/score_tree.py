"""A whole score as the tree of the score language."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from engrave.score.paper_size import PaperSize
from engrave.score.structure import (
    Barline,
    Credits,
    Event,
    ExplainSigns,
    Grids,
    Measure,
    NewLine,
    Part,
    Score,
    SpanAt,
    Tempo,
    View,
)
from engrave.score.strums import NO_STRUM, StrumPattern
from engrave.theory.duration import DENOMINATORS, decompose_length
from engrave.theory.instrument import PRESETS
from engrave.theory.key import Key
from engrave.theory.metre import Metre
from engrave.theory.swing import Swing
from engrave.writing.key_values import LyricWriter, beat_tree, credits_tree, lyrics_tree, repeat_tree
from engrave.writing.music_tree import played_events, voice_tree
from engrave.writing.neck_tree import neck_tree
from engrave.writing.rewrite_head import describe_instrument, shape_tree
from engrave.writing.spellings import EventAt, find_spellings

Tree = dict[str, Any]
_COMMON = Metre((4,), 4)
_MOST_IN_SHARE = 999
_VOICE_KEYS = ("notes", "lower")


def score_tree(score: Score) -> Tree:
    """The tree that `dump_score` writes and the reader reads back as `score`, but for places in the text.

    Raises ValueError for what the language cannot say.
    """
    tree: Tree = {"score": 1, **_titles(score), **_parts(score), **_shapes(score), **_strums(score)}
    first = score.measures[0]
    if first.key != Key(0):
        tree["key"] = first.key.name
    if first.metre != _COMMON:
        tree["time"] = first.metre.text
    if first.tempo is not None:
        tree["tempo"] = tempo_text(first.tempo)
    if first.swing is not Swing.NONE:
        tree["swing"] = first.swing.value
    if first.counting:
        tree["counting"] = True
    measures = _shared(score)
    for part in score.parts:
        writer = _PartWriter(score, part)
        for index, measure in enumerate(measures):
            content = writer.write(index)
            if "parts" in tree:
                measure.setdefault("parts", {})[part.id] = content
            else:
                measure.update(content)
    return tree | {"measures": measures}


def _titles(score: Score) -> Tree:
    """The keys that are no music."""
    names = {name: getattr(score.credits, name) for name in Credits._fields if getattr(score.credits, name)}
    keys: Tree = {"title": score.title, "subtitle": score.subtitle, "credits": credits_tree(names)}
    keys |= {"copyright": score.copyright, "style": score.style, "house-style": score.house_style}
    keys = {key: value for key, value in keys.items() if value}
    keys |= size_tree(score.paper_size)
    if score.language:
        keys["language"] = score.language
    if score.view is not View.STAFF_AND_TAB:
        keys["view"] = score.view.value
    if score.grids is not Grids.ABOVE:
        keys["grids"] = score.grids.value
    if score.left_handed:
        keys["left-handed"] = True
    if score.explain_signs is not ExplainSigns.NONE:
        keys["explain-signs"] = score.explain_signs.value
    return keys


def size_tree(size: PaperSize) -> Tree:
    """The keys that ask for a sheet."""
    keys: Tree = {"size": size.text} if size.sides is not None else {}
    return keys | ({"orientation": size.orientation.value} if size.orientation is not None else {})


def _shapes(score: Score) -> Tree:
    shapes = {named.name.text: shape_tree(named.shape) for named in score.shapes}
    return {"shapes": shapes} if shapes else {}


def _strums(score: Score) -> Tree:
    strums: Tree = {}
    for pattern in score.strums:
        rows = {row.metre.text if row.metre is not None else "": row.text for row in pattern.rows}
        strums[pattern.name] = rows.get("", rows)
    return {"strums": strums} if strums else {}


def _parts(score: Score) -> Tree:
    """One part at the head where it is called by its instrument, else a list."""
    first = score.parts[0]
    usual = first.instrument.name
    if len(score.parts) == 1 and first.view is None and (first.id, first.name) == (usual, _title(usual)):
        return describe_instrument(first.instrument)
    return {"parts": [_part(part) for part in score.parts]}


def _title(identity: str) -> str:
    return identity[:1].upper() + identity[1:]


def _part(part: Part) -> Tree:
    keys: Tree = {"id": part.id}
    if part.name != _title(part.id) or (part.is_named and part.id in PRESETS):
        keys["name"] = part.name
    keys |= describe_instrument(part.instrument)
    if part.view is not None:
        keys["view"] = part.view.value
    if part.brace:
        keys["brace"] = part.brace
    return keys


def tempo_text(tempo: Tempo) -> str:
    """A tempo as it is written: words, a metronome mark, or both."""
    if tempo.value is None or tempo.per_minute is None:
        return tempo.words
    count = tempo.per_minute
    number = str(count.numerator) if count.denominator == 1 else f"{float(count):.10g}"
    mark = f"{tempo.value.name} = {number}"
    return f"{tempo.words}, {mark}" if tempo.words else mark


def _shared(score: Score) -> list[Tree]:
    """What all parts share, measure by measure."""
    rows: list[Tree] = []
    number = 1
    before = score.measures[0]
    for measure in score.measures:
        tree: Tree = {}
        counts = 0 if measure.pickup else measure.rests
        expected = 0 if measure.pickup and not rows else number
        if measure.number != expected:
            tree["number"] = measure.number
            counts, number = measure.rests, measure.number
        number += counts
        if rows:
            tree |= _changes(before, measure)
        tree |= _own(measure, measure is score.measures[-1])
        rows.append(tree)
        before = measure
    return rows


def _changes(before: Measure, measure: Measure) -> Tree:
    tree: Tree = {}
    if measure.metre != before.metre:
        tree["time"] = measure.metre.text
    if measure.key != before.key:
        tree["key"] = measure.key.name
    if measure.tempo is not None:
        tree["tempo"] = tempo_text(measure.tempo)
    if measure.swing is not before.swing:
        tree["swing"] = measure.swing.value
    if measure.counting != before.counting:
        tree["counting"] = measure.counting
    return tree


def _own(measure: Measure, is_last: bool) -> Tree:
    tree: Tree = {}
    if measure.label:
        tree["label"] = measure.label
    if measure.pickup:
        tree["pickup"] = True
    tree |= repeat_tree(measure.repeat)
    if measure.barline is not (Barline.FINAL if is_last else Barline.SINGLE):
        tree["barline"] = measure.barline.value
    if measure.new is not NewLine.NONE:
        tree["new"] = measure.new.value
    if measure.rests > 1:
        tree["multiple-rest"] = measure.rests
    return tree


class _PartWriter:
    """Writes what one part has in each measure, in order."""

    def __init__(self, score: Score, part: Part) -> None:
        self._measures = score.measures
        self._part = part
        self._own = find_spellings(part, score.measures, {})
        self._last: list[Event | None] = [None, None]
        self._lyrics = LyricWriter()
        self._strum: StrumPattern | None = None

    def write(self, index: int) -> Tree:
        content, measure = self._part.measures[index], self._measures[index]
        tree: Tree = {}
        rows = {
            "chord": [(chord.onset, chord.name.text) for chord in content.chords],
            "text": [(text.onset, text.text) for text in content.texts],
            "dynamics": [(text.onset, text.text) for text in content.dynamics],
            "spans": [(span.onset, span_text(span)) for span in content.spans],
            "clef": [(clef.onset, clef.clef.value) for clef in content.clefs],
        }
        tree |= {key: beat_tree(row, measure, content) for key, row in rows.items() if row}
        if content.neck is not None:
            tree["neck"] = neck_tree(content.neck.request)
        if content.strum != self._strum:
            tree["strum"] = content.strum.text if content.strum is not None else NO_STRUM
            self._strum = content.strum
        if content.repeats:
            return tree | {"measure-repeat": content.repeats}
        for voice in range(0 if content.is_strummed else 2):
            self._put_voice(tree, index, voice)
        if content.is_strummed:
            self._last = [content.voices[0].events[-1], None]
        lyrics = self._lyrics.write(content.voices[0].events)
        if lyrics:
            tree["lyrics"] = lyrics_tree(lyrics)
        return tree

    def _put_voice(self, tree: Tree, index: int, voice: int) -> None:
        voices = self._part.measures[index].voices
        if voice >= len(voices):
            self._last[voice] = None
            return
        played = list(played_events(voices[voice]))
        own = [self._own[EventAt(index, voice, order)] for order in range(len(played))]
        try:
            tree[_VOICE_KEYS[voice]] = voice_tree(voices[voice], own, self._last[voice])
        except ValueError as error:
            where = f"{self._part.name}, measure {self._measures[index].number}"
            raise ValueError(f"{where}: {error}") from None
        self._last[voice] = played[-1] if played and played[-1].notes else None


def span_text(span: SpanAt) -> str:
    """A sign that lasts, as it is written."""
    name = f"{span.name} {span.detail}" if span.detail else span.name
    if span.measures:
        return f"{name} for {span.measures} measure{'s' if span.measures > 1 else ''}"
    return f"{name} for {_length_text(span.length)}"


def _length_text(length: Fraction) -> str:
    """A share of a whole note where that can be written, else note values."""
    if length.denominator in DENOMINATORS and length.numerator <= _MOST_IN_SHARE:
        return f"{length.numerator}/{length.denominator}"
    return " + ".join(value.name for value in decompose_length(length))
