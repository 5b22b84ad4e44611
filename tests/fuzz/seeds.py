"""What the cases start from: the samples, the cases of `tests/pages`, and small documents of every kind written here."""

from __future__ import annotations

import functools
import io
import json
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from engrave.exchange.midi.writer import write_midi
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.reading.load import load_score
from engrave.score.excerpt import excerpt
from tests.test_check_agrees import png

ROOT = Path(__file__).parents[2]
SONG = """score: 1
title: Quay
credits: {music: A. Nother, words: A. Nother}
tempo: 1/4 = 96
measures:
  - notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]
    chord: C
    lyrics: low the tide runs
  - notes: [1/8: 1:3 2:1 1:0 2:3 2:1 1:0 1:1 1:3]
"""
_METHOD = """method: 1
title: Walks
preface: See [](#one) on [](#page:one).
recordings: https://example.org/walks
explain-signs: new
for: teacher
chapter-start: left
chapters:
  - title: One string
    name: first
    content:
      - text: |
          ## Notes
          See [](#one), [](#task) and [](#first) on [](#page:task).
      - {music: song.yaml, name: one, caption: The quay, measures: 1-2, recording: quay.mp3}
      - {exercise: Write it., name: task, answer: [{text: So}, {music: {measures: [{notes: [1/1: 2:0]}]}}]}
      - {piece: other.yaml, title: Other, start: left, recording: true}
glossary: {tab: Six lines.}
indexes: [technique, piece, chord, key]
"""
_HANDOUT = """handout: 1
title: Warm up
lesson: 3
student: true
content:
  - text: |
      ## First
      Play [](#one) **slowly**, then [](#two).

      1. pluck
      2. wait
  - beside:
      - {music: song.yaml, name: one, caption: The quay, measures: 1-2, view: rhythm-tab}
      - music: {time: 4/4, measures: [{notes: [1/8: [3:2, 3:4 hammer-on, 3:2 pull-off], 1/8: rest, 1/2: 3:2]}]}
        name: two
  - picture: hand.png
    alt: A hand
    caption: How it lies
    width: 60
  - {tip: Sing first.}
  - {caution: Stop when it hurts.}
  - shapes: {G: 3 2 0 0 0 3, D/F#: {frets: 2 x 0 2 3 2, fingers: 1 0 0 2 4 3}}
  - neck: ["A minor pentatonic, position 5", {show: "E7 arpeggio, frets 7 to 10", labels: notes, direction: lying}]
    caption: Boxes
  - neck: {dots: "6:5 root finger 1 6:8 5:5", root: A, arrows: as-written, title: A lick}
    tuning: DADGAD
  - blank: {kind: staff+tab, measures: 4, systems: 1}
  - explain-signs: used
"""
_BOOK = """songbook: 1
title: Songs
subtitle: for an evening
author: A class
imprint: "**Songs**, gathered."
contents: true
explain-signs: new
songs:
  - section: By the water
  - song.yaml
  - {file: song.yaml, title: Words alone, as: chord-sheet}
  - {file: other.yaml, start: left, view: rhythm-tab}
indexes: [title, writer, first-line, key, tuning, sign]
"""
_PAPER = """paper: 1
size: A4
orientation: landscape
kinds: [staff+tab, chord-grids, tab]
strings: 6
systems: 4
measures: 4
title: true
date: true
footer: The class
holes: two
ink: grey
string-names: true
"""
_OTHER = """score: 1
title: Reel
instrument: guitar
tuning: DADGAD
capo: 2
key: D major
time: 6/8
view: staff+tab
shapes: {D: x x 0 2 3 2}
measures:
  - {label: Verse, neck: "D triad, first inversion, strings 3 to 1", chord: D, repeat: start, notes: [1/8: [1:0, 2:3 hammer-on, 3:2], 1/4.: 1:2 bend full]}
  - {ending: 1, repeat: end, notes: [1/4.: 6:0, 1/8: [1:2, 1:3 slide, 1:5]]}
  - {ending: 2, notes: [1/2.: {pitch: D4}]}
"""
_STYLE = """style: 1
based-on: handout
staff: {height_mm: 7.5, line: 0.13}
spacing: {quarter: 3.5}
paper: {width_mm: 210, height_mm: 297}
breaking: {system_gap: 6.0}
words: {title: {face: sans-bold, size: 4}, note_letters: german}
counting-words: la-li
"""
_TABLE = 'signs: {"v": pull-off, "h": hammer-on, "(": ghost, "/": slide-up, "~": vibrato, "x": dead, "=": ignored}\n'
TAB = """Title: Ferry Bell
Tempo: Rolling, 1/4 = 96
Tuning: E A D G B E
Time: 3/4

  ending                    1.----------------------------------------
dynamics    p    crescendo for 1/2
   marks                    1: bend full then 1 1/2  accent  fermata
 fingers    3        4
            G
            q    q   q      q                        q       q
        e|----------------|-5------------------------3-----------------|
        B|-----------3----|-3------------------------------------------|
        G|:------0--------|-------------------------------------------:|
        D|:---------------|-------------------------------------------:|
        A|----------------|--------------------------------------------|
        E|--3-----------h-|--------------------------------------------|
  lyrics    Ring the fer-   ry                       bell
"""


class Seed(NamedTuple):
    """A document to start from, and the files that it names."""

    name: str
    text: str
    files: dict[str, bytes]


@functools.cache
def pictures() -> dict[str, bytes]:
    """Small pictures of the kinds that handouts take."""
    from PIL import Image

    found = {"hand.png": png(), "wide.png": png(40, 2)}
    for name, mode, options in (
        ("hand.jpg", "RGB", {}),
        ("grey.jpg", "L", {}),
        ("four.jpg", "CMYK", {}),
        ("waves.jpg", "RGB", {"progressive": True}),
        ("clear.png", "RGBA", {}),
        ("listed.png", "P", {}),
        ("fine.png", "I;16", {}),
    ):
        stream = io.BytesIO()
        Image.new(mode, (6, 4)).save(stream, "JPEG" if name.endswith("jpg") else "PNG", **options)
        found[name] = stream.getvalue()
    return found


@functools.cache
def companions() -> dict[str, bytes]:
    """The files that documents written here name."""
    return {"song.yaml": SONG.encode(), "other.yaml": _OTHER.encode(), "hand.png": png()}


@functools.cache
def seeds(kind: str) -> list[Seed]:
    """Every document of a kind: score, handout, songbook, paper, style, hand, table."""
    own = {
        "score": [SONG, _OTHER],
        "handout": [_HANDOUT],
        "songbook": [_BOOK],
        "method": [_METHOD],
        "paper": [_PAPER],
        "style": [_STYLE],
        "table": [_TABLE, (ROOT / "styles/exchange/text-tab.yaml").read_text("utf-8")],
        "hand": [path.read_text("utf-8") for path in sorted((ROOT / "styles/hands").glob("*.yaml"))],
    }[kind]
    found = [Seed(f"{kind}-{number}", text, companions()) for number, text in enumerate(own)]
    if kind == "style":
        paths = [ROOT / f"styles/{name}.yaml" for name in ("handout", "songbook", "large-print", "base")]
    else:
        paths = sorted((ROOT / "samples").rglob("*.yaml")) + sorted(
            (ROOT / "tests/pages/cases").glob("*.yaml")
        )
    for path in paths:
        text = path.read_text("utf-8")
        if re.search(rf"^{kind}\s*:", text, re.MULTILINE):
            found.append(Seed(path.stem, _flat(text), _named(text, path) | companions()))
    return found


_NAMED = re.compile(r"[\w./-]+\.(?:yaml|png|jpg)")


def _flat(text: str) -> str:
    """The text with the names of files alone, for they lie beside it in a case."""
    return _NAMED.sub(lambda match: match.group().rpartition("/")[2], text)


def _named(text: str, path: Path) -> dict[str, bytes]:
    """The files that a document names."""
    files = (path.parent / name for name in _NAMED.findall(text) if "schema" not in name)
    return {file.name: file.read_bytes() for file in files if file.is_file()}


@functools.cache
def trees(kind: str) -> list[Any]:
    """The documents of a kind as YAML reads them."""
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    return [_typed(yaml.load(seed.text, loader)) for seed in seeds(kind)]


_PLAIN = {"true": True, "false": False, "null": None}
_WHOLE, _BROKEN = re.compile(r"[-+]?\d+"), re.compile(r"[-+]?\d+\.\d+")


def _typed(node: Any) -> Any:
    """A tree of strings with numbers and truth where they stand: PyYAML's own rules take 3:2 for three minutes."""
    if isinstance(node, dict):
        return {key: _typed(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_typed(item) for item in node]
    if _WHOLE.fullmatch(node):
        return int(node)
    return float(node) if _BROKEN.fullmatch(node) else _PLAIN.get(node, node)


@functools.cache
def _written(write: Callable[[Any], bytes]) -> list[bytes]:
    """The short samples in another form, whole and a few measures at a time; and the cases of `tests/pages`."""
    paths = sorted((ROOT / "samples").glob("*.yaml")) + sorted((ROOT / "samples/signs").glob("*.yaml"))
    scores = [load_score(str(path))[0] for path in paths if path.stat().st_size < 3000]
    few = [
        excerpt(score, start, min(start + _FEW, len(score.measures)))
        for score in scores
        for start in range(0, len(score.measures), _FEW)
    ]
    cases = sorted((ROOT / "tests/pages/cases").glob("*.yaml"))
    small = [
        load_score(str(path))[0] for path in cases if path.read_text("utf-8").startswith(("score:", "#"))
    ]
    return [write(score) for score in (*scores, *few, *small) if score is not None]


_FEW = 3
"""Measures of a piece that make a case of their own: small cases are tried fastest."""


def musicxml_seeds() -> list[bytes]:
    """Scores as MusicXML."""
    return _written(write_musicxml)


@functools.cache
def midi_seeds() -> list[bytes]:
    """Scores as MIDI."""
    return _written(_as_midi)


def _as_midi(score: Any) -> bytes:
    return write_midi(score, 0, len(score.measures), True)


def _as_tab(score: Any) -> bytes:
    return write_text_tab(score, 100)[0].encode()


@functools.cache
def tab_seeds() -> list[bytes]:
    """Typed tab: the sample, one with rows of everything, and scores as typed tab."""
    return [TAB.encode(), (ROOT / "samples/typed/slack-water.txt").read_bytes(), *_written(_as_tab)]


@functools.cache
def vocabulary() -> tuple[list[str], list[Any]]:
    """All keys and all values of the documents and of their schemas: what a damaged tree is filled with."""
    keys: dict[str, None] = {}
    values: dict[str, Any] = {}

    def gather(node: Any, schema: bool = False) -> None:
        if isinstance(node, dict):
            for key, value in node.items():
                if not schema:
                    keys[str(key)] = None
                elif key == "properties" and isinstance(value, dict):
                    keys.update(dict.fromkeys(value))
                elif key == "enum":
                    values.update((str(word), word) for word in value)
                gather(value, schema)
        elif isinstance(node, list):
            for item in node:
                gather(item, schema)
        if not schema and len(text := str(node)) < 300:
            values[text] = node

    for kind in ("score", "handout", "songbook", "method", "paper", "style"):
        for tree in trees(kind)[:80]:
            gather(tree)
    for path in sorted((ROOT / "schemas").glob("*.json")):
        gather(json.loads(path.read_text("utf-8")), schema=True)
    return list(keys), list(values.values())


_VALUES = [("1/16", 1), ("1/8", 2), ("1/8.", 3), ("1/4", 4), ("1/4.", 6), ("1/2", 8), ("1/1", 16)]
"""Note values and their sixteenths."""


def random_score(rng: random.Random) -> str:
    """A score with random notes, marks and values, most of it right in form."""
    from engrave.score.sign_list import MARKS, PARTS_OF_SLURS, SignName

    marks = [mark for mark in MARKS if mark not in (SignName.SLUR, *PARTS_OF_SLURS)]
    rows = []
    for _ in range(rng.randint(1, 12)):
        left = rng.choice([16] * 9 + [15])
        events = []
        while left > 0:
            value, length = rng.choice([pair for pair in _VALUES if pair[1] <= left])
            left -= length
            strings = rng.sample(range(1, 7), rng.choice([1, 1, 2, 3]))
            notes = "+".join(f"{string}:{rng.randint(0, 15)}" for string in strings)
            sign = f" {rng.choice(marks)}" if rng.random() < 0.5 else ""
            events.append(f'{{{value}: "{rng.choice([notes + sign, notes, "rest"])}"}}')
        if len(events) > 1 and rng.random() < 0.3 and not any("rest" in e for e in (events[0], events[-1])):
            events[0], events[-1] = (
                e.replace('"}', f' {word}"}}') for e, word in ((events[0], "slur"), (events[-1], "end-slur"))
            )
        extra = rng.choice(
            ["", "", "", "    repeat: start\n", "    repeat: end\n", "    chord: Am\n", "    ending: 1\n"]
        )
        rows.append(f"  - notes: [{', '.join(events)}]\n{extra}")
    head = rng.choice(
        ["", "tuning: drop D\n", "capo: 3\n", "key: Eb major\n", "view: rhythm-tab\n", "view: lead-sheet\n"]
    )
    return f"score: 1\ntitle: Random\n{head}measures:\n{''.join(rows)}"


_HEADS: list[dict[str, Any]] = [
    {}, {}, {"capo": 3}, {"tuning": "drop D"}, {"tuning": "DADGAD"}, {"key": "Eb major"}, {"key": "F# minor"}, {"view": "rhythm-tab"},
    {"view": "tab"}, {"view": "staff"}, {"view": "lead-sheet"}, {"counting": True}, {"left-handed": True}, {"explain-signs": "used"},
    {"language": "de"}, {"size": "A5", "orientation": "landscape"}, {"style": "songbook"}, {"house-style": {"staff": {"height_mm": 4}}},
    {"instrument": "guitar-7"}, {"instrument": "twelve-string-guitar"}, {"size": "90x120"}, {"grids": "none"},
]  # fmt: skip


def mixed_score(rng: random.Random) -> dict[str, Any]:
    """A score of measures from several scores in one metre: right more often than not, and written by nobody."""
    scores = [tree for tree in trees("score") if "parts" not in tree and tree.get("measures")]
    head = rng.choice(scores)
    alike = [tree for tree in scores if all(tree.get(key) == head.get(key) for key in ("time", "instrument"))]
    heard = rng.sample(alike, min(len(alike), rng.choice([2, 3, 6])))
    pool = [measure for tree in heard for measure in tree["measures"] if isinstance(measure, dict)]
    measures = [rng.choice(pool) for _ in range(rng.choice([1, 2, 4, 8, 24]))] if pool else []
    made = {**head, **rng.choice(_HEADS), "measures": measures}
    for measure in rng.sample(measures, len(measures) // 2):
        other = rng.choice(pool)
        key = rng.choice(list(other))
        if key not in ("notes", "time", "upper", "lower", "repeat", "ending", "endings"):
            measures[measures.index(measure)] = {**measure, key: other[key]}
    return made
