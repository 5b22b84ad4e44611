"""One voice of one measure in words: event by event, or line by line with what repeats itself said once.

Every event is its value, then its notes, then in round brackets what is said of the event whole:
"eighth: third string, second fret plus second string, open (staccato)".
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from engrave.exchange.words.speech import Speaker, capital
from engrave.exchange.words.vocabulary import REACHED, fill
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Graces, Note, Syllable, Voice
from engrave.score.techniques import NaturalHarmonic
from engrave.theory.metre import Metre


class _Struck(NamedTuple):
    """What is struck at once, in words: its notes with all their strings, what is said of it as a whole.

    `short`: the notes without the string of the note before; `is_chord`: they are several.
    """

    notes: str
    whole: str
    is_chord: bool
    short: str


def tell_events(voice: Voice, speaker: Speaker, metre: Metre) -> list[str]:
    """Every event a sentence of its own, with its beat and all that is known of its notes."""
    return [
        f"{capital(speaker.beat(event.onset, metre))}, {_sentence(event, speaker, True)}."
        for event in voice.events
    ]


def _sentence(event: Event, speaker: Speaker, names_pitches: bool) -> str:
    """An event by itself: "eighth: third string, second fret (staccato)"."""
    notes = _chord(event.notes, speaker, names_pitches, 0)
    head = _value(event, speaker)
    return (speaker.book.labelled(head, notes) if notes else head) + _of_event(event, speaker, names_pitches)


def tell_line(voice: Voice, speaker: Speaker) -> str:
    """All events in a row: the value once for all that share it, a string once in them while the tune stays on it."""
    groups: list[str] = []
    for (_, is_rest), run in groupby(voice.events, lambda event: (_rhythm(event), event.is_rest)):
        events = list(run)
        if is_rest:
            groups.extend(_sentence(event, speaker, False) for event in events)
            continue
        told: list[_Struck] = []
        string = 0
        for event in events:
            full, short = (_chord(event.notes, speaker, False, known) for known in (0, string))
            told.append(_Struck(full, _of_event(event, speaker, False), len(event.notes) > 1, short))
            string = event.notes[0].string if len(event.notes) == 1 and not event.notes[0].is_slash else 0
        value = speaker.value(events[0].value, events[0].tuplets, len(events))
        groups.append(speaker.book.labelled(value, "; ".join(_counted(told, speaker))))
    return " ".join(f"{capital(group)}." for group in groups)


def tell_lyrics(voice: Voice, speaker: Speaker) -> Iterator[str]:
    """The words sung to a voice, verse by verse."""
    verses = max((len(event.lyrics) for event in voice.events), default=0)
    for number in range(verses):
        sung = [event.lyrics[number] for event in voice.events if number < len(event.lyrics)]
        text = "".join(
            syllable.text if syllable.hyphen else f"{syllable.text} "
            for syllable in sung
            if syllable is not None
        )
        if text:
            yield _verse(text, number + 1, verses, speaker)


def _verse(text: str, number: int, verses: int, speaker: Speaker) -> str:
    """Words that are sung; the number of their verse where there are several."""
    said = fill(speaker.phrases.words, speaker.quoted(text))
    return fill(speaker.phrases.verse, number=str(number), words=said) if verses > 1 else said


def _rhythm(event: Event) -> tuple[object, ...]:
    """What events share that are counted together."""
    ratios = tuple(tuplet.ratio for tuplet in event.tuplets)
    return event.value, ratios


def _counted(told: Sequence[_Struck], speaker: Speaker) -> Iterator[str]:
    """The same thing several times is said once, but never across what is said of one event; a chord struck again by name."""
    before, again = "", speaker.phrases.same_notes
    for (full, whole, is_chord), run in groupby(told, itemgetter(0, 1, 2)):
        struck = list(run)
        notes = again if is_chord and full == before else struck[0].short
        before = full
        if whole:
            yield notes + whole
            yield from ((again if is_chord else each.short) + whole for each in struck[1:])
        elif len(struck) > 1:
            yield f"{notes}, {fill(speaker.phrases.times, speaker.number(len(struck)))}"
        else:
            yield notes


def _value(event: Event, speaker: Speaker) -> str:
    if event.whole_measure:
        return speaker.phrases.whole_rest
    if event.is_rest:
        return speaker.rest(event.value, event.tuplets)
    return speaker.value(event.value, event.tuplets)


def _chord(notes: Sequence[Note], speaker: Speaker, names_pitches: bool, string: int) -> str:
    """Notes struck together; the string of a single one is left out where it is `string`."""
    known = string if len(notes) == 1 else 0
    told = (_note(note, speaker, names_pitches, known) for note in notes)
    return speaker.phrases.together.join(told)


def _note(note: Note, speaker: Speaker, names_pitches: bool, string: int) -> str:
    return ", ".join(_note_parts(note, speaker, names_pitches, string))


def _note_parts(note: Note, speaker: Speaker, names_pitches: bool, string: int) -> Iterator[str]:
    reached = [technique.sign for technique in note.techniques if technique.sign in REACHED]
    if note.is_slash:
        yield speaker.sign(SignName.SLASH)
    elif note.string:
        if note.string != string:
            yield speaker.string(note.string)
        if not _is_told_by_sign(note):
            yield _reach(speaker.fret(note.fret), reached, speaker)
        if names_pitches:
            yield speaker.pitch(note.pitch)
    else:
        yield _reach(speaker.pitch(note.pitch), reached, speaker)
    if note.tie_from:
        yield speaker.phrases.held
    if note.tie_to and names_pitches:
        yield speaker.phrases.tied
    for technique in note.techniques:
        if technique.sign not in (*REACHED, SignName.SLASH):
            yield speaker.technique(technique)
    if note.finger:
        yield speaker.finger(note.finger)


def _is_told_by_sign(note: Note) -> bool:
    """True where the way of playing says the fret already, or there is none."""
    has_node = any(isinstance(technique, NaturalHarmonic) for technique in note.techniques)
    return has_node or (note.has(SignName.DEAD) and not note.fret)


def _reach(place: str, reached: Sequence[SignName], speaker: Speaker) -> str:
    for sign in reversed(reached):
        place = fill(speaker.table.reached[sign], place)
    return place


def _of_event(event: Event, speaker: Speaker, sings: bool) -> str:
    """What is said of an event as a whole, in round brackets with a space before; "" for nothing.

    `sings`: its syllables are among it.
    """
    told = [
        *_graces(event.before, False, speaker),
        *(speaker.technique(technique) for technique in event.techniques),
        *(_lyrics(event.lyrics, speaker) if sings else ()),
        *_graces(event.after, True, speaker),
    ]
    return f" ({', '.join(told)})" if told else ""


def _graces(graces: Graces | None, are_after: bool, speaker: Speaker) -> Iterator[str]:
    if graces is None:
        return
    sign = "closing-grace" if are_after else "grace" if graces.slashed else "appoggiatura"
    told = "; ".join(_sentence(event, speaker, True) for event in graces.events)
    yield f"{speaker.sign(sign)} ({told})"


def _lyrics(lyrics: Sequence[Syllable | None], speaker: Speaker) -> Iterator[str]:
    for number, syllable in enumerate(lyrics, start=1):
        if syllable is None:
            continue
        text = f"{syllable.text}-" if syllable.hyphen else syllable.text
        yield _verse(text, number, len(lyrics), speaker)
        if syllable.extends:
            yield speaker.phrases.syllable_held
