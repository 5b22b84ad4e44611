"""Small works of every command that writes files: what they read, how they are asked for, and what they make."""

import shutil

from tests.faults.system import contents

SCORE = "score: 1\ntitle: {title}\nmeasures:\n  - notes: [1/4: [{{3: 0}}, {{3: 2}}, {{2: 0}}, {{2: 1}}]]\n"
LONG = SCORE.format(title="Long") + "  - {new: page, notes: [1/1: {3: 0}]}\n"
TAB = "e|-0-1-3-0-|\nB|---------|\nG|---------|\nD|---------|\nA|---------|\nE|---------|\n"
SOURCES = {
    "one.yaml": SCORE.format(title="One"),
    "two.yaml": SCORE.format(title="Two"),
    "long.yaml": LONG,
    "tune.txt": TAB,
    "book.yaml": "songbook: 1\ntitle: Both\nsongs: [one.yaml, two.yaml]\n",
}
BOOK = ["make", "book.yaml", "--cache", "kept"]
WORKS = {
    "page and trace": (["make", "one.yaml", "--trace", "one.json"], ["one.pdf", "one.json"]),
    "pictures": (["make", "long.yaml", "--as", "png", "--dpi", "20"], ["long-1.png", "long-2.png"]),
    "book": ([*BOOK, "--jobs", "1"], ["book.pdf"]),
    "read": (["read", "tune.txt", "-o", "tune.yaml"], ["tune.yaml"]),
    "write": (["write", "one.yaml", "--as", "midi", "-o", "one.mid"], ["one.mid"]),
    "place": (["place", "one.yaml", "-o", "one.yaml"], ["one.yaml"]),
    "schema": (["schema", "-o", "schemas/here"], []),
    "shapes": (["shapes", "C", "-o", "shapes.txt"], ["shapes.txt"]),
}
"""The words of each command, and its results."""
OLD = b"yesterday's"


def lay(folder, results=()):
    """Empty the folder but for the sources and what the results were yesterday; what is in it then."""
    for path in folder.iterdir():
        shutil.rmtree(path) if path.is_dir() else path.unlink()
    for name, text in SOURCES.items():
        (folder / name).write_text(text, "utf-8")
    for name in results:
        if name not in SOURCES:
            (folder / name).write_bytes(OLD)
    return contents(folder)
