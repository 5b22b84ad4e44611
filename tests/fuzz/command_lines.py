"""Random command lines for all commands, made from the table of their options."""

from __future__ import annotations

import os
import random

from engrave.commands.registry import COMMANDS
from engrave.requests.option import Option, options_of
from tests.fuzz import seeds
from tests.fuzz.case import Case, Step
from tests.fuzz.mutate_text import odd_word

_ENDINGS = ["pdf", "svg", "png", "yaml", "musicxml", "mxl", "mid", "wav", "txt", "json", "", "odd"]
_NUMBERS = [
    "0",
    "1",
    "2",
    "3",
    "7",
    "12",
    "15",
    "100",
    "-1",
    "0.5",
    "1.5",
    "2.5",
    "10",
    "72",
    "nan",
    "inf",
    "-inf",
    "1e9",
    "1e-9",
    "x",
    "１２",
    "9" * 30,
]
_STYLES = ["handout", "songbook", "large-print", "style.yaml", "no.yaml", "song.yaml", "handuot"]
_WORDS = {
    "hand": ["beginner", "intermediate", "advanced", "hand.yaml", "style.yaml", "expert"],
    "style": _STYLES,
    "table": ["table.yaml", "song.yaml", "no.yaml"],
    "tuning": ["drop D", "DADGAD", "D2 A2 D3 G3 B3 E4", "open G", "Z9", "E4", "G0 G0 G0 G0 G0 G0"],
    "instrument": ["guitar", "bass", "bass-5", "ukulele", "banjo", "mandolin", "voice", "gitar"],
    "key": ["A major", "Eb minor", "C# major", "Gb major", "H dur"],
    "size": ["A3", "A4", "A5", "Letter", "100x150", "60x60", "5000x5000", "0x0", "210x297", "AA"],
    "language": ["de", "en", "es", "fr", "xx", "en-GB"],
    "measures": ["1", "1-2", "2-1", "Verse", "9", "0"],
    "parts": ["1", "Guitar", "guitar", "2", "no"],
    "kinds": ["tab", "staff+tab,tab", "chord-grids", "staff", ",", "tba"],
    "cache": ["out/cache", "out", "song.yaml"],
    "chords": ["C", "Am7", "D/F#", "Bb13", "H", "x 3 2 0 1 0", "0 0 0 0 0 0", "C#m7b5"],
    "necks": [
        "A minor, position 5",
        "E7 arpeggio, frets 7 to 10",
        "6:5 root 6:8",
        "9:9",
        "H minor",
        "C triad",
        "",
    ],
    "numbers": ["up", "down", "as-written", "6:5 5:5", "sideways"],
    "arrows": ["up", "down", "as-written", "6:5 5:5", "6:99"],
    "root": ["A", "Bb", "H", "9"],
}
_FILES = {
    "read": ["tab.txt", "song.musicxml", "song.mid", "song.mxl"],
    "write": ["song.yaml", "other.yaml"],
    "place": ["song.yaml", "other.yaml"],
    "make": ["song.yaml", "other.yaml", "handout.yaml", "book.yaml", "paper.yaml"],
    "check": ["song.yaml", "other.yaml", "handout.yaml", "book.yaml", "paper.yaml"],
}
_FORMS = {"make": "pdf", "paper": "pdf", "read": "yaml", "place": "yaml"}
"""What is written unless something else is asked for."""
_ODD_FILES = [
    "no.yaml",
    "out",
    "-",
    "style.yaml",
    "hand.png",
    "tab.txt",
    "song.mid",
    "",
    "song.yaml/x",
    "a" * 300 + ".yaml",
    "empty.yaml",
]


def files() -> dict[str, bytes]:
    """One file of each kind."""
    return seeds.companions() | {
        "handout.yaml": seeds.seeds("handout")[0].text.encode(),
        "book.yaml": seeds.seeds("songbook")[0].text.encode(),
        "paper.yaml": seeds.seeds("paper")[0].text.encode(),
        "style.yaml": seeds.seeds("style")[0].text.encode(),
        "hand.yaml": seeds.seeds("hand")[0].text.encode(),
        "table.yaml": seeds.seeds("table")[0].text.encode(),
        "tab.txt": seeds.TAB.encode(),
        "song.musicxml": seeds.musicxml_seeds()[0],
        "song.mid": seeds.midi_seeds()[0],
        "empty.yaml": b"",
    }


def make_command_case(rng: random.Random) -> Case:
    """A command with some of its options, most of them with values that can be meant."""
    command = rng.choice(list(COMMANDS))
    words = [command]
    positional = []
    options = list(options_of(COMMANDS[command].load().request))
    wanted = rng.choice([0, 1, 2, 3, 5])
    chance = wanted / max(len(options), 1)
    form = ""
    chosen = [option for option in options if option.flag and (option.is_required or rng.random() < chance)]
    if rng.random() < 0.8:
        chosen = _fitting(chosen, options, rng)
    for option in options:
        if not option.flag:
            positional = _things(command, option, rng)
        elif option.name == "form" and any(other.forms for other in chosen):
            form = rng.choice([word for other in chosen for word in other.forms])
            words += [option.flag, form]
        elif any(other.name == option.name for other in chosen):
            typed = [] if option.is_switch else [_value(command, option, rng)]
            form = typed[0] if option.name == "form" else form
            words += (
                [option.flag, *typed] if rng.random() < 0.9 or not typed else [f"{option.flag}={typed[0]}"]
            )
    if "-o" not in words and any(option.flag == "-o" for option in options) and rng.random() < 0.8:
        words += ["-o", _output(form or _FORMS.get(command, ""), rng)]
    bystander = "song.yaml" not in positional
    words = ["out/x.yaml" if bystander and word.endswith("song.yaml") else word for word in words]
    words[1:1] = positional if rng.random() < 0.5 else []
    words += [] if len(words) > 1 and words[1 : 1 + len(positional)] == positional else positional
    if rng.random() < 0.08:
        words.insert(
            rng.randint(0, len(words)), rng.choice(["--no", "--help", "--version", "-", "--", odd_word(rng)])
        )
    if rng.random() < 0.9 and command in ("make", "check"):
        words += ["--jobs", "1"]
    words = [as_typed(word) for word in words]
    stdin = rng.choice(_FILES.get(command, ["song.yaml"])) if "-" in words else ""
    return Case("command", files(), (Step(tuple(words), stdin=stdin if stdin in files() else ""),))


def as_typed(word: str) -> str:
    """The word as a system can hand it to a program: no null, and of lone surrogates those that stand for odd bytes (PEP 383)."""
    return os.fsdecode(word.encode("utf-8", "surrogatepass")).replace("\0", "")


def _fitting(chosen: list[Option], options: list[Option], rng: random.Random) -> list[Option]:
    """Options that can be meant together: what one needs is there, what clashes or is for another form is not."""
    rng.shuffle(chosen)
    forms = next((set(option.forms) for option in chosen if option.forms), set())
    kept: list[Option] = []
    for option in chosen:
        clash = {option.clashes} & {other.name for other in kept} or any(
            other.clashes == option.name for other in kept
        )
        if not clash and (not option.forms or set(option.forms) & forms):
            forms = forms & set(option.forms) if option.forms else forms
            kept += [other for other in options if other.name in (option.name, option.needs)]
    return [option._replace(forms=tuple(sorted(forms))) if option.forms else option for option in kept]


def _things(command: str, option: Option, rng: random.Random) -> list[str]:
    """What a command is to work on."""
    if option.choices:
        return [rng.choice([*option.choices, odd_word(rng)])] if rng.random() < 0.7 else []
    usual = _WORDS.get(option.name) or _FILES[command]
    odd = [odd_word(rng)] if option.name in ("chords", "necks") else _ODD_FILES
    count = rng.choice([1, 1, 1, 2, 3]) if option.many else 1
    return [rng.choice(usual if rng.random() < 0.85 else odd) for _ in range(count)]


def _value(command: str, option: Option, rng: random.Random) -> str:
    """A value for an option: usually one that fits."""
    if rng.random() < 0.08:
        return odd_word(rng)
    if option.choices:
        return rng.choice(option.choices)
    if option.name in ("output", "trace"):
        return (
            _output(_FORMS.get(command, "txt"), rng)
            if option.name == "output"
            else rng.choice(["out/trace.json", "out", "song.yaml", "-", "out/no/x"])
        )
    if option.convert in (int, float):
        least = 1.0 if option.least is None else option.least
        fits = [
            f"{number:g}"
            for number in (least, least + 1, least + 3, 12 if option.most is None else option.most)
        ]
        return rng.choice(fits if rng.random() < 0.7 else _NUMBERS)
    return rng.choice(_WORDS.get(option.name, [odd_word(rng)]))


def _output(form: str, rng: random.Random) -> str:
    """Where a result may be asked to go: mostly where it can, never over a file that has nothing to do with it."""
    ending = {"midi": "mid", "text": "txt"}.get(form, form or rng.choice(_ENDINGS))
    ending = ending if rng.random() < 0.9 else rng.choice(_ENDINGS)
    name = rng.choice(["x", "x", "x", "x y", "é", "a" * 300, ".", "x.y"])
    return rng.choice(
        [f"out/{name}.{ending}"] * 6
        + [
            "out",
            "-",
            "",
            f"out/no/{name}.{ending}",
            "/dev/null",
            "/dev/full",
            "song.yaml",
            odd_word(rng)[:400],
        ]
    )
