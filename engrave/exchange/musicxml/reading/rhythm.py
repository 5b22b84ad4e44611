"""Moments of a voice laid out as written values: gaps filled with rests, tuplets gathered, odd rhythms rounded."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.musicxml.reading.losses import FILLED_UP, LossLog
from engrave.exchange.musicxml.reading.music import PLAIN, ZERO, Ratio, VoiceEvent, count_tones
from engrave.theory.duration import DENOMINATORS, NoteValue, decompose_length, note_value

_SLACK = Fraction(1, 96)
"""Whole notes by which a file may round its durations (house rule)."""
GRID = 64
"""The finest value of the language, and the grid that odd rhythms are rounded to."""
_MOST_MOMENTS = 1024
"""Moments of a voice in a measure whose brackets are looked for (house rule: sixteen whole notes of sixty-fourths)."""
_MOST_IN_TUPLET = 64
_MOST_GROUPS = 8
_HALF = Fraction(1, 2)
_PLAIN_VALUES = [note_value(denominator) for denominator in sorted(DENOMINATORS)]
"""Values without dots, longest first."""
_NORMALS = {3: 2, 5: 4, 7: 4, 9: 8, 11: 8, 13: 8, 15: 8}
"""The usual tuplets, by how many notes they have (common practice, no source)."""


class Piece(NamedTuple):
    """One written value of a voice. No event means a rest that fills a gap; `held`: it goes on from the piece before."""

    value: NoteValue
    ratio: Ratio
    event: VoiceEvent | None = None
    held: bool = False
    ends: bool = True
    """It is the last piece of its event."""

    @property
    def length(self) -> Fraction:
        """How long it lasts in whole notes."""
        return self.value.length * self.ratio.factor


class TupletGroup(NamedTuple):
    """Pieces that share a bracket; `name` as the language writes it."""

    name: str
    pieces: tuple[Piece | TupletGroup, ...]


class Unwritable(Exception):
    """The rhythm has no exact writing."""


def lay_out(events: Sequence[VoiceEvent], end: Fraction, losses: LossLog) -> list[Piece | TupletGroup]:
    """Written values that fill a measure of length `end` (a multiple of 1/64) with `events`."""
    ordered = sorted(events, key=lambda event: event.onset)
    kept = _without_overlaps(ordered, end, losses)
    if len(kept) > _MOST_MOMENTS:
        losses.add("rhythm rounded to sixty-fourths")
        return _exact(_rounded(kept, end, losses), end, losses)
    try:
        return _exact(kept, end, losses)
    except Unwritable:
        losses.add("rhythm rounded to sixty-fourths")
        return _exact(_rounded(kept, end, losses), end, losses)


def _exact(events: Sequence[VoiceEvent], end: Fraction, losses: LossLog) -> list[Piece | TupletGroup]:
    pieces, padded = _flat(events, end)
    groups = _gather(pieces)
    if padded and events:
        losses.add(FILLED_UP)
    counts = Counter(id(piece.event) for piece in pieces)
    for event in events:
        count = counts[id(event)]
        if count > 1 and event.tones:
            losses.heads(len(event.tones) * (count - 1), "lengths written as tied values")
    return groups


def _without_overlaps(events: Sequence[VoiceEvent], end: Fraction, losses: LossLog) -> list[VoiceEvent]:
    """The events that start when the one before is over and before the measure ends; others are lost."""
    kept: list[VoiceEvent] = []
    cursor = ZERO
    for event in events:
        if event.onset < cursor - _SLACK or event.onset >= end:
            losses.notes(count_tones([event]), "another note of the voice still sounds")
            continue
        stop = min(end, event.onset + event.length)
        if stop < event.onset + event.length - _SLACK:
            event = replace(event, length=stop - event.onset, written=None, ratio=PLAIN)
            if event.tones:
                losses.add("note cut off at the end of its measure")
        kept.append(event)
        cursor = stop
    return kept


def _flat(events: Sequence[VoiceEvent], end: Fraction) -> tuple[list[Piece], bool]:
    pieces: list[Piece] = []
    cursor = ZERO
    padded = False
    for event in events:
        gap = event.onset - cursor
        if gap > _SLACK:
            pieces.extend(_rests(cursor, event.onset, end))
            cursor = event.onset
            padded = True
        nominal = event.written * event.ratio.factor if event.written is not None else None
        if nominal is not None and abs(nominal - event.length) <= _SLACK:
            new = _split(event.written or nominal, event.ratio, event)
        else:
            new = _pieces(event.length, event)
        pieces.extend(new)
        cursor += sum((piece.length for piece in new), ZERO)
    if cursor < end:
        pieces.extend(_rests(cursor, end, end))
        padded = True
    elif cursor > end:
        raise Unwritable
    return pieces, padded


def _rests(start: Fraction, stop: Fraction, end: Fraction) -> list[Piece]:
    """Rests from `start` to `stop` of a measure that lasts `end`: each begins at a multiple of its own length.

    None is longer than a beat where halves do not divide the measure (a half rest would hide a beat of 3/4: common practice, no source).
    """
    if GRID % start.denominator or GRID % stop.denominator:
        return _pieces(stop - start, None)
    longest = end if end % _HALF == 0 else _HALF / 2
    pieces: list[Piece] = []
    while start < stop:
        value = next(
            v for v in _PLAIN_VALUES if v.length <= min(stop - start, longest) and start % v.length == 0
        )
        pieces.append(Piece(value, PLAIN))
        start += value.length
    return pieces


def _pieces(length: Fraction, event: VoiceEvent | None) -> list[Piece]:
    """A length that the file gives without a note type."""
    odd = length.denominator
    while odd % 2 == 0:
        odd //= 2
    if odd == 1:
        return _split(length, PLAIN, event)
    if odd not in _NORMALS:
        raise Unwritable
    ratio = Ratio(odd, _NORMALS[odd])
    return _split(length / ratio.factor, ratio, event)


def _split(written: Fraction, ratio: Ratio, event: VoiceEvent | None) -> list[Piece]:
    try:
        values = decompose_length(written)
    except ValueError:
        raise Unwritable from None
    last = len(values) - 1
    return [Piece(value, ratio, event, i > 0, i == last) for i, value in enumerate(values)]


def _gather(pieces: Sequence[Piece]) -> list[Piece | TupletGroup]:
    """Pieces of tuplets put under their brackets. Raises Unwritable for tuplets that are not whole."""
    row: list[Piece | TupletGroup] = []
    index = 0
    while index < len(pieces):
        if pieces[index].ratio == PLAIN:
            row.append(pieces[index])
            index += 1
            continue
        try:
            name, stop = _find_group(pieces, index)
            inner: Sequence[Piece | TupletGroup] = pieces[index:stop]
        except Unwritable:
            name, stop, inner = _find_nested(pieces, index)
        row.append(TupletGroup(name, tuple(inner)))
        index = stop
    return row


def _find_nested(pieces: Sequence[Piece], start: int) -> tuple[str, int, list[Piece | TupletGroup]]:
    """A bracket with others inside it; the file gives notes inside the product of all their ratios."""
    run = start
    while run < len(pieces) and pieces[run].ratio != PLAIN:
        run += 1
    for outer in dict.fromkeys(piece.ratio for piece in pieces[start:run]):
        total = ZERO
        for index in range(start, run):
            total += pieces[index].length / outer.factor
            name = _bracket(total, outer, 1)
            if not name or index == start:
                continue
            try:
                inner = _gather([_relative(piece, outer) for piece in pieces[start : index + 1]])
            except Unwritable:
                continue
            return name, index + 1, inner
    raise Unwritable


def _relative(piece: Piece, outer: Ratio) -> Piece:
    """A piece with its ratio inside the bracket `outer`."""
    if piece.ratio == outer:
        return piece._replace(ratio=PLAIN)
    factor = piece.ratio.factor / outer.factor
    if not 1 < factor.denominator <= _MOST_IN_TUPLET:
        raise Unwritable
    return piece._replace(ratio=Ratio(factor.denominator, factor.numerator))


def _find_group(pieces: Sequence[Piece], start: int) -> tuple[str, int]:
    """The bracket that starts at `start`: its name and where it stops; the file's own bracket comes first."""
    ratio = pieces[start].ratio
    run = start
    while run < len(pieces) and pieces[run].ratio == ratio:
        run += 1
    first = pieces[start].event
    total = ZERO
    if first is not None and first.opens:
        for index in range(start, run):
            total += pieces[index].value.length
            event = pieces[index].event
            name = _bracket(total, ratio, _MOST_GROUPS)
            if event is not None and event.closes and pieces[index].ends and name:
                return name, index + 1
    for groups in (1, _MOST_GROUPS):
        total = ZERO
        for index in range(start, run):
            total += pieces[index].value.length
            name = _bracket(total, ratio, groups)
            if name:
                return name, index + 1
    raise Unwritable


def _bracket(total: Fraction, ratio: Ratio, groups: int) -> str:
    """The name of a tuplet whose written values add up to `total`, "" when there is none."""
    for count in range(1, groups + 1):
        unit = total / (count * ratio.actual)
        fits = max(count * ratio.actual, count * ratio.normal) <= _MOST_IN_TUPLET
        if unit.numerator == 1 and unit.denominator in DENOMINATORS and fits:
            return f"{count * ratio.actual} in {count * ratio.normal} of 1/{unit.denominator}"
    return ""


def _rounded(events: Sequence[VoiceEvent], end: Fraction, losses: LossLog) -> list[VoiceEvent]:
    """The events on the grid of sixty-fourths; those that get no length are lost."""
    found: list[VoiceEvent] = []
    cursor = ZERO
    for event in events:
        onset = max(cursor, snap(event.onset))
        stop = min(end, snap(event.onset + event.length))
        if stop <= onset:
            losses.notes(count_tones([event]), "too short to be written")
            continue
        found.append(replace(event, onset=onset, length=stop - onset, written=None, ratio=PLAIN))
        cursor = stop
    return found


def snap(event: Fraction) -> Fraction:
    """The nearest multiple of a sixty-fourth."""
    return Fraction(round(event * GRID), GRID)
