"""Played notes moved to the grid: chords of one or two voices at positions in 192nds of a whole note."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from engrave.exchange.midi.collect import UNITS, MidiMeasure, RawNote
from engrave.exchange.midi.held import are_exact, decide_stop
from engrave.exchange.midi.voices import Group, Sounding, has_overlaps, part_voices
from engrave.theory.numbering import name_measures

QUARTER = UNITS // 4
TRIPLET = QUARTER // 3
"""An eighth of a triplet."""
_NOTICED = UNITS // 64
"""Notes that are moved farther than a 64th are reported."""


class Chord(NamedTuple):
    """MIDI numbers that sound from `start` to `stop`, in 192nds."""

    start: int
    stop: int
    pitches: tuple[int, ...]


class Quantised(NamedTuple):
    """An upper and a lower voice without overlaps; the beats (positions of quarters) that are triplets; what was changed, in words."""

    upper: list[Chord]
    lower: list[Chord]
    triplets: frozenset[int]
    changes: list[str]


class _Note(NamedTuple):
    """A note on the grid: where it starts there and when it was struck (scaled ticks), and when it was let go (192nds)."""

    start: int
    struck: int
    stop: float


def quantise(
    notes: Sequence[RawNote], measures: Sequence[MidiMeasure], scale: int, finest: int, triplets: bool
) -> Quantised:
    """The notes of a part on a grid of 1/`finest`; a beat is a triplet where that fits its notes better.

    Notes that overlap with different ends are parted into two voices.
    """
    snapper = _Snapper(measures, scale, UNITS // finest)
    if triplets:
        snapper.find_triplets(notes)
    log = _Changes(snapper)
    groups = _gather(notes, snapper, scale, log)
    stops = [note.stop for group in groups for note in group.notes]
    is_exact = are_exact(stops, [snapper.snap_place(stop) for stop in stops])
    counts = part_voices(groups) if has_overlaps(groups) else [0] * len(groups)
    rows = (
        [Group(group.start, group.notes[count:]) for group, count in zip(groups, counts, strict=True)],
        [Group(group.start, group.notes[:count]) for group, count in zip(groups, counts, strict=True)],
    )
    upper, lower = (_chords([group for group in row if group.notes], snapper, is_exact, log) for row in rows)
    return Quantised(upper, lower, frozenset(snapper.triplets), log.sentences())


def _gather(notes: Sequence[RawNote], snapper: _Snapper, scale: int, log: _Changes) -> list[Group]:
    """The notes by where they start on the grid; the same pitch twice at one place is one note."""
    groups: dict[int, dict[int, _Note]] = defaultdict(dict)
    for note in sorted(notes):
        start = snapper.snap(note.start)
        log.note_moved(start, abs(note.start - start * scale) > _NOTICED * scale)
        group, stop = groups[start], note.stop / scale
        if note.pitch in group:
            before = group[note.pitch]
            log.note_doubled(start, note.start - before.struck > _NOTICED * scale)
            stop = max(before.stop, stop)
        group[note.pitch] = _Note(start, note.start, stop)
    return [
        Group(start, tuple(Sounding(pitch, note.stop) for pitch, note in sorted(groups[start].items())))
        for start in sorted(groups)
    ]


def _chords(groups: Sequence[Group], snapper: _Snapper, is_exact: bool, log: _Changes) -> list[Chord]:
    """One voice without overlaps: each chord lasts until it is let go, or until the next one."""
    chords: list[Chord] = []
    for group, after in zip(groups, [*groups[1:], None], strict=False):
        let_go = max(note.stop for note in group.notes)
        following = after.start if after is not None else None
        snapped = snapper.snap_place(let_go)
        stop = decide_stop(group.start, let_go, snapped, following, is_exact)
        if snapper.snap_place(stop) != stop:  # a plain value may end beside the places of a triplet
            stop = snapped
        stop = max(stop, snapper.after(group.start))
        if following is not None and following < stop:
            log.note_cut(group.start, stop - following > _NOTICED)
            stop = following
        chords.append(Chord(group.start, stop, tuple(note.pitch for note in group.notes)))
    return chords


class _Changes:
    """Counts changes by measure."""

    def __init__(self, snapper: _Snapper) -> None:
        self._snapper = snapper
        self._counts: Counter[tuple[int, str]] = Counter()

    def note_moved(self, start: int, noticed: bool) -> None:
        self._add(start, noticed, "moved by more than a 64th")

    def note_doubled(self, start: int, noticed: bool) -> None:
        self._add(start, noticed, "dropped: the grid has no room between it and the same note before it")

    def note_cut(self, start: int, noticed: bool) -> None:
        self._add(start, noticed, "cut where the next note begins")

    def _add(self, start: int, noticed: bool, what: str) -> None:
        if noticed:
            self._counts[self._snapper.measure(start) + 1, what] += 1

    def sentences(self) -> list[str]:
        """A sentence for each kind of change, in the order in which they first occur."""
        kinds: dict[str, dict[int, int]] = {}
        for (measure, what), count in sorted(self._counts.items()):
            kinds.setdefault(what, {})[measure] = count
        return [
            f"{name_measures([str(number) for number in found])}: {total} note{'s' if total > 1 else ''} {what}"
            for what, found in kinds.items()
            if (total := sum(found.values()))
        ]


class _Snapper:
    """Moves moments to the grid or, in triplet beats, to triplets."""

    def __init__(self, measures: Sequence[MidiMeasure], scale: int, step: int) -> None:
        self._measures, self._scale, self._step = measures, scale, step
        self._starts = [measure.start for measure in measures]
        self.triplets: set[int] = set()

    def measure(self, position: int) -> int:
        """The index of the measure at `position` (192nds)."""
        return max(0, bisect_right(self._starts, position) - 1)

    def find_triplets(self, notes: Sequence[RawNote]) -> None:
        """Decide beat by beat: by the onsets, and by the ends where the onsets fit both alike."""
        errors: dict[int, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
        for note in notes:
            for rank, moment in enumerate((note.start, note.stop)):
                beat = self._beat(moment)
                if beat is not None:
                    row = errors[beat]
                    row[rank] += abs(self._on_triplet(beat, moment) * self._scale - moment)
                    row[2 + rank] += abs(self._on_grid(moment) * self._scale - moment)
        self.triplets = {beat for beat, row in errors.items() if self._is_triplet(*row)}

    def _is_triplet(self, onsets: int, ends: int, onsets_on_grid: int, ends_on_grid: int) -> bool:
        """Ends alone make no triplet unless they are exact: players let go of notes at any time."""
        return onsets < onsets_on_grid or (onsets == onsets_on_grid and ends < min(ends_on_grid, self._scale))

    def snap(self, moment: int) -> int:
        """The position of a moment in scaled ticks."""
        beat = self._beat(moment) if self.triplets else None
        return self._on_triplet(beat, moment) if beat in self.triplets else self._on_grid(moment)

    def snap_place(self, place: float) -> int:
        """The position of a moment in 192nds."""
        return self.snap(round(place * self._scale))

    def after(self, position: int) -> int:
        """The next position that a note can end at."""
        measure = self._measures[self.measure(position)]
        offset = position - measure.start
        beat = measure.start + offset // QUARTER * QUARTER
        if beat in self.triplets:
            return position + TRIPLET
        return measure.start + min(offset // self._step * self._step + self._step, measure.length)

    def _beat(self, moment: int) -> int | None:
        """The position of the quarter that can be a triplet, None in metres of eighths and shorter."""
        position = moment // self._scale
        measure = self._measures[self.measure(position)]
        if measure.metre.unit > 4 or position >= measure.start + measure.length:
            return None
        return measure.start + (position - measure.start) // QUARTER * QUARTER

    def _on_triplet(self, beat: int | None, moment: int) -> int:
        assert beat is not None
        size = TRIPLET * self._scale
        return beat + (2 * (moment - beat * self._scale) + size) // (2 * size) * TRIPLET

    def _on_grid(self, moment: int) -> int:
        """The nearest place of the grid, which starts anew in each measure; a barline is a place too."""
        measure = self._measures[self.measure(moment // self._scale)]
        offset, size = moment - measure.start * self._scale, self._step * self._scale
        low = min(offset // size * self._step, measure.length)
        high = min(low + self._step, measure.length)
        nearer_low = offset - low * self._scale < high * self._scale - offset
        return measure.start + (low if nearer_low else high)
