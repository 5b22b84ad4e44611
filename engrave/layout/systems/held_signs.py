"""How long the sign of a note goes on where ties hold the note."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engrave.layout.systems.placed import PlacedEvent, VoiceAt
from engrave.score.sign_list import SignName
from engrave.score.structure import Note


class HeldSign(NamedTuple):
    """A sign that goes on from the line before: at the held `event`, up to `end`."""

    event: PlacedEvent
    sign: SignName
    end: float


class _Open(NamedTuple):
    """Notes of a voice that ties hold into the next line, with their sign."""

    voice: int
    sign: SignName
    notes: Sequence[Note]


class HeldNotes:
    """The voices of one line of one staff, measure by measure, and the ties that lead through them."""

    def __init__(self, voices: Sequence[VoiceAt] = ()) -> None:
        """For `voices` in the order of their measures."""
        self._rows: dict[int, list[tuple[PlacedEvent, float]]] = {}
        self._at: dict[int, tuple[int, int]] = {}
        self._open: list[_Open] = []
        for at in voices:
            row = self._rows.setdefault(at.number, [])
            for event in at.voice.events:
                self._at[id(event)] = at.number, len(row)
                row.append((event, at.end_x))

    def find_end(self, event: PlacedEvent, sign: SignName, next_x: float) -> float:
        """Where the notes of `event` that have `sign` end on the line: at what follows the last note that ties hold.

        That is `next_x` without ties. What is held but bent anew shows its own signs, and ends the old one (house rule).
        """
        number, index = self._at[id(event)]
        notes = [note for note in event.item.event.notes if note.has(sign)]
        return self._follow(_Open(number, sign, notes), index, next_x)

    def go_on(self, before: HeldNotes) -> Iterator[HeldSign]:
        """The signs that go on from the line `before`."""
        for number, sign, notes in before._open:
            row = self._rows.get(number)
            if row:
                event, measure_end = row[0]
                held = _held_on(notes, event)
                if held:
                    next_x = row[1][0].left if len(row) > 1 and row[1][1] == measure_end else measure_end
                    yield HeldSign(event, sign, self._follow(_Open(number, sign, held), 0, next_x))

    def _follow(self, sounding: _Open, index: int, end: float) -> float:
        """Where notes that sound at event `index` of their voice end, if no tie holds them at `end`."""
        row = self._rows[sounding.voice]
        notes = sounding.notes
        while index + 1 < len(row):
            index += 1
            following, measure_end = row[index]
            notes = _held_on(notes, following)
            if not notes:
                return end
            after = row[index + 1] if index + 1 < len(row) else None
            is_last = after is None or after[1] != measure_end
            end = measure_end if is_last or after is None else after[0].left
        self._open.append(sounding._replace(notes=notes))
        return end


def _held_on(notes: Sequence[Note], event: PlacedEvent) -> list[Note]:
    """The notes of `event` by which ties hold any of `notes`; none where one is bent anew."""
    held = [own for own in event.item.event.notes if any(_is_held(note, own) for note in notes)]
    return [] if any(own.bend for own in held) else held


def _is_held(note: Note, held: Note) -> bool:
    """True when a tie leads from `note` to `held`."""
    return note.tie_to and held.tie_from and (note.string, note.pitch.midi) == (held.string, held.pitch.midi)
