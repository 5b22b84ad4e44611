"""How long notes sound: detached, cut by a breath, left to ring, ended where their string is struck again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction

from engrave.playing.sounding import SoundingNote
from engrave.playing.taste import Taste
from engrave.score.sign_list import SignName


def settle_lengths(notes: Sequence[SoundingNote], house: Taste) -> list[SoundingNote]:
    """The notes of a part as long as they sound, and with the pitch to which a struck slide takes them."""
    lines: dict[tuple[int, int], list[int]] = defaultdict(list)
    for index, note in enumerate(notes):
        lines[note.string, 0 if note.string else note.midi].append(index)
    settled = list(notes)
    for line in lines.values():
        line.sort(key=lambda index: notes[index].start)
        for index, after in zip(line, [*line[1:], None]):
            settled[index] = _settle(notes[index], notes[after] if after is not None else None, house)
    return settled


def _settle(note: SoundingNote, after: SoundingNote | None, house: Taste) -> SoundingNote:
    """`after` is the next note on the same string."""
    last, _ = [*note.pieces][-1]
    length = last.start + (note.length - last.start) * _share(last.signs, house)
    if SignName.LET_RING in note.signs | last.signs:
        length = max(length, house.ring)
        if after is not None and after.start > note.start:
            length = min(length, after.start - note.start)
    slides = (
        after is not None and after.slides_from == note.midi and SignName.SLURRED_SLIDE not in after.signs
    )
    return note._replace(length=length, slides_to=after.midi if slides and after is not None else 0)


def _share(signs: frozenset[SignName], house: Taste) -> Fraction:
    """How much of its length a note sounds."""
    if {SignName.STACCATO, SignName.TENUTO} <= signs:
        share = house.portato
    else:
        share = min((part for name, part in house.shares.items() if name in signs), default=1.0)
    if SignName.BREATH_MARK in signs:
        share = min(share, 1 - house.breath)
    return Fraction(share).limit_denominator(64)
