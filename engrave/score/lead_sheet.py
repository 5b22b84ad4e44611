"""A score as a lead sheet: the tune on one staff, chord names over it, words under it, and the form.

Common practice, no source. What tells a player of frets how to play is left out: strings, fingers, strokes, techniques,
second voices, chord grids over the music. A lead sheet is for any player, so it says what sounds: where the part has a
capo, its melody, its chord names and the key move up to what is heard, and no capo is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from engrave.score.melody import PLAIN_SIGNS, plain_melody
from engrave.score.seen import find_tune
from engrave.score.structure import ChordAt, Grids, Measure, Part, PartMeasure, Score, View
from engrave.theory.instrument import Instrument
from engrave.theory.key import Key
from engrave.theory.transposition import (
    Interval,
    fit_interval,
    interval_of,
    transpose_chord,
    transpose_key,
)


def as_lead_sheet(score: Score) -> Score:
    """`score` as a score of one part that has nothing but the tune. A lead sheet stays as it is.

    Without a tune (see `find_tune`) the first part stands for it.
    """
    index = find_tune(score) or 0
    tune = score.parts[index]
    capo = tune.instrument.capo
    ways = _ways(score.measures, capo)
    measures = tuple(
        replace(measure, key=transpose_key(measure.key, way), counting=False)
        for measure, way in zip(score.measures, ways, strict=True)
    )
    voices = plain_melody(tune, score.measures, ways)
    chords = _gather_chords(score, index, [measure.key for measure in measures])
    contents = tuple(
        PartMeasure(
            voices=own,
            chords=named,
            texts=content.texts,
            dynamics=content.dynamics,
            spans=tuple(span for span in content.spans if span.name in PLAIN_SIGNS),
            location=content.location,
            repeats=content.repeats,
            repeat_index=content.repeat_index,
        )
        for content, own, named in zip(tune.measures, voices, chords, strict=True)
    )
    # Grids at the head had to be asked for; under a chord's sounding name the shape of a capo would be wrong.
    has_grids = score.grids is Grids.TOP and not any(part.instrument.capo for part in score.parts)
    return replace(
        score,
        measures=measures,
        parts=(Part(tune.id, tune.name, _as_voice(tune.instrument), contents),),
        view=View.LEAD_SHEET,
        grids=Grids.TOP if has_grids else Grids.NONE,
    )


def _as_voice(instrument: Instrument) -> Instrument:
    """The instrument without strings, written in its own clef and octave throughout: it is for any player."""
    return instrument._replace(tuning=(), capo=0, first_frets=(), usual_tuning=(), clef_by_range=False)


def _ways(measures: Sequence[Measure], capo: int) -> list[Interval]:
    """How far the fingered music of each measure lies below its sound."""
    if not measures:
        return []
    way = interval_of(capo, measures[0].key)
    return [fit_interval(way, measure.key) for measure in measures]


def _gather_chords(score: Score, tune: int, keys: Sequence[Key]) -> list[tuple[ChordAt, ...]]:
    """The chord names of each measure, as they sound under `keys`: the tune's own, else those of the first part with any."""
    order = [tune, *(index for index in range(len(score.parts)) if index != tune)]
    own = _ways(score.measures, score.parts[tune].instrument.capo)
    rows: list[tuple[ChordAt, ...]] = []
    for number, key in enumerate(keys):
        found: tuple[ChordAt, ...] = ()
        for index in order:
            part = score.parts[index]
            names = part.measures[number].chords if index == tune else _heard_chords(part, number)
            if names:
                capo = part.instrument.capo
                same = capo == score.parts[tune].instrument.capo
                found = _move(names, own[number] if same else _up_to(key, capo))
                break
        rows.append(found)
    return rows


def _heard_chords(part: Part, number: int) -> tuple[ChordAt, ...]:
    """The chords of a part in a measure, those of an earlier measure where it plays that again."""
    content = part.measures[number]
    while not content.chords and content.repeats and number >= content.repeats:
        number -= content.repeats
        content = part.measures[number]
    return content.chords


def _up_to(key: Key, capo: int) -> Interval:
    """The interval by which chords fingered over a capo become those that sound in `key`."""
    return Interval(capo, -interval_of(-capo, key).fifths)


def _move(chords: Sequence[ChordAt], way: Interval) -> tuple[ChordAt, ...]:
    return tuple(
        chord._replace(name=transpose_chord(chord.name, way) if way.semitones else chord.name, shape=None)
        for chord in chords
    )
