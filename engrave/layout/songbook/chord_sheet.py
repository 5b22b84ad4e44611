"""A song as a chord sheet: its words with the chord names over the syllables at which they change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from engrave.fonts.text_face import text_face
from engrave.layout.measures.chord_names import ChordNameMeasurer, ChordNameShape
from engrave.layout.measures.words import printed_syllable
from engrave.layout.page_filling import page_costs
from engrave.layout.pages.headings import place_heading
from engrave.layout.songbook.strum_lines import place_strum_lines
from engrave.layout.songbook.verse_lines import Token, break_verses
from engrave.layout.text.boxes import FlowBox, fill_columns, move_groups
from engrave.marks.mark import Group, Mark, Page, PlacedDocument, Source, Text
from engrave.marks.role import Role
from engrave.score.structure import ChordAt, Measure, NewLine, Part, Score, Syllable
from engrave.style.sections import POINTS_PER_MM, Style


class NoWords(Exception):
    """The song has no words for a chord sheet."""


def place_chord_sheet(score: Score, style: Style) -> PlacedDocument:
    """The pages of a chord sheet, all as right-hand pages of a book. Raises NoWords."""
    paper, space = style.paper, style.staff_space
    width = (paper.width - paper.margin_inner - paper.margin_outer) * POINTS_PER_MM
    height = (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM
    part = next((p for p in score.parts if _verses(p)), None)
    if part is None:
        raise NoWords("this song has no lyrics for a chord sheet")
    heading = place_heading(score, width / space, style)
    boxes = [FlowBox(heading.height * space, (Group(0.0, 0.0, space, heading.marks),), keeps_next=True)]
    boxes.extend(place_strum_lines(score, style, width, style.prose.body.size * style.book.sheet_words))
    setter = _Setter(score, part, width, style)
    boxes.extend(setter.set_verses())
    costs = page_costs(style)._replace(sparse_last=0.0, sparse_fill=0.0, ragged_fill=1.0)
    left, top = paper.margin_inner * POINTS_PER_MM, (paper.height - paper.margin_top) * POINTS_PER_MM
    pages = []
    for number, filled in enumerate(fill_columns(boxes, height, height, 0.0, costs), start=1):
        groups = [
            group for box, below in filled.boxes for group in move_groups(box.groups, left, top - below)
        ]
        pages.append(Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, tuple(groups), number))
    return PlacedDocument(tuple(pages), score.title)


def _verses(part: Part) -> int:
    return max(
        (len(e.lyrics) for m in part.measures for v in m.voices for e in v.events if e.lyrics), default=0
    )


class _Setter:
    """Sets the verses of one song."""

    def __init__(self, score: Score, part: Part, width: float, style: Style) -> None:
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

    def set_verses(self) -> Iterator[FlowBox]:
        """The lines of every verse; the first of each is marked with its number where there are several."""
        verses = [list(self._tokens(verse)) for verse in range(_verses(self._part))]
        reach = max(measure.length for measure in self._score.measures) / 2
        for verse, lines in enumerate(break_verses(verses, self._width, reach, self._book)):
            for index, line in enumerate(lines):
                label = line[0].label
                if index == 0 and len(verses) > 1:
                    label = f"{verse + 1}." + (f"  {label}" if label else "")
                yield from self._set_line(line, label, is_first=index == 0)

    def _tokens(self, verse: int) -> Iterator[Token]:
        label, starts_line, start = "", False, Fraction(0)
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
                    width=self._width_of(syllable, chord),
                    source=self._source(measure, syllable, chord),
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

    def _width_of(self, syllable: Syllable | None, chord: ChordAt | None) -> float:
        face = text_face(self._body.face)
        words = 0.0
        if syllable is not None:
            words = face.width(printed_syllable(syllable.text) + ("" if syllable.hyphen else " "), self._size)
        if chord is None:
            return words
        return max(
            words,
            self._names.measure(chord.name).width * self._scale + self._book.sheet_chord_gap * self._size,
        )

    def _set_line(self, line: Sequence[Token], label: str, is_first: bool) -> list[FlowBox]:
        """The words, the chord names over them, and the label of the section over both."""
        face, size = text_face(self._body.face), self._size
        chords: list[Text] = []
        words: list[Text] = []
        has_chords = any(token.chord is not None for token in line)
        over = size * self._book.sheet_chord_pitch if has_chords else 0.0
        height = over + size * self._book.sheet_pitch
        x = 0.0
        for token in line:
            width = token.width
            if token.chord is not None:
                chords.extend(self._chord(self._names.measure(token.chord.name), x, -size, token.source))
            if token.syllable is not None:
                text = printed_syllable(token.syllable.text)
                words.append(
                    Text(
                        role=Role.LYRIC,
                        x=x,
                        y=-over - size,
                        text=text,
                        face=self._body.face,
                        size=size,
                        source=token.source,
                    )
                )
                natural = face.width(text, size)
                if token.syllable.hyphen and width - natural > face.width("-", size):
                    at = x + natural + (width - natural - face.width("-", size)) / 2
                    words.append(Text(Role.LYRIC_HYPHEN, at, -over - size, "-", self._body.face, size))
            x += width
        marks: list[Mark] = [*chords, *words]
        gap = size * self._book.stanza_gap if is_first or label else size * self._book.sheet_line_gap
        body = FlowBox(height, (Group(0.0, 0.0, 1.0, tuple(marks)),), 0.0 if label else gap)
        if not label:
            return [body]
        kind = self._label
        head = Text(Role.LABEL, 0.0, -kind.size, label, kind.face, kind.size)
        return [
            FlowBox(
                kind.size * self._book.sheet_label_pitch,
                (Group(0.0, 0.0, 1.0, (head,)),),
                gap,
                gap,
                keeps_next=True,
            ),
            body,
        ]

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
