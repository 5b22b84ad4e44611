"""The pieces that `evenness` lays out: samples, tunes of printed collections, and music drawn at random."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from music21 import chord, converter, corpus, key, meter, note, stream

from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score

SAMPLES = Path(__file__).parents[2] / "samples"
TUNES = 30
"""How many tunes of W. Ryan's collection (Boston 1883) are taken: every twentieth that can be read (house rule)."""
_EVERY = 20
_VALUES = {
    Fraction(4): "1/1",
    Fraction(3): "1/2.",
    Fraction(2): "1/2",
    Fraction(3, 2): "1/4.",
    Fraction(1): "1/4",
    Fraction(3, 4): "1/8.",
    Fraction(1, 2): "1/8",
    Fraction(3, 8): "1/16.",
    Fraction(1, 4): "1/16",
    Fraction(1, 8): "1/32",
}
_KEYS = {
    -3: "Eb major",
    -2: "Bb major",
    -1: "F major",
    0: "C major",
    1: "G major",
    2: "D major",
    3: "A major",
    4: "E major",
}
_RHYTHMS = (
    "[1/1: A]",
    "[1/2: A, 1/2: B]",
    "[1/4: [A, B, C, D]]",
    "[1/8: [A, B, C, D, A, C, B, D]]",
    "[1/4.: A, 1/8: B, 1/2: C]",
    "[1/8.: A, 1/16: B, 1/4: C, 1/8.: D, 1/16: A, 1/4: B]",
    "[1/16: [A, B, C, D, A, C, B, D], 1/2: A]",
    "[1/16: [A, B, C, D, A, C, B, D, A, B, C, D, D, C, B, A]]",
    "[1/4: A, 1/8: [B, C], 1/4: rest, 1/8: [D, A]]",
    "[3 in 2 of 1/8: [A, B, C], 1/4: D, 3 in 2 of 1/8: [D, C, B], 1/4: A]",
)
_SINGABLE = 5
"""The first so many rhythms are taken for words: who sings has no sixteenths for long (house rule)."""
_WORDS = [
    "a",
    "the",
    "sea",
    "through",
    "morn-ing",
    "light",
    "we",
    "went",
    "straight",
    "on",
    "and",
    "nev-er",
    "stopped",
    "for",
    "bread",
    "or",
    "strength",
    "in",
    "fields",
]
_CHORDS = ("C", "Am7", "F#m7", "Dm", "G7sus4", "E7", "Bm7", "A")


def all_pieces() -> Iterator[tuple[str, str, str]]:
    """Name, group and text of every piece."""
    yield from ((name, "samples", text) for name, text in sample_pieces())
    yield from ((name, "tunes", text) for name, text in tune_pieces())
    for name, text in random_pieces():
        yield name, "drawn, sung" if "lyrics:" in text else "drawn, played", text


def sample_pieces() -> Iterator[tuple[str, str]]:
    """Name and text of each sample that is a score."""
    for path in sorted(SAMPLES.glob("*.yaml")):
        yield path.stem, path.read_text(encoding="utf-8")


def tune_pieces() -> Iterator[tuple[str, str]]:
    """Name and text of tunes from the collections that come with music21 (Ryan 1883, traditional), for guitar."""
    paths = [Path(path) for path in corpus.getCorePaths() if "ryansMammoth" in str(path)]
    found = 0
    for path in sorted(paths)[::_EVERY]:
        text = write_tune(converter.parse(path)) if found < TUNES else None
        if text is not None and read_text_score(text, ProblemLog(path.name)) is not None:
            found += 1
            yield path.stem, text


def write_tune(tune: Any) -> str | None:
    """A tune of one voice as YAML; None where it has a value, a key or a metre that the plain form does not write."""
    part = tune.parts[0] if tune.parts else tune
    measures = list(part.getElementsByClass(stream.Measure))
    signature, metre = part.recurse().getElementsByClass(key.KeySignature).first(), None
    if signature is None or signature.sharps not in _KEYS or not measures:
        return None
    rows: list[str] = []
    waiting: list[str | None] = []
    filled = Fraction(0)
    for index, measure in enumerate(measures):
        metre = measure.getElementsByClass(meter.TimeSignature).first() or metre
        waiting += [_event(each) for each in measure.notesAndRests]
        filled += sum((Fraction(each.quarterLength) for each in measure.notesAndRests), Fraction(0))
        if metre is None or None in waiting:
            return None
        is_full = filled == Fraction(metre.barDuration.quarterLength)
        if waiting and (is_full or index in (0, len(measures) - 1)):
            start = "  - " if index or is_full else "  - pickup: true\n    "
            rows.append(f"{start}notes: [{', '.join(str(event) for event in waiting)}]\n")
            waiting, filled = [], Fraction(0)
    first = part.recurse().getElementsByClass(meter.TimeSignature).first()
    return (
        f"score: 1\ntitle: Tune\ninstrument: guitar\nkey: {_KEYS[signature.sharps]}\ntime: {first.ratioString}\n"
        "measures:\n" + "".join(rows)
    )


def _event(each: Any) -> str | None:
    value = _VALUES.get(Fraction(each.quarterLength))
    if value is None or isinstance(each, chord.Chord):
        return None
    return (
        f"{value}: {each.pitch.nameWithOctave.replace('-', 'b') if isinstance(each, note.Note) else 'rest'}"
    )


def random_pieces(count: int = 32) -> Iterator[tuple[str, str]]:
    """Name and text of invented pieces: some sung, some with chord names, of eight to sixty measures."""
    for seed in range(count):
        rng = random.Random(seed)
        sung, named, verses = rng.random() < 0.35, rng.random() < 0.5, rng.randint(1, 3)
        kinds = rng.sample(_RHYTHMS[:_SINGABLE] if sung else _RHYTHMS, rng.randint(2, 5))
        rows = [_random_measure(rng, kinds, sung, named, verses) for _ in range(rng.randint(8, 60))]
        for at in range(8, len(rows), 8):
            rows[at] += f"    label: {chr(64 + at // 8)}\n" if rng.random() < 0.4 else ""
        yield f"random {seed}", "score: 1\ntitle: Drawn\nkey: G major\nmeasures:\n" + "".join(rows)


def _random_measure(rng: random.Random, kinds: Sequence[str], sung: bool, named: bool, verses: int) -> str:
    rhythm = rng.choice(kinds)
    notes = sum(rhythm.count(letter) for letter in "ABCD")
    for letter in "ABCD":
        while letter in rhythm:
            fret = rng.choice((0, 1, 2, 2, 3, 4, 5, 10, 12))
            rhythm = rhythm.replace(letter, f"{{{rng.randint(1, 5)}: {fret}}}", 1)
    row = f"  - notes: {rhythm}\n"
    if named and rng.random() < 0.7:
        row += f"    chord: {rng.choice(_CHORDS)}\n"
    if sung:
        texts = [" ".join(_sung_words(rng, notes)) for _ in range(verses)]
        row += "    lyrics: [" + ", ".join(f'"{text}"' for text in texts) + "]\n"
    return row


def _sung_words(rng: random.Random, notes: int) -> Iterator[str]:
    left = notes
    while left > 0:
        word = rng.choice([word for word in _WORDS if word.count("-") < left])
        left -= word.count("-") + 1
        yield word
