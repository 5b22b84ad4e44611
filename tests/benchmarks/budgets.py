"""The budgets of speed and memory, measured in one run and printed as ratios.

python -m tests.benchmarks.budgets            everything (some minutes)
python -m tests.benchmarks.budgets --quick    up to 1,600 measures
"""

from __future__ import annotations

import argparse
import gc
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from engrave.drawing.pdf.draw import draw_pdf
from engrave.layout.document import place_score
from engrave.marks.mark import PlacedDocument
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.style.load import load_style
from tests.benchmarks import naive_replay

SAMPLE = Path(__file__).parents[2] / "samples" / "lantern-waltz.yaml"
BARS = (
    "  - chord: {1: Am7, 3: D/F#}\n    notes: [1/8: [{2: 1}, {1: 0}, {2: 1}, {3: 2}], 1/4: {1: 2}, 1/8: [{1: 3}, {1: 5 hammer-on}]]\n"
    "    lower: [1/2: [{5: 0}, {4: 0}]]\n",
    "  - notes: [3 in 2 of 1/8: [{3: 2}, {3: 4}, {2: 3}], 1/4: rest, 1/4: {3: 4 accent}, 1/16: [{1: 0}, {1: 2}, {2: 3}, {2: 0}]]\n",
    "  - notes: [1/4: [{6: 3, 5: 2, 4: 0, 3: 0}, {1: 3, 2: 0}], 1/2: {2: 1}]\n",
    "  - notes: [1/8: [{4: 0}, {3: 2}, {2: 3}, {1: 2}, {2: 3}, {3: 2}, {2: 3}, {3: 2}]]\n    lower: [1/1: {6: 2}]\n",
)


def write_score(measures: int) -> str:
    """A score of so many measures in two voices, with chords, tuplets and marks."""
    return "score: 1\ntitle: Long\nkey: G major\nmeasures:\n" + "".join(BARS[i % 4] for i in range(measures))


def run_pipeline(text: str) -> tuple[float, PlacedDocument]:
    """Seconds from the text to the finished PDF, as `engrave make` does it, and the placed marks."""
    gc.collect()
    gc.disable()
    start = time.perf_counter()
    score = read_text_score(text, ProblemLog("long.yaml"))
    style, _ = load_style("")
    assert score is not None
    assert style is not None
    document = place_score(score, style)
    draw_pdf(document)
    seconds = time.perf_counter() - start
    gc.enable()
    return seconds, document


def measure_pipeline(measures: int) -> None:
    """Budget 1: the whole pipeline against replaying the same marks straight onto a canvas."""
    naive_replay.register_faces()
    run_pipeline(write_score(100))
    ratios = []
    for _ in range(3):
        seconds, document = run_pipeline(write_score(measures))
        start = time.perf_counter()
        naive_replay.replay(document)
        ratios.append(seconds / (time.perf_counter() - start))
    print(f"pipeline against replay, {measures} measures: {statistics.median(ratios):.2f} x  (budget 2.5 x)")


def run_command(arguments: list[str]) -> float:
    """Seconds of a whole process. Compiled modules are kept, as they are on any usual machine."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, env=environment)
    return time.perf_counter() - start


def measure_start() -> None:
    """Budget 2: `engrave make` of one page against starting Python with the three libraries."""
    with tempfile.TemporaryDirectory() as folder:
        make = ["-m", "engrave", "make", str(SAMPLE), "-o", str(Path(folder) / "page.pdf"), "--quiet"]
        bare = ["-c", "import yaml, jsonschema; from reportlab.pdfgen import canvas"]
        run_command(make)
        run_command(bare)
        pairs = [(run_command(make), run_command(bare)) for _ in range(9)]
    ratio = statistics.median(m for m, _ in pairs) / statistics.median(b for _, b in pairs)
    print(f"engrave make of one page against bare start: {ratio:.2f} x  (budget 2.0 x)")


def measure_growth(largest: int) -> None:
    """Budgets 3 and 4: doubling the measures, and the peak of memory at the end."""
    measures = 100
    before = min(run_pipeline(write_score(measures))[0] for _ in range(5))
    while measures < largest:
        measures *= 2
        repeats = 5 if measures <= 800 else 3 if measures <= 3200 else 1
        seconds = min(run_pipeline(write_score(measures))[0] for _ in range(repeats))
        print(f"{measures} measures: {seconds:.2f} s, {seconds / before:.2f} x the half  (budget 2.2 x)")
        before = seconds
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.yaml"
        path.write_text(write_score(largest), "utf-8")
        run_command(["-m", "engrave", "make", str(path), "--quiet"])
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"peak memory at {largest} measures: {peak:.0f} MB  (budget 600 MB at 12800)")


def measure_book(songs: int) -> None:
    """Budget 5: a songbook on two cores against one, and its peak of memory."""
    with tempfile.TemporaryDirectory() as folder:
        rows = []
        for number in range(songs):
            name = f"song-{number:04}.yaml"
            text = write_score(20).replace("title: Long", f"title: Song {number}")
            (Path(folder) / name).write_text(text, "utf-8")
            rows.append(f"  - {name}\n")
        book = Path(folder) / "book.yaml"
        book.write_text("songbook: 1\ntitle: Songs\nindexes: [title, key]\nsongs:\n" + "".join(rows), "utf-8")
        make = ["-m", "engrave", "make", str(book), "--quiet", "--jobs"]
        one, two = run_command([*make, "1"]), run_command([*make, "2"])
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(
        f"songbook of {songs} songs: {one:.1f} s on one core, {one / two:.2f} x faster on two  (budget 1.7 x)"
    )
    print(f"peak memory of its largest process: {peak:.0f} MB  (budget 1024 MB)")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Prints the budgets as ratios measured in one run.")
    parser.add_argument("--quick", action="store_true", help="stop at 1,600 measures")
    quick = parser.parse_args().quick
    measure_start()
    measure_pipeline(800)
    measure_book(200 if quick else 1000)
    measure_growth(1600 if quick else 12_800)


if __name__ == "__main__":
    main()
