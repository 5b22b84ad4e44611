"""A Standard MIDI File as a tree of the score language, with a list of what was changed on the way."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from engrave.exchange.midi.collect import Collected, MidiMeasure, RawPart, collect, lay_measures
from engrave.exchange.midi.follow import follow_beats
from engrave.exchange.midi.messages import decode
from engrave.exchange.midi.quantise import Chord, quantise
from engrave.exchange.midi.swung import find_swing
from engrave.exchange.midi.values import write_measure
from engrave.fingering.first_guess import most_on_strings
from engrave.playing.taste import read_taste
from engrave.theory.instrument import PRESETS, Instrument
from engrave.theory.spelling import spell_in_context
from engrave.theory.swing import Swing

GRIDS = (1, 2, 4, 8, 16, 32, 64)
"""The grids: the note values of the score language."""
_MOST_PARTS = 12
"""Parts of a score, at most (the score's schema)."""
_GUITARS = range(24, 32)
_BASSES = range(32, 40)
_VOICES = range(52, 55)
"""Programs of General MIDI 1, counted from 0."""


_SWUNG = (
    "the eighths are long and short throughout, about two to one, so they are written as swung eighths;"
    " --no-swing writes them as triplets"
)


class _Voice(NamedTuple):
    """The chords of a voice, and their pitches in words."""

    chords: list[Chord]
    words: list[str]


class _Part(NamedTuple):
    """A part that is ready to be written: its upper voice and its lower one, which may have nothing."""

    id: str
    name: str
    instrument: Instrument
    voices: tuple[_Voice, _Voice]
    triplets: frozenset[int]

    @property
    def end(self) -> int:
        """Where the music ends."""
        return max((voice.chords[-1].stop for voice in self.voices if voice.chords), default=0)


def read_midi(
    data: bytes, finest: int = 16, triplets: bool = True, wanted: Sequence[str] = (), swing: bool = True
) -> tuple[dict[str, Any], list[str]]:
    """The score's tree of a MIDI file, and a sentence for everything that was moved, cut or left out.

    Notes go to the nearest 1/`finest` of a whole note, or with `triplets` to eighth triplets in beats that they fit
    better; with `swing` eighths that are long and short throughout become even ones, and the score says that they are swung.
    `wanted` chooses parts by name or by number (from 1); else all are taken. Where the tempo map does not fit the
    notes, their own beats are followed.

    Raises ValueError for a file that cannot be read, a `finest` that is not a note value and a part that is not there.
    """
    if finest not in GRIDS:
        raise ValueError(f"1/{finest} is not a note value; use one of {', '.join(map(str, GRIDS))}")
    found = collect(decode(data))
    chosen = _choose(found, wanted)
    remarks = follow_beats(found, chosen, finest)
    end = max((note.stop for part in chosen for note in part.notes), default=0)
    measures = lay_measures(found, end)
    is_swung = swing and _make_even(chosen, measures, found.scale)
    if is_swung:
        remarks.append(_SWUNG)
    changes = [*found.dropped, *remarks]
    parts: list[_Part] = []
    for raw in chosen:
        parts.append(
            _prepare(
                raw,
                measures,
                found.scale,
                finest,
                triplets=triplets,
                taken=[p.id for p in parts],
                changes=changes,
            )
        )
    last = max((part.end for part in parts), default=0)
    kept = [measure for measure in measures if measure.start < last] or measures[:1]
    return _tree(found, kept, parts, Swing.EIGHTHS if is_swung else Swing.NONE), changes


def _make_even(parts: Sequence[RawPart], measures: Sequence[MidiMeasure], scale: int) -> bool:
    """Make long and short eighths even where the parts are swung; whether they are."""
    swung = find_swing([note for part in parts for note in part.notes], measures, scale)
    if swung is None:
        return False
    for part in parts:
        part.notes = [
            note._replace(start=swung.even(note.start, scale), stop=swung.even(note.stop, scale))
            for note in part.notes
        ]
    return True


def _choose(found: Collected, wanted: Sequence[str]) -> list[RawPart]:
    """The wanted parts in the order of the file. Raises ValueError when one is not there."""
    if not found.parts:
        raise ValueError("the MIDI file has no notes that can be written")
    if not wanted:
        for part in found.parts[_MOST_PARTS:]:
            found.lost[f"{part.name} was left out: a score has at most {_MOST_PARTS} parts"] += 1
        return found.parts[:_MOST_PARTS]
    numbers: set[int] = set()
    for wish in wanted:
        word = wish.strip().casefold()
        named = {index for index, part in enumerate(found.parts) if part.name.casefold() == word}
        if not named and word.isdecimal() and 0 < int(word[:9]) <= len(found.parts):
            named = {int(word) - 1}
        if not named:
            there = ", ".join(f"{index + 1} {part.name}" for index, part in enumerate(found.parts))
            raise ValueError(f'the MIDI file has no part "{wish}"; it has {there}')
        numbers |= named
    if len(numbers) > _MOST_PARTS:
        raise ValueError(f"{len(numbers)} parts were asked for; a score has at most {_MOST_PARTS}")
    return [found.parts[number] for number in sorted(numbers)]


def _prepare(
    raw: RawPart,
    measures: Sequence[MidiMeasure],
    scale: int,
    finest: int,
    triplets: bool,
    taken: Sequence[str],
    changes: list[str],
) -> _Part:
    """A part quantised, given an instrument, and spelled."""
    quantised = quantise(raw.notes, measures, scale, finest, triplets)
    changes.extend(f"{raw.name}, {change}" for change in quantised.changes)
    instrument = _instrument(raw)
    rows = (quantised.upper, quantised.lower)
    if instrument.tuning:
        rows = tuple(  # type: ignore[assignment]
            [chord._replace(pitches=most_on_strings(instrument, chord.pitches)) for chord in row]
            for row in rows
        )
        lost = _count(quantised.upper, quantised.lower) - _count(*rows)
        if lost:
            changes.append(
                f"{raw.name}: {lost} notes dropped from chords that no hand can hold on its strings"
            )
    upper, lower = (_Voice(row, _words(row, measures, 12 * instrument.octave)) for row in rows)
    slug = re.sub(r"[^a-z0-9_-]+", "-", raw.name.lower()).strip("-_0123456789") or "part"
    identity, number = slug, 1
    while identity in taken:
        number += 1
        identity = f"{slug}-{number}"
    return _Part(identity, raw.name, instrument, (upper, lower), quantised.triplets)


def _count(*rows: Sequence[Chord]) -> int:
    """The notes of voices."""
    return sum(len(chord.pitches) for row in rows for chord in row)


def _instrument(part: RawPart) -> Instrument:
    """Bass and guitar by program, the guitar by range too; a voice where the strings do not reach all pitches."""
    names: tuple[str, ...] = ("guitar",)
    if part.program in _GUITARS:
        names = ("guitar", "guitar-7", "guitar-8")
    elif part.program in _BASSES:
        names = ("bass", "bass-5", "bass-6")
    elif part.program in _VOICES:
        names = ()
    for name in names:
        if all(PRESETS[name].places(pitch) for pitch in {note.pitch for note in part.notes}):
            return PRESETS[name]
    return PRESETS["voice"]


def _words(chords: Sequence[Chord], measures: Sequence[MidiMeasure], octave: int) -> list[str]:
    """The written pitches of each chord, spelled by key and melody."""
    keys, at = [], 0
    for chord in chords:
        while at + 1 < len(measures) and measures[at + 1].start <= chord.start:
            at += 1
        keys.append(measures[at].key)
    groups = [[pitch + octave for pitch in chord.pitches] for chord in chords]
    return ["+".join(pitch.name for pitch in row) for row in spell_in_context(groups, keys)]


def _tree(
    found: Collected, measures: Sequence[MidiMeasure], parts: Sequence[_Part], swing: Swing
) -> dict[str, Any]:
    """The score's tree: its head, and the measures with what each part plays in them."""
    pickup = len(measures) > 1 and measures[0].length < measures[1].length
    tree: dict[str, Any] = {"score": 1}
    if found.title:
        tree["title"] = found.title
    if len(parts) == 1:
        tree["instrument"] = parts[0].instrument.name
    tree["key"] = measures[0].key.name
    tree["time"] = measures[1 if pickup else 0].metre.text
    tree["tempo"] = _tempo(measures[0].tempo or read_taste().tempo)
    if swing is not Swing.NONE:
        tree["swing"] = swing.value
    if len(parts) > 1:
        tree["parts"] = [
            {"id": part.id, "name": part.name, "instrument": part.instrument.name} for part in parts
        ]
    music = [_write(part, measures, pickup) for part in parts]
    tree["measures"] = [
        _measure(measures, index, pickup, parts, [rows[index] for rows in music])
        for index in range(len(measures))
    ]
    return tree


def _measure(
    measures: Sequence[MidiMeasure], index: int, pickup: bool, parts: Sequence[_Part], music: Sequence[Any]
) -> dict[str, Any]:
    measure = measures[index]
    tree: dict[str, Any] = {}
    if index == 0 and pickup:
        tree["pickup"] = True
    if index:
        before = measures[index - 1]
        # A last tree that is short by the pickup keeps the time before it (common practice).
        closes = (
            pickup and index == len(measures) - 1 and measure.length + measures[0].length == before.length
        )
        if measure.metre != before.metre and not (index == 1 and pickup) and not closes:
            tree["time"] = measure.metre.text
        if measure.key != before.key:
            tree["key"] = measure.key.name
        if measure.tempo:
            tree["tempo"] = _tempo(measure.tempo)
    if len(parts) == 1:
        tree |= music[0]
    else:
        tree["parts"] = {part.id: content for part, content in zip(parts, music)}
    return tree


def _tempo(quarters: float) -> str:
    """A metronome mark with two decimals at most."""
    number = f"{quarters:.2f}".rstrip("0").rstrip(".")
    return f"1/4 = {number}"


def _write(part: _Part, measures: Sequence[MidiMeasure], pickup: bool) -> list[dict[str, Any]]:
    """What stands in each measure: the upper voice, and the lower one where it has something."""
    upper, lower = (_pieces(voice, measures) for voice in part.voices)
    rows: list[dict[str, Any]] = []
    for index, measure in enumerate(measures):
        first, second = upper[index], lower[index]
        if not first and not _is_tied(second) and not _is_tied(lower[index + 1]):
            first, second = second, []
        is_silent = not first and not (index == 0 and pickup)
        content: dict[str, Any] = {
            "notes": "rest"
            if is_silent
            else write_measure(_with_rests(first, measure), measure, part.triplets)
        }
        if second:
            content["lower"] = write_measure(_with_rests(second, measure), measure, part.triplets)
        rows.append(content)
    return rows


def _is_tied(pieces: Sequence[tuple[int, int, str]]) -> bool:
    """True where a measure's music is tied to that before, in the same voice."""
    return bool(pieces) and pieces[0][2] == "tie"


def _pieces(voice: _Voice, measures: Sequence[MidiMeasure]) -> dict[int, list[tuple[int, int, str]]]:
    """The pieces of a voice by measure: chords tied over barlines."""
    pieces: dict[int, list[tuple[int, int, str]]] = defaultdict(list)
    at = 0
    for chord, words in zip(voice.chords, voice.words, strict=True):
        while measures[at].start + measures[at].length <= chord.start:
            at += 1
        index = at
        while index < len(measures) and measures[index].start < chord.stop:
            measure = measures[index]
            start, stop = max(chord.start, measure.start), min(chord.stop, measure.start + measure.length)
            pieces[index].append((start, stop, words if start == chord.start else "tie"))
            index += 1
    return pieces


def _with_rests(pieces: Sequence[tuple[int, int, str]], measure: MidiMeasure) -> list[tuple[int, int, str]]:
    """The pieces of a measure with rests in the gaps."""
    end = measure.start + measure.length
    edges = [(measure.start, measure.start, ""), *pieces, (end, end, "")]
    filled: list[tuple[int, int, str]] = []
    for (_, stop, _), piece in pairwise(edges):
        if stop < piece[0]:
            filled.append((stop, piece[0], "rest"))
        if piece[0] < piece[1]:
            filled.append(piece)
    return filled
