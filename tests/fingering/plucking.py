"""The right hand of figures in tests, in the shortest words."""

from engrave.fingering.plucking.place import pluck_part
from engrave.fingering.plucking.right_hand import load_right_hand
from tests.fingering.hands import USUAL
from tests.fingering.scores import read


def plucked(score, hand="fingers", explained=False, part=0):
    """The part with its right hand chosen."""
    return pluck_part(score, score.parts[part], load_right_hand(hand), USUAL.pace, explained)


def say(result):
    """The fingers of each moment, joined by +, or the strokes as d and u; in the order of time."""
    rows = [
        (m.measure, m.onset, "+".join(finger or "?" for finger in step.fingers))
        for m, step in zip(result.plucked, result.fingers.steps, strict=True)
    ]
    rows += [
        (m.measure, m.onset, step.way.value[0])
        for m, step in zip(result.struck, result.strokes.steps, strict=True)
    ]
    return " ".join(words for *_, words in sorted(rows, key=lambda row: row[:2]))


def score_of(figure):
    """A figure as a score of one measure; those in 16/4 may be shorter than it."""
    pieces = figure.notes.split(", ")
    items = ", ".join([f"{figure.value}: {pieces[0]}", *pieces[1:]])
    if figure.tuplet:
        notes = figure.notes.split()
        items = ", ".join(
            f"3 in 2 of {figure.value}: {' '.join(notes[at : at + 3])}" for at in range(0, len(notes), 3)
        )
    lower = f", lower: [{figure.lower}]" if figure.lower else ""
    short = "pickup: true, " if figure.time == "16/4" else ""
    return read(
        f"  - {{{short}notes: [{items}]{lower}}}\n", f"instrument: {figure.instrument}\ntime: {figure.time}"
    )


def by_strings(figure):
    """What a rule of strings alone says: p on its strings, i m a one each on 3, 2, 1, down on every even stroke."""
    score = score_of(figure)
    result = plucked(score, figure.hand)
    if result.struck:
        return " ".join("du"[number % 2] for number, _ in enumerate(result.struck))
    return " ".join("+".join(_STRINGS.get(string, "p") for string in m.strings) for m in result.plucked)


_STRINGS = {3: "i", 2: "m", 1: "a"}
