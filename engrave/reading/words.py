"""What is written by beat: chord names, free text, dynamics, and signs that last."""

from __future__ import annotations

import re
from fractions import Fraction

from engrave.problems import Location, did_you_mean
from engrave.reading.context import Context
from engrave.score.sign_list import DYNAMICS, NUMBERED_SPANS, SPANS, SignName
from engrave.score.structure import ChordAt, ClefAt, SpanAt, TextAt
from engrave.source.tree import SourceList, SourceMap, Value
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.clef import Clef
from engrave.theory.duration import parse_note_value
from engrave.theory.metre import Metre


def parse_beat(text: str, metre: Metre) -> Fraction:
    """The onset of a beat given as "3", "2.5" or "2 1/2". Raises ValueError."""
    beat = sum((Fraction(piece) for piece in text.split()), Fraction(0))
    if beat < 1 or beat >= metre.length * metre.unit + 1:
        raise ValueError(f"there is no beat {text} in {metre.text}")
    return (beat - 1) / metre.unit


def read_chords(
    context: Context, content: Value, location: Location, offset: Fraction
) -> tuple[ChordAt, ...]:
    """The chord names of a measure; `offset` is where a pickup starts in its metre."""
    chords = []
    for onset, text, spot in by_beat(context, content, location, offset):
        try:
            name = parse_chord_name(text)
            shape = context.shapes.get(name, spot, context.where(onset), context.log)
            chords.append(ChordAt(onset, name, spot, shape))
        except ValueError as error:
            context.error(spot, str(error), onset=onset)
    return tuple(chords)


def read_texts(context: Context, content: Value, location: Location, offset: Fraction) -> tuple[TextAt, ...]:
    """The free words of a measure."""
    return tuple(
        TextAt(onset, text, spot)
        for onset, text, spot in by_beat(context, content, location, offset)
        if text.strip()
    )


def read_dynamics(
    context: Context, content: Value, location: Location, offset: Fraction
) -> tuple[TextAt, ...]:
    """The dynamics of a measure, each a word of the standard list."""
    found = []
    for onset, text, spot in by_beat(context, content, location, offset):
        if text in DYNAMICS:
            found.append(TextAt(onset, text, spot))
        else:
            context.error(spot, f'"{text}" is not a dynamic', context.log.suggest(text, DYNAMICS), onset)
    return tuple(found)


def read_clefs(context: Context, content: Value, location: Location, offset: Fraction) -> tuple[ClefAt, ...]:
    """The clefs that begin to hold in a measure. One with an 8 beside one without would be read an octave off."""
    own = context.instrument.clef
    found: list[ClefAt] = []
    for onset, text, spot in by_beat(context, content, location, offset):
        try:
            clef = Clef(text)
        except ValueError:
            names = [clef.value for clef in Clef]
            context.error(spot, f'"{text}" is not a clef here', context.log.suggest(text, names), onset)
            continue
        found.append(ClefAt(onset, clef, spot))
        if clef.says_octave is not own.says_octave:
            context.warning(
                spot,
                f"the {clef.value} clef {'has' if clef.says_octave else 'lacks'} the 8 of an octave that this part's "
                f"{own.value} clef {'lacks' if clef.says_octave else 'has'}, so players read its notes an octave off",
                _with_same_octave(clef),
                onset,
            )
    return tuple(found)


def _with_same_octave(clef: Clef) -> str:
    other = clef.in_other_octave
    return f"write {other.value}" if other is not None else "give the instrument a clef without an 8"


def by_beat(
    context: Context, content: Value, location: Location, offset: Fraction
) -> list[tuple[Fraction, str, Location]]:
    """(onset, words, place) of what is written by beat, in order; a list holds several at one beat."""
    if content is None:
        return []
    if isinstance(content, SourceList):
        return [(Fraction(0), str(item), content.item_location(i)) for i, item in enumerate(content)]
    if not isinstance(content, SourceMap):
        return [(Fraction(0), str(content), location)]
    found: list[tuple[Fraction, str, Location]] = []
    for key, text, spot in content.entries():
        try:
            onset = parse_beat(key, context.metre) - offset
            if onset < 0:
                raise ValueError(f"beat {key} lies before this pickup starts")
        except (ValueError, ZeroDivisionError) as error:
            context.error(
                content.key_location(key),
                str(error),
                "beats count from 1; 2.5 or 2 1/2 lies between two of them",
            )
            continue
        if isinstance(text, SourceList):
            found.extend((onset, str(item), text.item_location(i)) for i, item in enumerate(text))
        else:
            found.append((onset, str(text), spot))
    return sorted(found, key=lambda item: item[0])


_SPAN = re.compile(r"(?P<name>\S+)(?:\s+(?P<detail>\S+))?\s+for\s+(?P<length>.+)")
_MEASURES = re.compile(r"(?P<count>[1-9][0-9]{0,2}) measures?")
_SHARE = re.compile(r"[1-9][0-9]{0,2}/(1|2|4|8|16|32|64)")
_EXAMPLE = "for example: palm-mute for 1/2, position 5 for 1/4 + 1/8, let-ring for 2 measures"


def read_spans(context: Context, content: Value, location: Location, offset: Fraction) -> tuple[SpanAt, ...]:
    """The spans that start in a measure; `offset` is where a pickup starts in its metre."""
    spans = []
    for onset, text, spot in by_beat(context, content, location, offset):
        try:
            spans.append(parse_span(text, onset, spot))
        except ValueError as error:
            context.error(spot, str(error), "" if ";" in str(error) else _EXAMPLE, onset)
    return tuple(spans)


def _length(text: str) -> Fraction:
    """A note value, or a plain share of a whole note such as 3/4."""
    if _SHARE.fullmatch(text):
        return Fraction(text)
    return parse_note_value(text).length


def parse_span(text: str, onset: Fraction, location: Location) -> SpanAt:
    """Read "palm-mute for 1/2", "barre 5 for 2 measures". Raises ValueError that says what is wrong."""
    match = _SPAN.fullmatch(text.strip())
    if match is None:
        raise ValueError(f'"{text}" does not say how long it lasts')
    name, detail = match["name"], match["detail"] or ""
    if name not in SPANS:
        raise ValueError(f'"{name}" is not a line (palm-mute, barre ...); {did_you_mean(name, SPANS)}')
    if name in NUMBERED_SPANS:
        if not detail.isdigit() or not 1 <= int(detail) <= 24:
            raise ValueError(f"a {name} needs the number of its fret, 1 to 24")
    elif detail:
        raise ValueError(f'"{detail}" does not belong to {name}')
    measures = _MEASURES.fullmatch(match["length"].strip())
    if measures is not None:
        return SpanAt(onset, SignName(name), detail, Fraction(0), int(measures["count"]), location)
    length = sum((_length(piece.strip()) for piece in match["length"].split("+")), Fraction(0))
    return SpanAt(onset, SignName(name), detail, length, 0, location)
