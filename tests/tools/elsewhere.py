"""Tunes from music21's corpus taken through three commands, as a teacher would who is sent a MusicXML file without frets.

    python -m tests.tools.elsewhere --tunes 60

Fiddle tunes and folk songs (all long in the public domain) are exported by music21, read on to an instrument, placed and
made. For each instrument: how many go through, the share of notes kept, the highest fret.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import random
import tempfile
from pathlib import Path

from engrave.cli import main
from engrave.fingering.place import all_notes
from engrave.reading.load import load_score

SINGLE = ("ryansMammoth",)
"""Collections with a file for each tune."""
BOOKS = ("airdsAirs", "oneills1850", "essenFolksong")
"""Collections with many tunes in a file."""
INSTRUMENTS = ("guitar", "ukulele")


def draw_tunes(count, seed=1, books=True):
    """So many tunes as music21 streams with a name: half of them from books, unless those would take too long."""
    from music21 import converter, corpus

    chance = random.Random(seed)
    files = [path for name in SINGLE for path in corpus.getComposer(name)]
    left = count // 2 if books else 0
    for path in chance.sample(files, count - left):
        yield path.stem, converter.parse(path)
    share = -(-left // len(BOOKS))
    for name in BOOKS if books else ():
        opus = converter.parse(chance.choice(corpus.getComposer(name)))
        scores = list(opus.scores)
        for index in sorted(chance.sample(range(len(scores)), min(share, left, len(scores)))):
            left -= 1
            yield f"{name}-{index}", scores[index]


def export(tune, path):
    """`tune` as a MusicXML file; the notes that are struck in it, 0 where music21 cannot write it."""
    from music21.exceptions21 import Music21Exception

    try:
        tune.write("musicxml", fp=path)
    except Music21Exception:
        return 0
    notes = tune.recurse().notes
    return sum(
        len(note.pitches) for note in notes if note.tie is None or note.tie.type == "start" if note.pitches
    )


def take_through(source, instrument, folder, fit=True):
    """The exit status of each command, what they said, and the score that `place` wrote (None without one)."""
    read, placed = folder / f"{source.stem}.yaml", folder / f"{source.stem}-placed.yaml"
    commands = [
        ["read", str(source), "--instrument", instrument, *(["--fit"] if fit else []), "-o", str(read)],
        ["place", str(read), "-o", str(placed)],
        ["make", str(placed), "-o", str(folder / f"{source.stem}.pdf")],
    ]
    said = io.StringIO()
    status = []
    for command in commands:
        with contextlib.redirect_stderr(said), contextlib.redirect_stdout(said):
            status.append(main(command))
    score = load_score(str(placed))[0] if placed.exists() else None
    return status, said.getvalue(), score


def count_struck(score):
    """The notes of a score that are struck, and the highest fret."""
    notes = [note for part in score.parts for note in all_notes(part) if not note.tie_from]
    return len(notes), max((note.fret for note in notes), default=0)


def report(count, seed):
    """Print what became of the tunes."""
    results = {name: [] for name in INSTRUMENTS}
    with tempfile.TemporaryDirectory() as folder:
        for number, (name, tune) in enumerate(draw_tunes(count, seed)):
            source = Path(folder) / f"{number}-{name}.musicxml"
            wanted = export(tune, source)
            for instrument in INSTRUMENTS if wanted else ():
                inner = Path(folder) / f"{number}-{instrument}"
                inner.mkdir()
                status, said, score = take_through(source, instrument, inner)
                kept, highest = count_struck(score) if score is not None else (0, 0)
                folded = "moved by an octave" in said
                results[instrument].append((status == [0, 0, 0], wanted, kept, highest, folded))
                if status != [0, 0, 0] or kept != wanted:
                    print(f"{source.name} on {instrument}: {status}, {kept} of {wanted} notes\n{said}")
    for instrument, rows in results.items():
        passed = sum(row[0] for row in rows)
        kept, wanted = sum(row[2] for row in rows), sum(row[1] for row in rows)
        highest = sorted(row[3] for row in rows)
        print(
            f"{instrument}: {passed} of {len(rows)} tunes go through, {kept} of {wanted} notes kept, "
            f"{sum(row[4] for row in rows)} with a note an octave away, "
            f"highest fret {highest[-1]} (in the middle {highest[len(highest) // 2]})"
        )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="tunes from elsewhere through read, place and make")
    parser.add_argument("--tunes", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    report(options.tunes, options.seed)
