"""Likely slips of the pen: frets far from their neighbours, notes outside the key. They are pointed out, not changed."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.cells import Cell, Cluster
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.pitch import SEMITONES, STEPS

_FAR = 9
"""Frets from both neighbours that are too far for a melody (house rule)."""
_FEWEST_NOTES = 12
"""Notes that a key is guessed from, at least (house rule)."""
_IN_KEY = 0.9
"""The share of notes that must lie in one key, so that the others may be slips (house rule)."""
_OCTAVE = 12


def remark_jumps(clusters: Sequence[Cluster], log: RemarkLog) -> None:
    """Point out frets more than nine frets from both neighbours in a melody; open strings are near to every fret."""
    for before, here, after in zip(clusters, clusters[1:], clusters[2:]):
        frets = [cluster.cells[0].fret for cluster in (before, here, after) if len(cluster.cells) == 1]
        if len(frets) < 3:
            continue
        first, fret, last = frets
        if first and fret and last and abs(fret - first) > _FAR and abs(fret - last) > _FAR:
            cell = here.cells[0]
            what = (
                f"string {cell.string}: fret {fret} is far from fret {first} before and fret {last} after it"
            )
            log.add("slip", cell.line, cell.text_column, what)


def remark_foreign_notes(played: Sequence[tuple[Instrument, Cell]], key: Key | None, log: RemarkLog) -> None:
    """Point out notes outside `key`, or outside the key that nearly all of the notes share."""
    pitches = [
        (instrument.sounding_midi(cell.string, cell.fret) % _OCTAVE, cell)
        for instrument, cell in played
        if cell.fret is not None
    ]
    if len(pitches) < _FEWEST_NOTES:
        return
    counts = [0] * _OCTAVE
    for pitch, _ in pitches:
        counts[pitch] += 1
    told = key is not None
    key = key or max(
        (Key(fifths) for fifths in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6)), key=lambda k: _share(k, counts)
    )
    if not _IN_KEY * len(pitches) <= _share(key, counts) < len(pitches):
        return
    scale = _scale(key)
    step, alter = Key(key.fifths).tonic
    name = key.name if told else f"{STEPS[step]}{'#' * alter}{'b' * -alter} major or its relatives"
    for pitch, cell in pitches:
        if pitch not in scale:
            what = f"string {cell.string}: fret {cell.fret} lies outside {name}"
            log.add("slip", cell.line, cell.text_column, what)


def _scale(key: Key) -> frozenset[int]:
    return frozenset((SEMITONES[step] + key.alters[step]) % _OCTAVE for step in range(7))


def _share(key: Key, counts: Sequence[int]) -> int:
    return sum(counts[pitch] for pitch in _scale(key))
