"""How the choice of strings, frets and fingers grows with the length of a piece, and against engraving: ratios of one run.

python -m benchmarks.placing
"""

from __future__ import annotations

import random
import time
from dataclasses import replace

from engrave.diagnostics.problem import ProblemLog
from engrave.drawing.pdf.draw import draw_pdf
from engrave.fingering.hand import load_hand
from engrave.fingering.place import change_notes, place_part
from engrave.layout.document import place_score
from engrave.reading.load import read_text_score
from engrave.score.structure import Score
from engrave.style.load import load_style
from engrave.writing.rewrite import rewrite_score

_SHORT, _LONG, _PAGE = 200, 10_000, 160
"""Notes: those of the budget, and of a page of eighths."""
_NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")


def melody(notes: int) -> str:
    """A random walk of eighths within the guitar's compass."""
    draw = random.Random(6)
    midi, rows, row = 64, [], []
    for _ in range(notes):
        midi = min(88, max(52, midi + draw.choice((-5, -4, -3, -2, -1, 1, 2, 3, 4, 5))))
        row.append(f'"{_NAMES[midi % 12]}{midi // 12 - 1}"')
        if len(row) == 8:
            rows.append(f"  - notes: [1/8: [{', '.join(row)}]]")
            row = []
    return "score: 1\nmeasures:\n" + "\n".join(rows) + "\n"


def read(notes: int) -> Score:
    """The melody as a score."""
    score = read_text_score(melody(notes), ProblemLog("melody"))
    assert score is not None
    return score


def placing(score: Score) -> float:
    """Seconds to choose all places and fingers."""
    hand = load_hand("intermediate")
    start = time.process_time()
    place_part(score, score.parts[0], hand)
    return time.process_time() - start


def engraving(text: str) -> float:
    """Seconds from a text with frets to the finished page, as `engrave make` does it within its process."""
    start = time.process_time()
    score = read_text_score(text, ProblemLog("page"))
    style, _ = load_style("")
    assert score is not None
    assert style is not None
    draw_pdf(place_score(score, style, None, None))
    return time.process_time() - start


def main() -> None:
    """Print the ratios."""
    short, long, page = read(_SHORT), read(_LONG), read(_PAGE)
    part = place_part(page, page.parts[0], load_hand("intermediate"), fingers=False).part
    fixed = replace(page, parts=(change_notes(part, lambda note, _: note._replace(chosen=False)),))
    with_frets = rewrite_score(melody(_PAGE), page, fixed)
    few = min(placing(short) for _ in range(5))
    many = min(placing(long) for _ in range(2))
    print(f"{_LONG} notes against {_SHORT}: {many:.2f} s / {few:.3f} s = {many / few:.1f} (60 at most)")
    one = min(placing(page) for _ in range(5))
    drawn = min(engraving(with_frets) for _ in range(5))
    print(
        f"a page of {_PAGE} notes, placed against engraved: {one:.3f} s / {drawn:.3f} s = {one / drawn:.2f} (0.5)"
    )


if __name__ == "__main__":
    main()
