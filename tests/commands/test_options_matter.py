"""Every option of every command changes what the command does: none is lost between the command line and the page."""

import hashlib
import os
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.commands.registry import COMMANDS
from engrave.requests.option import options_of

SCORE = """score: 1
title: Quay
tempo: 1/4 = 96
parts:
  - {id: guitar, instrument: guitar, name: Guitar}
  - {id: bass, instrument: bass, name: Bass}
measures:
  - repeat: start
    parts:
      guitar: {notes: [1/8: 1:3 2:1 1:0 2:3 2:1 1:0 1:1 1:3]}
      bass: {notes: [1/1: 3:3]}
  - repeat: end
    parts:
      guitar: {notes: [1/2: 3:0, 1/2: {pitch: D5}], chord: C}
      bass: {notes: [1/1: 4:3]}
  - parts:
      guitar: {notes: [1/8: 1:3 2:1 1:0 2:3 2:1 1:0 1:1 1:3]}
      bass: {notes: [1/1: 3:3]}
"""
WIDE = """score: 1
measures:
  - notes:
      - 1/1: 6:1+5:7+4:3
"""
SONG = "score: 1\ninstrument: voice\nmeasures:\n  - notes: [1/4: G3 B3 D4 G4]\n"
SWUNG = "score: 1\nswing: 1/8\nmeasures:\n  - notes: [1/8: 3:0 3:2 2:1 2:3 2:0 2:1 3:2 3:0]\n"
LESSON = "handout: 1\ntitle: Quays\ncontent:\n  - music: song.yaml\n  - music: swung.yaml\n"
DUET = """score: 1
parts: [{id: anna, instrument: voice}, {id: ben, instrument: voice}]
measures:
  - parts: {anna: {notes: [1/1: C5]}, ben: {notes: [1/1: E4]}}
"""
TASK = "handout: 1\ncontent:\n  - {exercise: Name the first note., answer: E}\n"
DRUM = (
    '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Drum</part-name></score-part></part-list>'
    '<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes><note><unpitched/>'
    "<duration>4</duration><type>whole</type></note></measure></part></score-partwise>"
)
BOOK = "songbook: 1\ntitle: Quays\nsongs: [quay.yaml, wide.yaml]\n"
TYPED = """e|--0-----|--3-----|
B|----1---|--------|
G|--------|----0---|
D|--------|--------|
A|--------|--------|
E|--3-----|--------|
"""
TABLE = 'signs: {"0": "1"}\n'
NARROW = "style: 1\npaper: {margin_inner: 60, margin_outer: 60}\n"
"""A style whose margins leave too little of a narrow sheet."""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder of sources, from which commands are run."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    files = {
        "quay.yaml": SCORE,
        "wide.yaml": WIDE,
        "book.yaml": BOOK,
        "tab.txt": TYPED,
        "table.yaml": TABLE,
        "song.yaml": SONG,
        "lesson.yaml": LESSON,
        "swung.yaml": SWUNG,
        "duet.yaml": DUET,
        "drum.musicxml": DRUM,
        "narrow.yaml": NARROW,
        "task.yaml": TASK,
    }
    for name, text in files.items():
        Path(name).write_text(text, "utf-8")
    small = Path("wide.yaml").absolute()  # the guide itself takes seconds
    monkeypatch.setattr("engrave.commands.guide.guide_file", lambda: small)
    return tmp_path


PLACE = ["place", "quay.yaml", "-o", "out.yaml"]
WRITE = ["write", "quay.yaml", "--as"]
WAV, MIDI = [*WRITE, "wav", "-o", "o.wav"], [*WRITE, "midi", "-o", "o.mid"]
NECK = ["necks", "A minor pentatonic, position 5"]
NECKS = [*NECK, "--as", "pdf", "-o", "n.pdf"]
WORDS = [*WRITE, "words", "-o", "o.txt"]
BRAILLE = [*WRITE, "brf", "-o", "o.brf"]
SHEET = ["shapes", "C", "G7", "--as", "pdf", "-o", "s.pdf"]
MAKE = ["make", "quay.yaml"]

PREPRESS = {
    "booklet": [],
    "two_up": [],
    "creep": ["0.5"],
    "crop_marks": [],
    "bleed": ["6"],
    "archive": [],
    "attach_source": [],
}
NEEDS = {"creep": ["--booklet"], "bleed": ["--crop-marks"]}
"""What must be typed besides, in both runs."""

CASES = {
    "make": {
        "files": (["make"], ["quay.yaml"]),
        "output": (MAKE, ["-o", "elsewhere.pdf"]),
        "form": (MAKE, ["--as", "svg"]),
        "instrument": (["make", "song.yaml"], ["--instrument", "guitar"]),
        "fit": (["make", "song.yaml", "--instrument", "ukulele"], ["--fit"]),
        "view": (MAKE, ["--view", "tab"]),
        "style": (MAKE, ["--style", "large-print"]),
        "edition": (["make", "task.yaml"], ["--for", "student"]),
        "size": (MAKE, ["--size", "A5"]),
        "orientation": (MAKE, ["--orientation", "landscape"]),
        "jobs": (["make", "book.yaml"], ["--jobs", "1"]),
        "cache": (["make", "book.yaml"], ["--cache", "kept"]),
        "trace": (MAKE, ["--trace", "trace.json"]),
        "dpi": ([*MAKE, "--as", "png"], ["--dpi", "60"]),
        "quiet": (MAKE, ["--quiet"]),
        **{
            name: ([*MAKE, *NEEDS.get(name, [])], [f"--{name.replace('_', '-')}", *value])
            for name, value in PREPRESS.items()
        },
    },
    "check": {
        "files": (["check"], ["quay.yaml"]),
        "instrument": (["check", "song.yaml"], ["--instrument", "ukulele"]),
        "fit": (["check", "song.yaml", "--instrument", "ukulele"], ["--fit"]),
        "view": (["check", "wide.yaml"], ["--view", "lead-sheet"]),
        "style": (["check", "quay.yaml"], ["--style", "none-such"]),
        "edition": (["check", "quay.yaml"], ["--for", "student"]),
        "size": (["check", "quay.yaml"], ["--size", "62x62"]),
        "orientation": (
            ["check", "quay.yaml", "--style", "narrow.yaml", "--size", "175x160"],
            ["--orientation", "portrait"],
        ),
        "hand": (["check", "wide.yaml"], ["--hand", "beginner"]),
        "difficulty": (["check", "quay.yaml"], ["--difficulty"]),
        "jobs": (["check", "book.yaml"], ["--jobs", "1"]),
        "quiet": (["check", "quay.yaml"], ["--quiet"]),
    },
    "paper": {
        "instrument": (["paper"], ["--instrument", "ukulele"]),
        "strings": (["paper"], ["--strings", "7"]),
        "staff": (["paper"], ["--staff"]),
        "kinds": (["paper"], ["--kinds", "staff, tab"]),
        "tuning": (["paper", "--string-names"], ["--tuning", "drop D"]),
        "systems": (["paper"], ["--systems", "5"]),
        "line_distance": (["paper"], ["--line-distance", "3.5"]),
        "measures": (["paper"], ["--measures", "4"]),
        "clef": (["paper", "--staff"], ["--no-clef"]),
        "string_names": (["paper"], ["--string-names"]),
        "title": (["paper"], ["--title"]),
        "date": (["paper"], ["--date"]),
        "ink": (["paper"], ["--ink", "grey"]),
        "pages": (["paper"], ["--pages", "3"]),
        "holes": (["paper"], ["--holes", "four"]),
        "language": (["paper", "--date"], ["--language", "de"]),
        "footer": (["paper"], ["--footer", "Room 4"]),
        "size": (["paper"], ["--size", "Letter"]),
        "orientation": (["paper"], ["--orientation", "landscape"]),
        "output": (["paper"], ["-o", "blank.pdf"]),
        "form": (["paper"], ["--as", "svg"]),
        "style": (["paper"], ["--style", "large-print"]),
        "dpi": (["paper", "--as", "png"], ["--dpi", "60"]),
        "quiet": (["paper"], ["--quiet"]),
        **{
            name: (["paper", "--pages", "8", *NEEDS.get(name, [])], [f"--{name.replace('_', '-')}", *value])
            for name, value in PREPRESS.items()
        },
    },
    "read": {
        "file": (["read"], ["tab.txt"]),
        "output": (["read", "tab.txt"], ["-o", "elsewhere.yaml"]),
        "parts": (["read", "quay.musicxml", "-o", "o.yaml"], ["--part", "2"]),
        "instrument": (["read", "song.musicxml", "-o", "o.yaml"], ["--instrument", "guitar"]),
        "fit": (["read", "song.musicxml", "-o", "o.yaml", "--instrument", "ukulele"], ["--fit"]),
        "merge": (["read", "duet.musicxml", "-o", "o.yaml"], ["--merge"]),
        "unpitched": (["read", "drum.musicxml", "-o", "o.yaml"], ["--unpitched", "slashes"]),
        "round_to": (["read", "quay.mid", "-o", "o.yaml"], ["--round-to", "1/4"]),
        "swing": (["read", "swung.mid", "-o", "o.yaml"], ["--no-swing"]),
        "table": (["read", "tab.txt"], ["--table", "table.yaml"]),
        "quiet": (["read", "tab.txt"], ["--quiet"]),
    },
    "write": {
        "file": (["write", "--as", "text"], ["quay.yaml"]),
        "form": (["write", "quay.yaml"], ["--as", "midi"]),
        "output": ([*WRITE, "text"], ["-o", "elsewhere.txt"]),
        "parts": ([*WRITE, "text"], ["--part", "2"]),
        "measures": (MIDI, ["--measures", "2"]),
        "repeats": (MIDI, ["--no-repeats"]),
        "tempo_scale": (MIDI, ["--tempo-scale", "2"]),
        "click": (MIDI, ["--click"]),
        "count_in": (MIDI, ["--count-in", "1"]),
        "loop": (MIDI, ["--loop", "3"]),
        "rise": ([*MIDI, "--loop", "2"], ["--rise", "5"]),
        "without": (MIDI, ["--without", "bass"]),
        "room": (WAV, ["--room"]),
        "tour": (["write", "lesson.yaml", "--as", "wav", "-o", "l.wav"], ["--tour"]),
        "width": ([*WRITE, "text"], ["--width", "40"]),
        "depth": (WORDS, ["--depth", "notes"]),
        "language": (WORDS, ["--language", "de"]),
        "cells": (BRAILLE, ["--cells", "20"]),
        "lines": ([*BRAILLE, "--cells", "20"], ["--lines", "10"]),
        "strings": (BRAILLE, ["--no-strings"]),
        "quiet": (WAV, ["--quiet"]),
    },
    "place": {
        "file": (["place"], ["quay.yaml"]),
        "output": (["place", "quay.yaml"], ["-o", "elsewhere.yaml"]),
        "hand": (["place", "wide.yaml"], ["--hand", "beginner"]),
        "right_hand": (PLACE, ["--right-hand", "fingers"]),
        "avoid_open": ([*PLACE, "--anew"], ["--avoid-open"]),
        "highest_fret": ([*PLACE, "--position", "5", "--anew"], ["--highest-fret", "3"]),
        "position": ([*PLACE, "--anew"], ["--position", "5"]),
        "parts": (PLACE, ["--part", "guitar"]),
        "fingers": (PLACE, ["--no-fingers"]),
        "anew": ([*PLACE, "--position", "7"], ["--anew"]),
        "tuning": (PLACE, ["--part", "guitar", "--tuning", "drop D"]),
        "capo": ([*PLACE, "--part", "guitar"], ["--capo", "2"]),
        "instrument": ([*PLACE, "--part", "bass"], ["--instrument", "bass-5"]),
        "fit": (["place", "song.yaml", "--instrument", "ukulele", "-o", "out.yaml"], ["--fit"]),
        "key": (PLACE, ["--key", "D major"]),
        "semitones": (PLACE, ["--semitones", "2"]),
        "why": (PLACE, ["--why"]),
        "quiet": (PLACE, ["--quiet"]),
    },
    "shapes": {
        "chords": (["shapes"], ["C"]),
        "name": (["shapes", "x 3 2 0 1 0"], ["--name"]),
        "instrument": (["shapes", "C"], ["--instrument", "ukulele"]),
        "tuning": (["shapes", "C"], ["--tuning", "drop D"]),
        "capo": (["shapes", "C"], ["--capo", "2"]),
        "hand": (["shapes", "F"], ["--hand", "beginner"]),
        "most": (["shapes", "C"], ["--most", "2"]),
        "highest_fret": (["shapes", "C"], ["--highest-fret", "4"]),
        "inversions": (["shapes", "C"], ["--inversions"]),
        "rootless": (["shapes", "C9"], ["--rootless"]),
        "form": (["shapes", "C"], ["--as", "yaml"]),
        "output": (["shapes", "C"], ["-o", "c.txt"]),
        "style": (SHEET, ["--style", "large-print"]),
        "language": (SHEET, ["--language", "de"]),
        "dpi": (["shapes", "C", "--as", "png", "-o", "s.png"], ["--dpi", "60"]),
        "quiet": (["shapes", "C", "--as", "pdf", "-o", "s.pdf"], ["--quiet"]),
    },
    "new": {
        "kind": (["new"], ["score"]),
        "output": (["new", "score"], ["-o", "elsewhere.yaml"]),
        "quiet": (["new", "score"], ["--quiet"]),
    },
    "necks": {
        "necks": (["necks"], ["C major"]),
        "instrument": (NECK, ["--instrument", "bass"]),
        "tuning": (NECK, ["--tuning", "DADGAD"]),
        "labels": (NECK, ["--labels", "fingers"]),
        "direction": (NECKS, ["--direction", "lying"]),
        "root": (["necks", "6:5 5:7"], ["--root", "A"]),
        "numbers": (NECK, ["--numbers", "up"]),
        "arrows": (NECK, ["--arrows", "down"]),
        "left_handed": (NECKS, ["--left-handed"]),
        "form": (NECK, ["--as", "yaml"]),
        "output": (NECK, ["-o", "n.txt"]),
        "style": (NECKS, ["--style", "large-print"]),
        "language": (NECKS, ["--language", "de"]),
        "dpi": ([*NECK, "--as", "png", "-o", "n.png"], ["--dpi", "60"]),
        "quiet": (NECKS, ["--quiet"]),
    },
    "schema": {
        "kind": (["schema"], ["paper"]),
        "output": (["schema"], ["-o", "elsewhere"]),
        "quiet": (["schema"], ["--quiet"]),
    },
    "guide": {
        "output": (["guide"], ["-o", "g.pdf"]),
        "size": (["guide"], ["--size", "A5"]),
        "orientation": (["guide"], ["--orientation", "landscape"]),
        "quiet": (["guide"], ["--quiet"]),
    },
}
"""By command and option: what is typed in both runs, and what in the second alone."""

OPTIONS = [
    (command, option) for command, listed in COMMANDS.items() for option in options_of(listed.load().request)
]


def run(arguments, capfd):
    """All that a run leaves: its status, what it says and the files it makes. They are taken away again."""
    before = set(Path().rglob("*"))
    try:
        status = main(arguments)
    except SystemExit as stop:
        status = stop.code
    said = capfd.readouterr()
    made = sorted(path for path in Path().rglob("*") if path not in before and path.is_file())
    files = [(str(path), hashlib.sha256(path.read_bytes()).hexdigest()) for path in made]
    for path in made:
        path.unlink()
    return status, said.out, said.err, files


@pytest.mark.parametrize(("command", "option"), OPTIONS, ids=[f"{c}-{o.name}" for c, o in OPTIONS])
def test_every_option_changes_what_its_command_does(command, option, folder, capfd, monkeypatch):
    typed, more = CASES[command][option.name]
    if typed[0] == "read":
        for name in ("quay", "song", "duet"):
            main(["write", f"{name}.yaml", "--as", "musicxml", "-o", f"{name}.musicxml", "--quiet"])
        for name in ("quay", "swung"):
            main(["write", f"{name}.yaml", "--as", "midi", "-o", f"{name}.mid", "--quiet"])
        capfd.readouterr()
    if option.name == "jobs":
        used = []
        monkeypatch.setattr(os, "cpu_count", lambda: used.append("asked") or 1)
    first, second = run(typed, capfd), run([*typed, *more], capfd)
    if option.name == "jobs":
        assert first == second  # any number of processes makes the same book
        assert used == ["asked"]  # but only where no number is given the machine is asked
    else:
        assert second[0] in (0, 1)
        assert first != second
