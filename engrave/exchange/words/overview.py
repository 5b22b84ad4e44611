"""What a listener wants to know before the first note: key and time, the form, each part's strings, chords and signs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from engrave.exchange.words.outline import Items, Section
from engrave.exchange.words.speech import Speaker, capital
from engrave.exchange.words.vocabulary import fill
from engrave.score.joins import events_in_order
from engrave.score.structure import Measure, Note, Part, Score
from engrave.score.used_signs import used_signs
from engrave.theory.chord_shape import ChordShape
from engrave.theory.repeats import unfold


def tell_overview(score: Score, speaker: Speaker) -> Section:
    """The piece, then each part."""
    parts = tuple(
        Section(speaker.book.part_name(part), tuple(map(_sentence, _part(score, part, speaker))))
        for part in score.parts
    )
    blocks: tuple[str | Items, ...] = (*map(_sentence, _piece(score, speaker)), *_shapes(score, speaker))
    return Section(speaker.phrases.overview, blocks, parts)


def _sentence(said: str) -> str:
    return capital(said) if said.endswith(".") else f"{capital(said)}."


def _piece(score: Score, speaker: Speaker) -> Iterator[str]:
    """What holds for all parts."""
    phrases, measures = speaker.phrases, score.measures
    if measures:
        first = measures[0]
        yield speaker.key(first.key)
        yield speaker.time(first.metre)
        if first.tempo is not None:
            yield speaker.tempo(first.tempo)
    yield fill(phrases.length, str(sum(measure.rests for measure in measures if not measure.pickup)))
    labels = [measure.index for measure in measures if measure.label]
    if labels:
        spans = pairwise((*labels, len(measures)))
        yield fill(phrases.form, "; ".join(_labelled(measures, *span, speaker) for span in spans))
    order = unfold([measure.repeat for measure in measures])
    if order != list(range(len(measures))):
        yield fill(phrases.order, ", ".join(_runs(measures, order, speaker)))
    yield phrases.octaves


def _labelled(measures: Sequence[Measure], first: int, stop: int, speaker: Speaker) -> str:
    return f"{measures[first].label}, {_span(measures, first, stop - 1, speaker)}"


def _span(measures: Sequence[Measure], first: int, last: int, speaker: Speaker) -> str:
    """The numbers of the measures from index `first` to index `last`: "1 to 8", "9"."""
    start, end = measures[first].number, measures[last].number + measures[last].rests - 1
    return str(start) if start == end else fill(speaker.phrases.from_to, first=str(start), last=str(end))


def _runs(measures: Sequence[Measure], order: Sequence[int], speaker: Speaker) -> Iterator[str]:
    """The order of playing in runs of measures that follow each other on paper."""
    starts = [0, *(at for at in range(1, len(order)) if order[at] != order[at - 1] + 1), len(order)]
    for start, stop in pairwise(starts):
        yield _span(measures, order[start], order[stop - 1], speaker)


def _part(score: Score, part: Part, speaker: Speaker) -> Iterator[str]:
    """What a part is played on and with."""
    phrases, book, instrument = speaker.phrases, speaker.book, part.instrument
    name = book.instrument_name(instrument.name)
    if name != book.part_name(part):
        yield name
    if part.is_fretted:
        pitches = [speaker.note_name(pitch.step, pitch.alter) for pitch in reversed(instrument.tuning)]
        count = speaker.number(instrument.strings)
        yield fill(phrases.strings_tuned, count=count, pitches=", ".join(pitches))
        if instrument.capo:
            yield fill(book.page.capo, str(instrument.capo))
    if instrument.octave == 1:
        yield fill(phrases.written, phrases.octave_lower)
    notes = [note for note in _notes(part) if not note.is_slash]
    if notes:
        low, high = min(notes, key=lambda note: note.midi), max(notes, key=lambda note: note.midi)
        yield fill(phrases.range, low=speaker.pitch(low.pitch), high=speaker.pitch(high.pitch))
        if part.is_fretted:
            yield fill(phrases.highest_fret, str(max(note.fret for note in notes)))
    chords = dict.fromkeys(speaker.chord(chord.name) for own in part.measures for chord in own.chords)
    if chords:
        yield fill(phrases.chords_used, ", ".join(chords))
    signs = used_signs(_alone(score, part))
    if signs:
        yield fill(phrases.signs_used, ", ".join(map(speaker.sign, signs)))


def _alone(score: Score, part: Part) -> Score:
    return Score(measures=score.measures, parts=(part,))


def _notes(part: Part) -> Iterator[Note]:
    for own in part.measures:
        for voice in own.voices:
            for event in events_in_order(voice):
                yield from event.notes


def _shapes(score: Score, speaker: Speaker) -> Iterator[Items]:
    """How the chords are held for which the score names a shape, string by string from the thickest."""
    if score.shapes:
        items = (
            _sentence(speaker.book.labelled(speaker.chord(named.name), _shape(named.shape, speaker)))
            for named in score.shapes
        )
        yield Items(speaker.book.page.chord_shapes, tuple(items))


def _shape(shape: ChordShape, speaker: Speaker) -> str:
    told = []
    for index, (fret, finger) in enumerate(zip(shape.frets, shape.fingers)):
        place = speaker.phrases.not_played if fret is None else speaker.fret(fret)
        held = f", {speaker.finger(finger)}" if finger and fret else ""
        told.append(f"{speaker.string(shape.strings - index)}, {place}{held}")
    return "; ".join(told)
