"""How long the sign of a note goes on where ties hold the note."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.layout.systems.placed import PlacedEvent, VoiceAt
from engrave.score.sign_list import SignName
from engrave.score.structure import Note


class HeldNotes:
    """The voices of one line of one staff, measure by measure, and the ties that lead through them."""

    def __init__(self, voices: Sequence[VoiceAt] = ()) -> None:
        """For `voices` in the order of their measures."""
        self._rows: dict[int, list[tuple[PlacedEvent, float]]] = {}
        self._at: dict[int, tuple[int, int]] = {}
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
        row = self._rows[number]
        notes = [note for note in event.item.event.notes if note.has(sign)]
        end = next_x
        while index + 1 < len(row):
            index += 1
            following, measure_end = row[index]
            notes = [
                held for held in following.item.event.notes if any(_is_held(note, held) for note in notes)
            ]
            if not notes or any(held.bend for held in notes):
                break
            after = row[index + 1] if index + 1 < len(row) else None
            is_last = after is None or after[1] != measure_end
            end = measure_end if is_last or after is None else after[0].left
        return end


def _is_held(note: Note, held: Note) -> bool:
    """True when a tie leads from `note` to `held`."""
    return note.tie_to and held.tie_from and (note.string, note.pitch.midi) == (held.string, held.pitch.midi)
