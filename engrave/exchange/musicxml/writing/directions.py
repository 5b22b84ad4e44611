"""What stands between the notes: labels, tempo, D.C. and D.S., chord names, words, dynamics and the signs that last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple
from xml.etree.ElementTree import Element

from engrave.exchange.musicxml.writing.attributes import clef_change
from engrave.exchange.musicxml.writing.harmony import harmony
from engrave.exchange.musicxml.writing.swing import swing_sign
from engrave.exchange.musicxml.writing.xml import QUARTERS, TYPES, add, decimal, make
from engrave.score.spans import Span, resolve_spans
from engrave.score.structure import Grids, Measure, Part, Score, Tempo
from engrave.theory.numbering import roman
from engrave.theory.repeats import GoBack
from engrave.theory.swing import Swing

_START = Fraction(0)
_WORDS = {"palm-mute": "P.M.", "let-ring": "let ring", "position": "", "barre": "C", "half-barre": "1/2 C"}
"""The words printed at a sign that lasts, before its fret in Roman numerals (common practice, no source)."""
_OCTAVES = {"8va": ("down", 8), "8vb": ("up", 8), "15ma": ("down", 15), "15mb": ("up", 15)}
"""Which way the printed notes are shifted from the pitches in the file, and how far (MusicXML 4.0, octave-shift)."""
_WEDGES = ("crescendo", "diminuendo")
_LEVELS = 16
"""The highest number that tells lasting signs of one kind apart (MusicXML 4.0, number-level)."""
SEGNO, CODA = "segno", "coda"
"""What the one segno and the one coda of a piece are called in sound elements."""


class Rank:
    """What comes first at one moment."""

    STOP, CLEF, TEMPO, LABEL, SIGN, HARMONY, DYNAMIC, TEXT, SPAN, END = range(10)


class ElementAt(NamedTuple):
    """An element at a moment of its measure (whole notes from its start); `rank` orders those at one moment."""

    onset: Fraction
    rank: int
    element: Element


def elements_of_part(score: Score, part: Part, is_first: bool) -> list[list[ElementAt]]:
    """The directions and chord names of a part, measure by measure, in order. Shared ones go to the first part."""
    rows: list[list[ElementAt]] = [[] for _ in score.measures]
    print_frame = score.grids is Grids.ABOVE
    for index, (measure, own) in enumerate(zip(score.measures, part.measures, strict=True)):
        row = rows[index]
        if is_first:
            row.extend(_shared(measure, score.measures[index - 1] if index else None))
        row.extend(ElementAt(c.onset, Rank.HARMONY, harmony(c, print_frame)) for c in own.chords)
        row.extend(ElementAt(c.onset, Rank.CLEF, clef_change(c.clef)) for c in own.clefs)
        for dynamic in own.dynamics:
            direction, kind = _direction("below")
            add(add(kind, "dynamics"), dynamic.text)
            row.append(ElementAt(dynamic.onset, Rank.DYNAMIC, direction))
        for text in own.texts:
            row.append(ElementAt(text.onset, Rank.TEXT, _words(text.text)))
    for span, number in _numbered(_spans(score, part)):
        start, stop = _span_ends(span, number)
        rows[span.first].append(ElementAt(span.onset, Rank.SPAN, start))
        rows[span.last].append(ElementAt(span.end, Rank.STOP, stop))
    return [sorted(row, key=lambda timed: timed[:2]) for row in rows]


def _direction(placement: str = "above") -> tuple[Element, Element]:
    """A direction and its direction-type."""
    direction = make("direction", placement=placement)
    return direction, add(direction, "direction-type")


def _words(text: str, **sound: str | int) -> Element:
    direction, kind = _direction()
    add(kind, "words", text)
    if sound:
        add(direction, "sound", **sound)
    return direction


def _shared(measure: Measure, before: Measure | None) -> Iterable[ElementAt]:
    """What all parts have in common: tempo, label, signs of repetition, counting."""
    info, end = measure.repeat, measure.length
    if measure.counting != (before.counting if before is not None else False):
        direction, kind = _direction()
        add(kind, "other-direction", f"counting {'on' if measure.counting else 'off'}", print_object="no")
        yield ElementAt(_START, Rank.TEMPO, direction)
    if measure.tempo is not None:
        yield ElementAt(_START, Rank.TEMPO, _tempo(measure.tempo))
    if measure.swing is not (before.swing if before is not None else Swing.NONE):
        yield ElementAt(_START, Rank.TEMPO, swing_sign(measure.swing))
    if measure.label:
        direction, kind = _direction()
        add(kind, "rehearsal", measure.label)
        yield ElementAt(_START, Rank.LABEL, direction)
    if info.segno:
        direction, kind = _direction()
        add(kind, "segno")
        add(direction, "sound", segno=SEGNO)
        yield ElementAt(_START, Rank.SIGN, direction)
    if info.coda:
        direction, kind = _direction()
        add(kind, "coda")
        add(direction, "sound", coda=CODA)
        yield ElementAt(_START, Rank.SIGN, direction)
    if info.to_coda:
        yield ElementAt(end, Rank.END, _words("To Coda", tocoda=CODA))
    if info.fine:
        yield ElementAt(end, Rank.END, _words("Fine", fine="yes"))
    if info.go_back is not None:
        yield ElementAt(end, Rank.END, _go_back(info.go_back))


def _go_back(go_back: GoBack) -> Element:
    if go_back.needs_segno:
        return _words(go_back.value, dalsegno=SEGNO)
    return _words(go_back.value, dacapo="yes")


def _tempo(tempo: Tempo) -> Element:
    """Words and metronome in one direction; `directive` tells them from other words."""
    direction = make("direction", placement="above", directive="yes")
    if tempo.words:
        add(add(direction, "direction-type"), "words", tempo.words)
    if tempo.value is not None and tempo.per_minute is not None:
        metronome = add(add(direction, "direction-type"), "metronome")
        add(metronome, "beat-unit", TYPES[tempo.value.denominator])
        for _ in range(tempo.value.dots):
            add(metronome, "beat-unit-dot")
        add(metronome, "per-minute", decimal(tempo.per_minute))
        add(direction, "sound", tempo=decimal(tempo.per_minute * tempo.value.length * QUARTERS))
    if not len(direction):
        add(add(direction, "direction-type"), "words", "")
    return direction


def _spans(score: Score, part: Part) -> list[Span]:
    lengths = [measure.length for measure in score.measures]
    spans = resolve_spans(lengths, [measure.spans for measure in part.measures])
    return [span for span in spans if (span.first, span.onset) < (span.last, span.end)]


def _family(span: Span) -> str:
    name = span.sign.name
    return "wedge" if name in _WEDGES else "octave-shift" if name in _OCTAVES else "dashes"


def _numbered(spans: Sequence[Span]) -> list[tuple[Span, int]]:
    """Each span with a number that no other of its family has at the same time."""
    ends: dict[tuple[str, int], tuple[int, Fraction]] = {}
    numbered = []
    for span in sorted(spans, key=lambda span: (span.first, span.onset)):
        family = _family(span)
        taken = ((number, ends.get((family, number))) for number in range(1, _LEVELS + 1))
        number = next((n for n, end in taken if end is None or end <= (span.first, span.onset)), _LEVELS)
        ends[family, number] = (span.last, span.end)
        numbered.append((span, number))
    return numbered


def _span_ends(span: Span, number: int) -> tuple[Element, Element]:
    """The directions at which a lasting sign starts and stops. The hidden one holds the sign's own name."""
    name, detail = span.sign.name, span.sign.detail
    if name in _WEDGES:
        (start, kind), (stop, last) = _direction("below"), _direction("below")
        add(kind, "wedge", type=name, number=number)
        add(last, "wedge", type="stop", number=number)
        return start, stop
    (start, kind), (stop, last) = _direction(), _direction()
    if name in _OCTAVES:
        way, size = _OCTAVES[name]
        add(kind, "octave-shift", type=way, size=size, number=number)
        add(last, "octave-shift", type="stop", size=size, number=number)
        return start, stop
    words = f"{_WORDS.get(name, name)} {roman(int(detail)) if detail else ''}".strip()
    add(kind, "words", words)
    add(add(start, "direction-type"), "dashes", type="start", number=number)
    hidden = add(start, "direction-type")
    add(hidden, "other-direction", f"{name} {detail}".strip(), print_object="no")
    add(last, "dashes", type="stop", number=number)
    return start, stop
