"""What a text tab does not carry: the score beside what the reader makes of the text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from engrave.diagnostics.problem import ProblemLog
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writer_words import tempo_text
from engrave.reading.load import read_text_score
from engrave.score.structure import Event, Measure, Note, Part, PartMeasure, Score
from engrave.theory.bends import parse_bend
from engrave.writing.dump import dump_score

Place = tuple[int, int, int]
Losses = dict[str, dict[int, None]]
"""What is lost, with the numbers of the measures."""


def find_losses(score: Score, parts: Sequence[Part], plan: Sequence[int], text: str) -> list[str]:
    """Sentences that say what of `score` does not come back from `text`.

    `parts` are those written; `plan` says for each measure written which of the score it is.
    """
    log = ProblemLog("text tab")
    back = read_text_score(dump_score(read_text_tab(text.encode()).tree), log)
    sentences = [f"{part.name}: the part is left out." for part in score.parts if part not in parts]
    if back is None or len(back.parts) != len(parts) or len(back.measures) != len(plan):
        return [*sentences, "The text is not read back as the same measures and parts."]
    sentences.extend(f"Not carried: {what}." for what in _differing(_head(score), _head(back)))
    shared: Losses = {}
    for measure, twin in _pairs(score.measures, back.measures, plan):
        for what in _differing(_measure(measure), _measure(twin)):
            shared.setdefault(what, {})[measure.number] = None
        if measure.rests > 1:
            shared.setdefault("a rest of several measures is written out", {})[measure.number] = None
    sentences.extend(_sentences("", shared))
    for part, other in zip(parts, back.parts):
        sentences.extend(f"{part.name}: not carried: {w}." for w in _differing(_part(part), _part(other)))
        lost: Losses = {}
        contents = _pairs(part.measures, other.measures, plan)
        for (content, twin_content), index in zip(contents, dict.fromkeys(plan)):
            for what in _compare(content, twin_content):
                lost.setdefault(what, {})[score.measures[index].number] = None
        sentences.extend(_sentences(f"{part.name}: ", lost))
    return sentences


def _pairs(own: Sequence[Any], back: Sequence[Any], plan: Sequence[int]) -> list[tuple[Any, Any]]:
    """Each measure of the score with the first of those it has become."""
    first: dict[int, int] = {}
    for place, index in enumerate(plan):
        first.setdefault(index, place)
    return [(own[index], back[place]) for index, place in first.items()]


def _differing(own: Mapping[str, Any], back: Mapping[str, Any]) -> list[str]:
    return [name for name, value in own.items() if value != back[name]]


def _sentences(who: str, losses: Losses) -> Iterator[str]:
    for what, numbers in losses.items():
        word = "measure" if len(numbers) == 1 else "measures"
        text = f"{who}{what} ({word} {_ranges(sorted(numbers))})."
        yield text[:1].upper() + text[1:]


def _ranges(numbers: Sequence[int]) -> str:
    """Numbers with runs drawn together: "1-4, 7"."""
    edges = [-1, *(i for i, (a, b) in enumerate(pairwise(numbers)) if b > a + 1), len(numbers) - 1]
    runs = [(numbers[start + 1], numbers[stop]) for start, stop in pairwise(edges)]
    return ", ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in runs)


def _head(score: Score) -> dict[str, Any]:
    return {
        "the title": score.title,
        "the subtitle": score.subtitle,
        "who wrote the music": score.credits.music,
        "who wrote the words": score.credits.words,
        "who made the arrangement": score.credits.arrangement,
        "the copyright": score.copyright,
        "the language": score.language,
        "how the music is shown": (
            score.view,
            score.style,
            score.grids,
            score.left_handed,
            score.key_to_signs,
        ),
        "the chord shapes": [(shape.name, shape.shape) for shape in score.shapes],
        "the house style": score.house_style,
    }


def _part(part: Part) -> dict[str, Any]:
    own = part.instrument
    return {
        "its name": (part.name, part.id),
        "its tuning": own.tuning,
        "its capo": own.capo,
        "its own view": part.view,
        "the kind of instrument": (
            own.name,
            own.frets,
            own.clef,
            own.octave,
            own.scale_length,
            own.first_frets,
            own.usual_tuning,
        ),
    }


def _measure(measure: Measure) -> dict[str, Any]:
    repeat = measure.repeat
    tempo = measure.tempo
    return {
        "the number of the measure is lost": measure.number,
        "the key is lost": measure.key,
        "the time is lost": (measure.metre, measure.length),
        "the pickup is lost": measure.pickup,
        "the label is lost": measure.label,
        "the tempo is lost": (tempo is None, tempo_text(tempo)),
        "repeat signs are lost": (repeat.start, repeat.end_times),
        "endings are lost": repeat.ending,
        "jumps are lost": (repeat.segno, repeat.coda, repeat.to_coda, repeat.fine, repeat.jump),
        "the bar line is lost": measure.barline,
        "a break of line or page is lost": measure.new,
        "counting is lost": measure.counting,
    }


def _compare(own: PartMeasure, back: PartMeasure) -> list[str]:
    """What a part loses in a measure."""
    lost: list[str] = []
    around = _around(own), _around(back)
    if own.repeats:
        return ["the sign that repeats measures is written out", *_differing(*around)]
    events = [event for voice in own.voices for event in voice.events]
    twins = [event for voice in back.voices for event in voice.events]
    joined = len(own.voices) > 1
    if joined:
        lost.append("two voices are joined to one, so that how long notes are held is lost")
    slashed = any(note.is_slash for event in events for note in event.notes)
    if slashed:
        lost.append("rhythm slashes are lost")
        events = [e._replace(notes=tuple(note for note in e.notes if not note.is_slash)) for e in events]
    if not slashed and (_onsets if joined else _rhythm)(events) != (_onsets if joined else _rhythm)(twins):
        lost.append("the rhythm is lost")
    notes, others = _by_place(events), _by_place(twins)
    if _struck(notes) != _struck(others):
        lost.append("notes are lost")
    if not joined and _ties(notes) != _ties(others):
        lost.append("ties are lost")
    common = [(note, others[place]) for place, note in notes.items() if place in others]
    if any(note.pitch != twin.pitch for note, twin in common):
        lost.append("the spelling of notes is lost")
    if any(note.finger for note in notes.values()):
        lost.append("fingers are lost")
    lost.extend(_marks(notes, others))
    for event in events:
        lost.extend(f"{mark.name} over a whole event is lost" for mark in event.marks)
    if any(event.lyrics for event in events):
        lost.append("lyrics are lost")
    if any(event.before or event.after for event in events):
        lost.append("grace notes are lost")
    return list(dict.fromkeys([*lost, *_differing(*around)]))


def _by_place(events: Sequence[Event]) -> dict[Place, Note]:
    """Notes by the number of what is struck, how often it has been held since, and the string."""
    found: dict[Place, Note] = {}
    count = held = 0
    for onset in sorted({event.onset for event in events}):
        notes = [note for event in events if event.onset == onset for note in event.notes]
        if any(not note.tie_from for note in notes):
            count, held = count + 1, 0
        else:
            held += 1
        found.update(((count, held, note.string), note) for note in notes)
    return found


def _struck(notes: Mapping[Place, Note]) -> dict[Place, int]:
    return {place: note.fret for place, note in notes.items() if not note.tie_from}


def _onsets(events: Sequence[Event]) -> list[Any]:
    """When something is struck."""
    return sorted({event.onset for event in events if any(not note.tie_from for note in event.notes)})


def _rhythm(events: Sequence[Event]) -> list[Any]:
    return [
        (
            event.onset,
            event.length,
            event.value,
            tuple((tuplet.id, tuplet.ratio) for tuplet in event.tuplets),
            event.is_rest,
            event.whole_measure,
        )
        for event in events
    ]


def _ties(notes: Mapping[Place, Note]) -> set[tuple[Place, bool, bool]]:
    return {(place, note.tie_from, note.tie_to) for place, note in notes.items()}


def _marks(notes: Mapping[Place, Note], others: Mapping[Place, Note]) -> Iterator[str]:
    """The marks of notes that do not come back."""
    for place, note in notes.items():
        twin = others.get(place)
        there = {} if twin is None else {mark.name: _amount(mark.name, mark.amount) for mark in twin.marks}
        for mark in note.marks:
            if there.get(mark.name) != _amount(mark.name, mark.amount):
                yield f"{mark.name} is lost"
        if twin is not None and twin.sounding != note.sounding:
            yield "what a harmonic sounds is lost"


def _amount(name: str, amount: str) -> Any:
    """An amount so that the same bend in other words is the same."""
    return parse_bend(amount, True) if name == "bend" and not amount.startswith("pre") else (amount,)


def _around(content: PartMeasure) -> dict[str, Any]:
    """What stands over and under the notes."""
    return {
        "chord names are lost": [(chord.onset, chord.name) for chord in content.chords],
        "words are lost": [(text.onset, text.text) for text in content.texts],
        "dynamics are lost": [(text.onset, text.text) for text in content.dynamics],
        "signs that last are lost": [
            (s.onset, s.name, s.detail, s.length, s.measures) for s in content.spans
        ],
    }
