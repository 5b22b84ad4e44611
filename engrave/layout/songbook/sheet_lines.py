"""The words of a song line by line, with the chord names over the syllables at which they change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.measures.chord_names import ChordNameMeasurer, ChordNameShape
from engrave.layout.measures.words import printed_syllable
from engrave.layout.songbook.verse_lines import Token, break_verses
from engrave.layout.text.boxes import FlowBox
from engrave.marks.mark import Group, Mark, Source, Text
from engrave.marks.role import Role
from engrave.score.structure import ChordAt, Measure, NewLine, Part, Score, Syllable
from engrave.style.sections import POINTS_PER_MM, Style


class Stanza(NamedTuple):
    """The lines of one section in one verse; none where only its name is said, for it stands before. `label` may be ""."""

    verse: int
    label: str
    lines: tuple[Sequence[Token], ...]


def count_verses(part: Part) -> int:
    """How many verses a part has at most under one note."""
    return max(
        (len(e.lyrics) for m in part.measures for v in m.voices for e in v.events if e.lyrics), default=0
    )


def decide_stanzas(
    verses: Sequence[Sequence[Sequence[Token]]], labels: Sequence[str], refrains: Sequence[str]
) -> list[Stanza]:
    """The lines of each verse cut into its sections, each called as `labels` says by number.

    A section with the words and chords of one that stands before under the same name is only named, and so is a refrain
    (a section called as one of `refrains`) in the verses under which nothing is written: the first verse has it for all
    (common practice, no source).
    """
    known: set[tuple[object, ...]] = set()
    stanzas: list[Stanza] = []
    sections: list[dict[int, tuple[Sequence[Token], ...]]] = [
        {number: tuple(lines) for number, lines in groupby(verse, key=lambda line: line[-1].section)}
        for verse in verses
    ]
    for verse, own in enumerate(sections):
        for number, label in enumerate(labels):
            lines = own.get(number, ())
            sung = (
                label,
                *(
                    (token.syllable and token.syllable[:2], _chord_text(token))
                    for line in lines
                    for token in line
                ),
            )
            if lines and label and sung in known:
                lines = ()
            elif not lines and not (own and number in sections[0] and _is_refrain(label, refrains)):
                continue
            known.add(sung)
            stanzas.append(Stanza(verse, label, lines))
    return stanzas


def _chord_text(token: Token) -> str:
    return token.chord.name.text if token.chord is not None else ""


def _is_refrain(label: str, names: Sequence[str]) -> bool:
    return label.casefold().split(" ")[0].strip(":.0123456789") in names if label else False


def first_sung_line(score: Score, style: Style) -> str:
    """The first line of the first verse, as a chord sheet would end it; "" for a song without words."""
    part = next((p for p in score.parts if count_verses(p)), None)
    if part is None:
        return ""
    paper = style.paper
    width = (paper.width - paper.margin_inner - paper.margin_outer) * POINTS_PER_MM
    words = ""
    lines = SheetSetter(score, part, width, style).break_lines()[0]
    for token in lines[0] if lines else ():
        if token.syllable is not None:
            words += printed_syllable(token.syllable.text) + ("" if token.syllable.hyphen else " ")
    return words.strip().rstrip(_LINE_ENDS)


_LINE_ENDS = ",.;:!?"
"""What a first line does not end with in an index (common practice, no source)."""


class SheetSetter:
    """Sets the verses of one song in lines no wider than `width` points."""

    def __init__(self, score: Score, part: Part, width: float, style: Style) -> None:
        """The words are those of `part`."""
        self._score = score
        self._part = part
        self._chords = next((p for p in score.parts if any(m.chords for m in p.measures)), part)
        self._width = width
        self._book = style.book
        self._body = style.prose.body
        self._size = style.prose.body.size * style.book.sheet_words
        self._label = style.prose.heading_3
        self._names = ChordNameMeasurer(style.words)
        self._scale = self._size * style.book.sheet_chords / style.words.chord_name.size
        self.widest = 0.0
        """The width of the widest line that has been set, in points."""

    def set_verses(self) -> Iterator[FlowBox]:
        """The lines of every verse; the first of each is marked with its number where there are several."""
        labels = ["", *(measure.label for measure in self._score.measures if measure.label)]
        count = count_verses(self._part)
        numbered = -1
        for stanza in decide_stanzas(self.break_lines(), labels, self._book.refrain_names):
            label = stanza.label
            is_first = stanza.verse > numbered and bool(stanza.lines)
            if is_first and count > 1:
                label = f"{stanza.verse + 1}." + (f"  {label}" if label else "")
            numbered = stanza.verse if is_first else numbered
            yield from self._set_stanza(label, stanza.lines)

    def break_lines(self) -> list[list[Sequence[Token]]]:
        """The lines of each verse."""
        verses = [self._spread(list(self._tokens(verse))) for verse in range(count_verses(self._part))]
        reach = max(measure.length for measure in self._score.measures) / 2
        return break_verses(verses, self._width, reach, self._book)

    def _set_stanza(self, label: str, lines: Sequence[Sequence[Token]]) -> list[FlowBox]:
        """One section, its name over it; short ones stay whole, of longer ones no line is left alone."""
        gap = self._size * self._book.stanza_gap
        boxes = [self._set_line(line) for line in lines]
        count, kept = len(boxes), self._book.sheet_together
        for number, box in enumerate(boxes):
            whole = count <= self._book.whole_stanza or number + 1 < kept or number + 1 > count - kept
            between = self._size * self._book.sheet_line_gap
            boxes[number] = box._replace(
                gap=between if number else gap,
                gap_least=between if number else gap,
                keeps_next=whole and number + 1 < count,
            )
        if not label:
            return boxes
        kind = (
            self._label if lines else self._body._replace(face=f"{self._body.face}-italic", size=self._size)
        )
        mark = Text(Role.LABEL, 0.0, -kind.size, label, kind.face, kind.size)
        height = kind.size * self._book.sheet_label_pitch
        head = FlowBox(height, (Group(0.0, 0.0, 1.0, (mark,)),), gap, gap, keeps_next=bool(boxes))
        self.widest = max(self.widest, text_face(kind.face).width(label, kind.size))
        return [head, *(box._replace(gap=0.0, gap_least=0.0) for box in boxes[:1]), *boxes[1:]]

    def _tokens(self, verse: int) -> Iterator[Token]:
        label, starts_line, start, section = "", False, Fraction(0), 0
        for measure, words, chords in zip(
            self._score.measures, self._part.measures, self._chords.measures, strict=True
        ):
            sung = {
                event.onset: event.lyrics[verse]
                for voice in words.voices
                for event in voice.events
                if verse < len(event.lyrics) and event.lyrics[verse] is not None
            }
            if measure.label:
                label = measure.label
                section += 1
            starts_line = starts_line or measure.new is not NewLine.NONE or bool(measure.label)
            start += measure.length
            if not sung:
                continue
            named = {chord.onset: chord for chord in chords.chords}
            for onset in sorted({*sung, *named}):
                syllable, chord = sung.get(onset), named.get(onset)
                yield Token(
                    syllable=syllable,
                    chord=chord,
                    starts_line=starts_line,
                    label=label,
                    moment=start - measure.length + onset,
                    source=self._source(measure, syllable, chord),
                    section=section,
                )
                label, starts_line = "", False

    def _source(self, measure: Measure, syllable: Syllable | None, chord: ChordAt | None) -> Source:
        location = (
            syllable.location
            if syllable is not None
            else chord.location
            if chord is not None
            else measure.location
        )
        return Source(location.line, location.column, self._part.id, measure.index + 1)

    def _spread(self, tokens: Sequence[Token]) -> list[Token]:
        """The tokens with their widths: words follow each other, and give way only where chord names would touch.

        Where a word opens for a chord name, there is room for a hyphen, so that it is not read as two.
        """
        gap = self._book.sheet_chord_gap * self._size
        hyphen = text_face(self._body.face).width("-", self._size) * self._book.sheet_hyphen_room
        starts: list[float] = []
        word = name = 0.0
        is_inside = False
        for token in tokens:
            x = max(word, name) if token.chord is not None else word
            if is_inside and word < x < word + hyphen:
                x = word + hyphen
            starts.append(x)
            reach = self._reach(token)
            if token.syllable is not None:
                word = x + self._word_width(token.syllable)
                is_inside = token.syllable.hyphen
            else:
                word = x + reach + gap
            if token.chord is not None:
                name = x + reach + gap
        stops = [*starts[1:], max(word, name)] if starts else []
        return [
            token._replace(width=stop - start, reach=self._reach(token))
            for token, start, stop in zip(tokens, starts, stops, strict=True)
        ]

    def _word_width(self, syllable: Syllable) -> float:
        face = text_face(self._body.face)
        return face.width(printed_syllable(syllable.text) + ("" if syllable.hyphen else " "), self._size)

    def _reach(self, token: Token) -> float:
        return self._names.measure(token.chord.name).width * self._scale if token.chord is not None else 0.0

    def _set_line(self, line: Sequence[Token]) -> FlowBox:
        """The words, and the chord names over them."""
        size, face = self._size, self._body.face
        over = size * self._book.sheet_chord_pitch if any(token.chord for token in line) else 0.0
        y = -over - size
        marks: list[Mark] = []
        x = 0.0
        opened: float | None = None
        for token in line:
            self.widest = max(self.widest, x + token.reach)
            if token.chord is not None:
                marks.extend(self._chord(self._names.measure(token.chord.name), x, -size, token.source))
            if token.syllable is not None:
                marks.extend(self._hyphen(opened, x, y) if opened is not None else ())
                text = printed_syllable(token.syllable.text)
                marks.append(
                    Text(role=Role.LYRIC, x=x, y=y, text=text, face=face, size=size, source=token.source)
                )
                end = x + text_face(face).width(text, size)
                self.widest = max(self.widest, end)
                opened = end if token.syllable.hyphen else None
            x += token.width
        return FlowBox(over + size * self._book.sheet_pitch, (Group(0.0, 0.0, 1.0, tuple(marks)),))

    def _hyphen(self, left: float, right: float, y: float) -> Iterator[Text]:
        """A hyphen in the middle of an open word; nothing where its syllables touch."""
        width = text_face(self._body.face).width("-", self._size)
        if right - left > width:
            middle = (left + right - width) / 2
            yield Text(Role.LYRIC_HYPHEN, middle, y, "-", self._body.face, self._size)

    def _chord(self, shape: ChordNameShape, x: float, y: float, source: Source) -> Iterator[Text]:
        for run in shape.runs:
            yield Text(
                role=Role.CHORD_NAME,
                x=x + run.dx * self._scale,
                y=y + run.dy * self._scale,
                text=run.text,
                face=run.face,
                size=run.size * self._scale,
                source=source,
            )
