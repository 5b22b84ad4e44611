"""Words after a fret that are no marks: the nearest mark, or where the word belongs."""

from __future__ import annotations

from engrave.diagnostics.problem import did_you_mean
from engrave.score.sign_list import DYNAMICS, MARKS, NUMBERED_SPANS, SIGNS, Carrier

_LONGER = {
    "bend": "bend: full",
    "vibrato-bar": "vibrato-bar: dip 1/2",
    "artificial-harmonic": "artificial-harmonic: 15",
    "tapped-harmonic": "tapped-harmonic: 15",
    "touched-harmonic": "touched-harmonic: 12",
    "finger": "finger: 3",
    "pluck": "pluck: i",
    "pitch": "pitch: F#4",
}
"""What is written in the longer form of a fret, with an example."""


def refuse_mark(word: str) -> tuple[str, str]:
    """What is wrong with a word where a mark should stand, and what would be right."""
    if word in _LONGER:
        return f'"{word}" needs the longer form of a fret', f"for example: {{fret: 3, {_LONGER[word]}}}"
    sign = SIGNS.get(word)
    if sign is not None and sign.carrier is Carrier.SPAN:
        fret = " 5" if word in NUMBERED_SPANS else ""
        return f'"{word}" goes on over several notes', f"write spans: {word}{fret} for 1/2"
    if word in DYNAMICS:
        return f'"{word}" is not a mark but a dynamic', f"write dynamics: {word}"
    return f'"{word}" is not a mark', did_you_mean(word, MARKS)
