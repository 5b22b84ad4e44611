"""Signs that last: palm mute, let ring, positions, barres, hairpins."""

from __future__ import annotations

import re
from fractions import Fraction

from engrave.diagnostics.problem import Place, did_you_mean
from engrave.reading.context import Context
from engrave.reading.words import by_beat
from engrave.score.sign_list import NUMBERED_SPANS, SPANS, SignName
from engrave.score.structure import SpanAt
from engrave.source.tree import Value
from engrave.theory.duration import parse_note_value

_SPAN = re.compile(r"(?P<name>\S+)(?:\s+(?P<detail>\S+))?\s+for\s+(?P<length>.+)")
_MEASURES = re.compile(r"(?P<count>[1-9][0-9]{0,2}) measures?")
_SHARE = re.compile(r"[1-9][0-9]{0,2}/(1|2|4|8|16|32|64)")
_EXAMPLE = "for example: palm-mute for 1/2, position 5 for 1/4 + 1/8, let-ring for 2 measures"


def read_spans(context: Context, content: Value, place: Place, offset: Fraction) -> tuple[SpanAt, ...]:
    """The spans that start in a measure; `offset` is where a pickup starts in its metre."""
    spans = []
    for onset, text, spot in by_beat(context, content, place, offset):
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


def parse_span(text: str, onset: Fraction, place: Place) -> SpanAt:
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
        return SpanAt(onset, SignName(name), detail, Fraction(0), int(measures["count"]), place)
    length = sum((_length(piece.strip()) for piece in match["length"].split("+")), Fraction(0))
    return SpanAt(onset, SignName(name), detail, length, 0, place)
