"""How the choice of strings, frets and fingers grows with the length of a piece, and against engraving: ratios of one run.

python -m tests.benchmarks.placing
"""

from __future__ import annotations

import random
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from engrave.drawing.pdf.draw import draw_pdf
from engrave.fingering.hand import load_hand
from engrave.fingering.place import change_notes, place_part
from engrave.layout.document import place_score
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.structure import Score
from engrave.style.load import load_style
from engrave.writing.rewrite import rewrite_score

_SHORT, _LONG, _PAGE = 200, 10_000, 160
"""Notes: those of the budget, and of a page of eighths."""
_SCALE = (55, 57, 59, 60, 62, 64, 66, 67, 69, 71, 72, 74, 76, 78, 79)
"""Two octaves of G major."""
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


def tune(notes: int) -> str:
    """A page as dance tunes are: two strains in G major, each written out twice."""
    draw = random.Random(8)
    strain = notes // 4
    degree, rows = 7, []
    for _ in range(2):
        walk = []
        for _ in range(strain):
            degree = min(len(_SCALE) - 1, max(0, degree + draw.choice((-2, -1, -1, 0, 1, 1, 2))))
            walk.append(_SCALE[degree] + 12)
        names = [f'"{_NAMES[midi % 12]}{midi // 12 - 1}"' for midi in walk]
        measures = [f"  - notes: [1/8: [{', '.join(names[i : i + 8])}]]" for i in range(0, strain, 8)]
        rows.extend(measures * 2)
    return "score: 1\nkey: G major\nmeasures:\n" + "\n".join(rows) + "\n"


def read(text: str) -> Score:
    """The text as a score."""
    score = read_text_score(text, ProblemLog("melody"))
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


def command(text: str) -> float:
    """Seconds of the processor that `engrave make` takes for a score, the least of five runs."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "page.yaml"
        path.write_text(text, "utf-8")
        call = [sys.executable, "-m", "engrave", "make", str(path), "--quiet"]
        return min(_run(call) for _ in range(5))


def _run(call: list[str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(call, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _more(plain: float, pitches: float) -> str:
    return f"placing takes {(pitches - plain) / plain:.2f} of the time it takes to engrave (0.5 at most)"


def main() -> None:
    """Print the ratios."""
    short, long = read(melody(_SHORT)), read(melody(_LONG))
    few = min(placing(short) for _ in range(5))
    many = min(placing(long) for _ in range(2))
    print(f"{_LONG} notes against {_SHORT}: {many:.2f} s / {few:.3f} s = {many / few:.1f} (60 at most)")
    for name, text in (("a tune in G major", tune(_PAGE)), ("a chromatic walk", melody(_PAGE))):
        page = read(text)
        part = place_part(page, page.parts[0], load_hand("intermediate"), fingers=False).part
        fixed = replace(page, parts=(change_notes(part, lambda note, _: note._replace(chosen=False)),))
        with_frets = rewrite_score(text, page, fixed)
        one = min(placing(page) for _ in range(5))
        drawn = min(engraving(with_frets) for _ in range(5))
        print(
            f"{name}, a page of {_PAGE} notes: {one:.3f} s to place, {drawn:.3f} s to read, lay out and draw"
        )
        plain, pitches = command(with_frets), command(text)
        print(
            f"  engrave make: {plain:.2f} s with frets, {pitches:.2f} s with pitches: {_more(plain, pitches)}"
        )


if __name__ == "__main__":
    main()
