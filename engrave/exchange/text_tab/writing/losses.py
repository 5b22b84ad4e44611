"""What a text tab does not carry: the score beside what the reader makes of the text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.exchange.text_tab.writing.event_losses import event_losses
from engrave.problems import NOWHERE, ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.structure import Measure, Part, PartMeasure, Score
from engrave.writing.dump import dump_score

Losses = dict[str, dict[int, None]]
"""What is lost, with the numbers of the measures."""


def read_back(text: str) -> Score | None:
    """The score that the reader makes of `text`."""
    return read_text_score(dump_score(read_text_tab(text.encode()).tree), ProblemLog("text tab"))


def keeps_parts(parts: Sequence[Part], back: Score | None) -> bool:
    """Whether names, tunings and instruments of the parts have come back."""
    return (
        back is not None
        and len(back.parts) == len(parts)
        and not any(_differing(_part(part), _part(other)) for part, other in zip(parts, back.parts))
    )


def find_losses(score: Score, back: Score | None) -> list[str]:
    """Sentences that say what of `score` does not come back; `back` is what was read."""
    sentences: list[str] = []
    parts = score.parts
    if back is None or len(back.parts) != len(parts) or len(back.measures) != len(score.measures):
        return ["the text does not read back as the same measures and parts"]
    sentences.extend(f"not kept: {what}" for what in _differing(_head(score), _head(back)))
    shared: Losses = {}
    for measure, twin in zip(score.measures, back.measures):
        for what in _differing(_measure(measure), _measure(twin)):
            shared.setdefault(what, {})[measure.number] = None
    sentences.extend(_sentences("", shared))
    for part, other in zip(parts, back.parts):
        sentences.extend(f"{part.name}: not kept: {w}" for w in _differing(_part(part), _part(other)))
        lost: Losses = {}
        for measure, content, twin_content in zip(score.measures, part.measures, other.measures):
            for what in _compare(content, twin_content):
                lost.setdefault(what, {})[measure.number] = None
        sentences.extend(_sentences(f"{part.name}: ", lost))
    return sentences


def _differing(own: Mapping[str, Any], back: Mapping[str, Any]) -> list[str]:
    return [name for name, value in own.items() if value != back[name]]


def _sentences(who: str, losses: Losses) -> Iterator[str]:
    for what, numbers in losses.items():
        word = "measure" if len(numbers) == 1 else "measures"
        yield f"{who}{what} ({word} {_ranges(sorted(numbers))})"


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
            score.paper_size,
            score.style,
            score.grids,
            score.left_handed,
            score.explain_signs,
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
        "its brace": part.brace,
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
        "the tempo is lost": tempo and tempo._replace(location=NOWHERE),
        "repeat signs are lost": (repeat.start, repeat.end_times),
        "endings are lost": repeat.ending,
        "D.C., D.S. and their signs are lost": (
            repeat.segno,
            repeat.coda,
            repeat.to_coda,
            repeat.fine,
            repeat.go_back,
        ),
        "the barline is lost": measure.barline,
        "a break of line or page is lost": measure.new,
        "a rest of several measures is lost": measure.rests,
        "counting is lost": measure.counting,
        "the swing is lost": measure.swing,
    }


def _compare(own: PartMeasure, back: PartMeasure) -> list[str]:
    """What a part loses in a measure."""
    return [*event_losses(own, back), *_differing(_around(own), _around(back))]


def _around(content: PartMeasure) -> dict[str, Any]:
    """What stands over and under the notes."""
    return {
        "the names of strum patterns are lost": content.strum.text if content.strum is not None else "",
        "chord names are lost": [(chord.onset, chord.name) for chord in content.chords],
        "words are lost": [(text.onset, text.text) for text in content.texts],
        "dynamics are lost": [(text.onset, text.text) for text in content.dynamics],
        "neck diagrams are lost": content.neck is not None,
        "changes of clef are lost": [(clef.onset, clef.clef) for clef in content.clefs],
        "signs that last are lost": sorted(
            (s.onset, s.name, s.detail, s.length, s.measures) for s in content.spans
        ),
    }
