"""How the notes of a voice are spelled where their author did not say: by key, neighbours and the chord above."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from engrave.score.joins import Joinable, find_tied
from engrave.score.structure import ChordAt
from engrave.theory.chord_name import chord_letters
from engrave.theory.key import Key
from engrave.theory.pitch import SEMITONES, Pitch
from engrave.theory.spelling import spell_in_context, spell_midi


class VoiceSpeller:
    """Spells the notes of one voice in the order of playing.

    A held note is spelled like its start; a chord name above decides for its tones; within a measure a pitch keeps the
    spelling that it had first. For each event: `start`, then for each of its notes `propose` and `keep`.
    """

    def __init__(self, groups: Sequence[Sequence[int]], keys: Sequence[Key]) -> None:
        """The written MIDI numbers of every event of the voice, and the key under which each stands."""
        self._keys = keys
        self._usual = spell_in_context(groups, keys)
        self._event = -1
        self._measure = -1
        self._letters: dict[int, tuple[int, int]] = {}
        self._in_measure: dict[int, Pitch] = {}
        self._before: list[tuple[Joinable, Pitch]] = []
        self._now: list[tuple[Joinable, Pitch]] = []

    def start(self, measure: int, onset: Fraction, chords: Sequence[ChordAt]) -> None:
        """The next event: its measure, where it starts in it, and the chord names of the measure."""
        self._event += 1
        self._before, self._now = self._now, []
        if measure != self._measure:
            self._measure, self._in_measure = measure, {}
        self._letters = _letters_at(chords, onset)

    def held(self, note: Joinable) -> Pitch | None:
        """The spelling of a note that a tie holds from the event before; None when there is no tie, or no such note there.

        It is asked while notes are still being spelled, so it goes along with them and not by the finished `Joins`;
        which note a tie holds is the same question, with the same answer.
        """
        if not note.tie_from:
            return None
        start = find_tied([before for before, _ in self._before], note)
        return self._before[start][1] if start is not None else None

    def propose(self, note: int, midi: int) -> Pitch:
        """The spelling of a note that nobody spelled; `note` counts within the event."""
        return self._in_measure.get(midi) or self._by_chord(self._usual[self._event][note])

    def keep(self, note: Joinable, pitch: Pitch, proposed: bool) -> None:
        """The spelling is `pitch`; `proposed`: it is the proposal."""
        self._now.append((note, pitch))
        if proposed:
            self._in_measure[note.midi] = pitch

    def _by_chord(self, pitch: Pitch) -> Pitch:
        """The chord's spelling of a note that the key does not have."""
        return _by_letters(pitch, self._keys[self._event], self._letters)


def spell_bent(midi: int, key: Key, chords: Sequence[ChordAt], onset: Fraction) -> Pitch:
    """The spelling of the pitch `midi` to which a string is bent at `onset`: by the key, else by the chord, else by custom.

    Where the melody goes on a semitone higher or lower decides nothing, for a bent string comes back (house rule).
    """
    return _by_letters(spell_midi(midi, key), key, _letters_at(chords, onset))


def _by_letters(pitch: Pitch, key: Key, letters: Mapping[int, tuple[int, int]]) -> Pitch:
    """`pitch` with the letter that a chord has for it, unless the key has it as it is."""
    letter = letters.get(pitch.midi % 12)
    if letter is None or pitch.alter == key.alters[pitch.step]:
        return pitch
    step, alter = letter
    return Pitch(step, alter, (pitch.midi - SEMITONES[step] - alter) // 12 - 1)


def _letters_at(chords: Sequence[ChordAt], onset: Fraction) -> dict[int, tuple[int, int]]:
    """The letters of the chord that holds at `onset`, by pitch class."""
    name = None
    for chord in chords:
        if chord.onset <= onset:
            name = chord.name
    return chord_letters(name) if name is not None else {}
