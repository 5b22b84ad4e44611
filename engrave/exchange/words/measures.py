"""The measures of one part in words. Music that has been told before is not told again: it is "the same as measure 3"."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from engrave.exchange.words.events import tell_events, tell_line, tell_lyrics
from engrave.exchange.words.outline import Items, Section
from engrave.exchange.words.speech import Speaker, capital
from engrave.exchange.words.vocabulary import fill
from engrave.score.structure import Barline, Measure, Part, PartMeasure, Score, SpanAt
from engrave.theory.repeats import GoBack

_START = Fraction(0)
_SPELLED_OUT = {"D.C.": "da capo", "D.S.": "dal segno"}
"""What the letters stand for, in the language of musicians (common practice, no source)."""


class _Told(NamedTuple):
    """One measure in words: how it is called, what stands before the music, the music, what stands after it.

    `copied`: the index of the measure that is told already; None where the music is told here.
    """

    title: str
    before: tuple[str, ...]
    music: tuple[str | Items, ...]
    after: tuple[str, ...]
    copied: int | None = None


def tell_part(score: Score, part: Part, speaker: Speaker, every_note: bool) -> tuple[Section, ...]:
    """The measures of a part, under the labels of the score where it has some."""
    told = _tell_all(score, part, speaker, every_note)
    sections: list[Section] = []
    for label, indices in _by_label(score.measures):
        inner = tuple(_sections(score, told, indices, speaker))
        sections.extend([Section(fill(speaker.phrases.section, label), (), inner)] if label else inner)
    return tuple(sections)


def _by_label(measures: Sequence[Measure]) -> Iterator[tuple[str, list[int]]]:
    """The measures (indices) that stand under each label, in order."""
    found: list[tuple[str, list[int]]] = []
    for index, measure in enumerate(measures):
        if measure.label or not found:
            found.append((measure.label, []))
        found[-1][1].append(index)
    yield from found


def _tell_all(score: Score, part: Part, speaker: Speaker, every_note: bool) -> list[_Told]:
    """All measures; of those that are alike the first has its music told."""
    counted = Counter(measure.number for measure in score.measures)
    known: dict[tuple[str | Items, ...], int] = {}
    told: list[_Told] = []
    for measure, content in zip(score.measures, part.measures, strict=True):
        music = tuple(_music(measure, content, speaker, every_note))
        copied = known.get(music) if counted[measure.number] == 1 and not _is_silent(content) else None
        if copied is None and counted[measure.number] == 1:
            known[music] = measure.index
        title, before = _title(measure, speaker), tuple(_before(measure, speaker))
        told.append(_Told(title, before, music, tuple(_after(measure, speaker)), copied))
    return told


def _is_silent(content: PartMeasure) -> bool:
    """True where nothing is played, which is told in as few words as the measure it is like."""
    return not any(event.notes for voice in content.voices for event in voice.events)


def _sections(
    score: Score, told: Sequence[_Told], indices: Sequence[int], speaker: Speaker
) -> Iterator[Section]:
    """The measures one by one; those that copy others in a row are drawn together."""
    at = 0
    while at < len(indices):
        run = _run(told, indices, at)
        here = told[indices[at]]
        music: tuple[str | Items, ...] = here.music
        title = here.title
        if here.copied is not None:
            last = score.measures[indices[at + run - 1]].number
            music = (_sentence(_same(score, here.copied, run, speaker)),)
            if run > 1:
                first = str(score.measures[indices[at]].number)
                title = fill(speaker.phrases.measures, first=first, last=str(last))
        after = told[indices[at + run - 1]].after
        yield Section(title, tuple(filter(None, (_joined(here.before), *music, _joined(after)))))
        at += run


def _run(told: Sequence[_Told], indices: Sequence[int], at: int) -> int:
    """How many measures from place `at` copy measures that stand in a row too, with nothing said between them."""
    length = 1
    while (
        at + length < len(indices)
        and (copied := told[indices[at]].copied) is not None
        and told[indices[at + length]].copied == copied + length
        and not told[indices[at + length - 1]].after
        and not told[indices[at + length]].before
    ):
        length += 1
    return length


def _same(score: Score, copied: int, run: int, speaker: Speaker) -> str:
    """What the measures from `copied` on are called where they are played again."""
    phrases, source = speaker.phrases, score.measures[copied]
    if run > 1:
        last = score.measures[copied + run - 1].number
        return fill(phrases.same_measures, first=str(source.number), last=str(last))
    return phrases.same_pickup if source.pickup else fill(phrases.same_measure, str(source.number))


def _title(measure: Measure, speaker: Speaker) -> str:
    phrases = speaker.phrases
    if measure.pickup:
        return phrases.pickup
    if measure.rests > 1:
        last = str(measure.number + measure.rests - 1)
        return fill(phrases.measures, first=str(measure.number), last=last)
    return fill(phrases.measure, str(measure.number))


def _before(measure: Measure, speaker: Speaker) -> Iterator[str]:
    """What all parts have at the start of a measure."""
    phrases, repeat = speaker.phrases, measure.repeat
    if measure.key_changes:
        yield speaker.key(measure.key)
    if measure.metre_changes:
        yield speaker.time(measure.metre)
    if measure.tempo is not None:
        yield speaker.tempo(measure.tempo)
    if repeat.segno:
        yield phrases.segno
    if repeat.coda:
        yield phrases.coda
    if repeat.start:
        yield phrases.repeat_start
    if repeat.ending:
        yield fill(phrases.ending, ", ".join(map(str, repeat.ending)))


def _after(measure: Measure, speaker: Speaker) -> Iterator[str]:
    """What all parts have at the end of a measure."""
    phrases, repeat = speaker.phrases, measure.repeat
    if repeat.end_times is not None:
        yield fill(phrases.repeat_end, speaker.number(repeat.end_times))
    if repeat.to_coda:
        yield phrases.to_coda
    if repeat.fine:
        yield phrases.fine
    if repeat.go_back is not None:
        yield _go_back(repeat.go_back)
    barlines = {
        Barline.DOUBLE: phrases.double_barline,
        Barline.DASHED: phrases.dashed_barline,
        Barline.NONE: phrases.no_barline,
        Barline.FINAL: phrases.final_barline,
    }
    if measure.barline in barlines and repeat.end_times is None:
        yield barlines[measure.barline]


def _go_back(go_back: GoBack) -> str:
    words = go_back.value
    for letters, said in _SPELLED_OUT.items():
        words = words.replace(letters, said)
    return words


def _music(
    measure: Measure, content: PartMeasure, speaker: Speaker, every_note: bool
) -> Iterator[str | Items]:
    """What a part has in a measure: what stands over and under the notes, then voice by voice."""
    phrases = speaker.phrases
    moments = _joined(_moments(measure, content, speaker))
    if moments:
        yield moments
    if content.repeats:
        many = fill(phrases.again_many, str(content.repeats))
        yield _sentence(phrases.again if content.repeats == 1 else many)
        return
    if measure.rests > 1:
        yield _sentence(fill(phrases.measures_rest, str(measure.rests)))
        return
    names = (phrases.upper_voice, phrases.lower_voice) if len(content.voices) > 1 else ("",)
    for name, voice in zip(names, content.voices):
        if every_note:
            yield Items(name or phrases.one_voice, tuple(tell_events(voice, speaker, measure.metre)))
        else:
            line = tell_line(voice, speaker)
            yield speaker.book.labelled(name, line) if name else line
            yield from map(_sentence, tell_lyrics(voice, speaker))


def _moments(measure: Measure, content: PartMeasure, speaker: Speaker) -> Iterator[str]:
    """What belongs to moments of a measure, in order of time; the beat is said where it is not the first."""
    told = [
        *((chord.onset, fill(speaker.phrases.chord, speaker.chord(chord.name))) for chord in content.chords),
        *((clef.onset, fill(speaker.phrases.clef, speaker.table.clefs[clef.clef.value])) for clef in content.clefs),
        *((text.onset, fill(speaker.phrases.instruction, speaker.quoted(text.text))) for text in content.texts),
        *((each.onset, fill(speaker.phrases.dynamic, speaker.table.dynamics[each.text])) for each in content.dynamics),
        *((span.onset, _span(span, measure, speaker)) for span in content.spans),
    ]  # fmt: skip
    for onset, run in groupby(sorted(told, key=itemgetter(0)), key=itemgetter(0)):
        said = ", ".join(words for _, words in run)
        yield said if onset == _START else speaker.book.labelled(speaker.beat(onset, measure.metre), said)


def _span(span: SpanAt, measure: Measure, speaker: Speaker) -> str:
    fret = f" {span.detail}" if span.detail else ""
    return f"{speaker.sign(span.name)}{fret}, {speaker.lasting(span.length, span.measures, measure.metre)}"


def _joined(said: Iterable[str]) -> str:
    """Several things as sentences in a row."""
    return " ".join(map(_sentence, said))


def _sentence(said: str) -> str:
    return f"{capital(said)}."
