"""How well MIDI that a person played is read: tunes with an uneven hand, and what comes back.

    python -m tests.tools.played --tunes 40

Folk tunes of music21's corpus, two voices of its chorales (all long in the public domain) and the samples are played with
jitter, drifting tempo, notes that are let go early, and swing. For each way of playing: the share of notes whose onset comes
back, and of those whose value does too.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from math import pi, sin
from pathlib import Path
from typing import NamedTuple

from engrave.exchange.midi.messages import META, NOTE_OFF, NOTE_ON, SET_TEMPO, TIME_SIGNATURE, Message, encode
from engrave.exchange.midi.reader import read_midi
from engrave.playing.performance import perform
from engrave.problems import ProblemLog
from engrave.reading.load import load_score, read_text_score
from engrave.writing.dump import dump_score

DIVISION = 480
_WAVE = 20.0
"""Seconds of a wave of the tempo."""
SAMPLES = Path(__file__).parents[2] / "samples"


class Struck(NamedTuple):
    """A note as it is meant: start and length in whole notes, its MIDI number."""

    start: Fraction
    length: Fraction
    pitch: int


class Tune(NamedTuple):
    """Notes in one time at quarters a minute."""

    name: str
    notes: tuple[Struck, ...]
    tempo: float
    upper: int
    unit: int

    @property
    def has_eighths_alone(self) -> bool:
        """True where nothing is shorter than an eighth, so that it can be swung."""
        return self.unit <= 4 and all((note.start * 8).denominator == 1 for note in self.notes)


class Hand(NamedTuple):
    """How a tune is played. `jitter` in seconds to either side; `ramp` and `wave`: shares by which the tempo changes;
    `late`: seconds before it starts; `faster`: how many times the file's tempo; `held`: the share of each note."""

    jitter: float = 0.0
    ramp: float = 0.0
    wave: float = 0.0
    late: float = 0.0
    faster: float = 1.0
    held: float = 1.0
    swing: float = 0.5


HANDS = {
    "exact": Hand(),
    "jitter 20 ms": Hand(jitter=0.02),
    "held for 92 %": Hand(held=0.92),
    "5 % faster at the end": Hand(ramp=0.05),
    "tempo waves by 5 %": Hand(wave=0.05),
    "5 % faster at the end, 15 ms": Hand(ramp=0.05, jitter=0.015),
    "tempo waves by 5 %, 15 ms, 92 %": Hand(wave=0.05, jitter=0.015, held=0.92),
    "10 % slower than the file, 15 ms, 92 %": Hand(faster=0.9, jitter=0.015, held=0.92),
    "swung 2:1, 10 ms, 92 %": Hand(swing=2 / 3, jitter=0.01, held=0.92),
    "swung, waves by 4 %, 10 ms": Hand(swing=2 / 3, wave=0.04, jitter=0.01),
}


def play(tune: Tune, hand: Hand, seed: int = 1) -> bytes:
    """The tune as a MIDI file of a constant tempo, played as `hand` does."""
    chance = random.Random(seed)
    end = float(max(note.start + note.length for note in tune.notes)) * 240 / tune.tempo
    moments = _clock(tune, hand, end)
    chords: dict[Fraction, float] = {}
    rows: list[tuple[float, int, int]] = []
    for note in tune.notes:
        shift = chords.setdefault(note.start, chance.uniform(-hand.jitter, hand.jitter))
        start = max(0.0, moments(_swung(note.start, hand)) + shift + chance.uniform(-0.1, 0.1) * hand.jitter)
        stop = moments(_swung(note.start + note.length, hand))
        rows.append((start, NOTE_ON, note.pitch))
        rows.append(
            (
                max(start + 0.02, start + (stop - start) * hand.held - (hand.held == 1) * shift),
                NOTE_OFF,
                note.pitch,
            )
        )
    ticks = tune.tempo / 60 * DIVISION
    head = [
        Message(0, META, round(60_000_000 / tune.tempo).to_bytes(3, "big"), SET_TEMPO),
        Message(0, META, bytes((tune.upper, tune.unit.bit_length() - 1, 24, 8)), TIME_SIGNATURE),
    ]
    notes = [
        Message(round(time * ticks), status, bytes((pitch, 80 if status == NOTE_ON else 0)))
        for time, status, pitch in sorted(rows, key=lambda row: (round(row[0] * ticks), row[1] == NOTE_ON))
    ]
    return encode([[*head, *notes]], DIVISION)


def _swung(moment: Fraction, hand: Hand) -> float:
    place = float(moment * 4 % 1)
    if moment.denominator % 3 == 0 or hand.swing == 0.5:
        return float(moment)
    heard = place * hand.swing * 2 if place <= 0.5 else hand.swing + (place - 0.5) * 2 * (1 - hand.swing)
    return float(moment // Fraction(1, 4)) / 4 + heard / 4


def _clock(tune: Tune, hand: Hand, end: float) -> Callable[[float], float]:
    """Seconds of a moment in whole notes."""
    whole = 240 / tune.tempo / hand.faster

    def seconds(moment: float) -> float:
        time = moment * whole
        late = hand.ramp * time * time / (2 * max(end, 1.0))
        return hand.late + time - late + hand.wave * _WAVE / (2 * pi) * sin(2 * pi * time / _WAVE)

    return seconds


def compare(tune: Tune, data: bytes) -> tuple[int, int, int]:
    """(notes, onsets right, values right too) of a tune that was played."""
    tree, _ = read_midi(data)
    # No strings are chosen, and a swing that is read is taken off: what is written counts.
    tree = {key: value for key, value in tree.items() if key != "swing"}
    if tree["instrument"] != "voice":
        tree["instrument"] = "voice-tenor"
    log = ProblemLog("played")
    straight = read_text_score(dump_score(tree), log)
    assert straight is not None, [str(problem) for problem in log.in_order()]
    found = perform(straight, repeats=False).notes
    onsets = Counter((note.start, note.midi) for note in tune_notes(tune))
    values = Counter((note.start, note.length, note.midi) for note in tune_notes(tune))
    got = Counter((note.start, note.midi) for note in found)
    got_values = Counter((note.start, note.length, note.midi) for note in found)
    return len(tune.notes), (onsets & got).total(), (values & got_values).total()


class _Heard(NamedTuple):
    start: Fraction
    length: Fraction
    midi: int


def tune_notes(tune: Tune) -> list[_Heard]:
    return [_Heard(note.start, note.length, note.pitch) for note in tune.notes]


def sample_tunes() -> Iterator[Tune]:
    """The first part of each sample, repeats not taken, where all its notes lie on sixteenths or triplets."""
    for path in sorted(SAMPLES.glob("*.yaml")):
        score, _ = load_score(str(path))
        if score is None or score.measures[0].pickup:
            continue
        played = perform(score, repeats=False)
        notes = [note for note in played.notes if note.part == 0]
        grid = all((n.start * 16).denominator == 1 or (n.start * 12).denominator == 1 for n in notes)
        metre = score.measures[0].metre
        same = all(measure.metre == metre for measure in score.measures)
        if notes and grid and same:
            rows = {(n.start, n.midi): Struck(n.start, n.length, n.midi) for n in notes}
            yield Tune(
                path.stem,
                tuple(sorted(rows.values())),
                played.tempos[0].quarters,
                sum(metre.groups),
                metre.unit,
            )


def corpus_tunes(count: int) -> Iterator[Tune]:
    """Fiddle tunes, and sopranos with their basses from chorales."""
    from music21 import corpus

    chance = random.Random(3)
    paths = sorted(map(str, corpus.getComposer("ryansMammoth")))
    for path in chance.sample(paths, count):
        tune = _from_stream(Path(path).stem, corpus.parse(path), (0,))
        if tune is not None:
            yield tune
    paths = sorted(map(str, corpus.getComposer("bach")))
    for path in chance.sample([p for p in paths if "bwv" in p and p.endswith(".mxl")], count // 2):
        tune = _from_stream(Path(path).stem, corpus.parse(path), (0, -1))
        if tune is not None:
            yield tune


def _from_stream(name: str, stream, parts: Sequence[int]) -> Tune | None:
    rows: dict[tuple[Fraction, int], Struck] = {}
    time = None
    for number in parts:
        flat = stream.parts[number].stripTies().flatten()
        times = list(flat.getElementsByClass("TimeSignature"))
        if len({t.ratioString for t in times}) != 1:
            return None
        time = times[0]
        measures = stream.parts[number].getElementsByClass("Measure")
        if not measures:
            return None
        pickup = Fraction(time.barDuration.quarterLength - measures[0].duration.quarterLength) / 4
        for note in flat.notes:
            if note.duration.isGrace or not note.pitches:
                continue
            start = pickup + Fraction(note.offset).limit_denominator(48) / 4
            length = Fraction(note.quarterLength).limit_denominator(48) / 4
            if (start * 16).denominator != 1 and (start * 12).denominator != 1:
                return None
            for pitch in note.pitches:
                rows[start, pitch.midi] = Struck(start, length, pitch.midi)
    if time is None or not rows or time.denominator not in (2, 4, 8):
        return None
    return Tune(
        name,
        tuple(sorted(rows.values())),
        100.0 if time.denominator > 2 else 140.0,
        time.numerator,
        time.denominator,
    )


def report(count: int) -> None:
    """Print the table."""
    tunes = {"samples": list(sample_tunes())}
    tunes["tunes"], tunes["two voices"] = [], []
    for tune in corpus_tunes(count):
        tunes["two voices" if tune.name.startswith("bwv") else "tunes"].append(tune)
    print("played".ljust(40), *(f"{kind} ({len(rows)})".ljust(20) for kind, rows in tunes.items()))
    for name, hand in HANDS.items():
        cells = []
        for rows in tunes.values():
            fit = [tune for tune in rows if hand.swing == 0.5 or tune.has_eighths_alone]
            totals = [
                sum(column) for column in zip(*(compare(tune, play(tune, hand)) for tune in fit), strict=True)
            ]
            cells.append(f"{totals[1] / totals[0]:4.0%} {totals[2] / totals[0]:4.0%}" if totals else "-")
        print(name.ljust(40), *(cell.ljust(20) for cell in cells), flush=True)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="MIDI that a person played, read")
    parser.add_argument("--tunes", type=int, default=24)
    report(parser.parse_args().tunes)
