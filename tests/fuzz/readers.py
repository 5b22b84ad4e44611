"""What is tried: for each reader a case made from a seed and a number, the same whenever it is asked for."""

from __future__ import annotations

import random
from collections.abc import Callable

from tests.fuzz import seeds
from tests.fuzz.case import Case, Step
from tests.fuzz.command_lines import as_typed, make_command_case
from tests.fuzz.mutate_foreign import mutate_midi, mutate_picture, mutate_xml, pack_mxl
from tests.fuzz.mutate_text import encode, mutate_bytes, mutate_text, odd_word
from tests.fuzz.mutate_tree import dump_tree, mutate_tree

DOCUMENT = "document.yaml"


def make_case(reader: str, seed: int, number: int) -> Case:
    """The case of that number."""
    return READERS[reader](random.Random(f"{seed}/{reader}/{number}"))


def damaged(kind: str, rng: random.Random) -> tuple[bytes, dict[str, bytes]]:
    """A document of a kind with something wrong in it, and the files that it names."""
    found = seeds.seeds(kind)
    at = rng.randrange(len(found))
    if kind == "score" and rng.random() < 0.4:
        tree = seeds.mixed_score(rng)
        tree = tree if rng.random() < 0.6 else mutate_tree(tree, rng, seeds.trees("score"))
        return encode(dump_tree(tree, rng)), seeds.companions()
    if kind == "score" and rng.random() < 0.2:
        text = seeds.random_score(rng)
        return text.encode() if rng.random() < 0.5 else mutate_text(text, rng), seeds.companions()
    if rng.random() < 0.22:
        return mutate_text(found[at].text, rng), found[at].files
    donors = seeds.trees(rng.choice([kind, kind, "score", "handout", "songbook"]))
    tree = mutate_tree(seeds.trees(kind)[at], rng, donors)
    text = dump_tree(tree, rng)
    return (mutate_text(text, rng) if rng.random() < 0.1 else encode(text)), found[at].files


def pages(rng: random.Random, form: str = "", *options: str) -> tuple[Step, Step]:
    """A document checked and made, which must agree."""
    form = form or rng.choice(["pdf", "pdf", "svg"])
    jobs = ("--jobs", "1")
    check = Step(("check", DOCUMENT, *jobs, *options))
    return check, Step(("make", DOCUMENT, "--as", form, "-o", f"out/page.{form}", *jobs, *options), agrees=0)


def _score(rng: random.Random) -> Case:
    """A score checked and made; now and then placed, moved, written in another form and read back."""
    data, files = damaged("score", rng)
    steps = list(
        pages(
            rng,
            "",
            *rng.choice([(), (), ("--view", rng.choice(["staff", "tab", "rhythm-tab", "lead-sheet"]))]),
        )
    )
    way = rng.randrange(8)
    if way < 2:
        moves = [
            (),
            ("--anew",),
            ("--tuning", "drop D"),
            ("--capo", "2"),
            ("--semitones", "-3"),
            ("--key", "Eb major"),
            ("--instrument", "ukulele"),
        ]
        options = rng.choice(moves)
        steps.append(
            Step(
                ("place", DOCUMENT, "-o", "out/placed.yaml", *options, *rng.choice([(), ("--why",)])), after=0
            )
        )
        steps.append(Step(("check", "out/placed.yaml"), after=len(steps) - 1, must=True))
    elif way < 5:
        form, ending = rng.choice(
            [("musicxml", "musicxml"), ("mxl", "mxl"), ("midi", "mid"), ("text", "txt"), ("wav", "wav")]
        )
        steps.append(Step(("write", DOCUMENT, "--as", form, "-o", f"out/other.{ending}"), after=0))
        if form != "wav":
            steps.append(
                Step(("read", f"out/other.{ending}", "-o", "out/back.yaml"), after=len(steps) - 1, must=True)
            )
            steps.append(Step(("check", "out/back.yaml"), after=len(steps) - 1, must=True))
    return Case("score", files | {DOCUMENT: data}, tuple(steps))


def _document(kind: str, form: str = "") -> Callable[[random.Random], Case]:
    def build(rng: random.Random) -> Case:
        data, files = damaged(kind, rng)
        # It is the book that is damaged, and short songs are made fastest.
        if kind == "songbook" and rng.random() < 0.7:
            songs = [data for name, data in seeds.companions().items() if name.endswith(".yaml")]
            files = {
                name: rng.choice(songs) if name.endswith(".yaml") else data for name, data in files.items()
            }
        if kind == "songbook" and rng.random() < 0.3:
            files = {**files, "song.yaml": damaged("score", rng)[0]}
        return Case(kind, files | {DOCUMENT: data}, pages(rng, form))

    return build


def _style(rng: random.Random) -> Case:
    """A score, a handout or paper in a style with something wrong in it."""
    data, files = damaged("style", rng)
    document = rng.choice(
        [seeds.seeds("score")[0], seeds.seeds("score")[1], seeds.seeds("handout")[0], seeds.seeds("paper")[0]]
    )
    files = {**files, **document.files, "own.yaml": data, DOCUMENT: document.text.encode()}
    return Case("style", files, pages(rng, "", "--style", "own.yaml"))


def _hand(rng: random.Random) -> Case:
    """A score checked for, and fingered by, a hand with something wrong in it."""
    data, files = damaged("hand", rng)
    score = rng.choice(seeds.seeds("score")[:2]).text.encode()
    steps = (
        Step(("check", DOCUMENT, "--hand", "own.yaml", *rng.choice([(), ("--difficulty",)]))),
        Step(
            (
                "place",
                DOCUMENT,
                "--hand",
                "own.yaml",
                "-o",
                "out/placed.yaml",
                *rng.choice([(), ("--anew",)]),
            ),
            agrees=0,
        ),
        Step(("check", "out/placed.yaml"), after=1, must=True),
        Step(("shapes", "C", "Am7", "--hand", "own.yaml"), agrees=0),
    )
    return Case("hand", files | {DOCUMENT: score, "own.yaml": data}, steps)


def _read_back(name: str, *options: str) -> tuple[Step, ...]:
    """A file read, and its score checked and made."""
    return (
        Step(("read", name, "-o", "out/document.yaml", *options)),
        Step(("check", "out/document.yaml"), after=0, must=True),
        Step(("make", "out/document.yaml", "-o", "out/document.pdf"), agrees=1, after=0),
    )


def _table(rng: random.Random) -> Case:
    data, _ = damaged("table", rng)
    return Case(
        "table",
        {"tab.txt": rng.choice(seeds.tab_seeds()), "own.yaml": data},
        _read_back("tab.txt", "--table", "own.yaml"),
    )


def _tab(rng: random.Random) -> Case:
    data = mutate_text(rng.choice(seeds.tab_seeds()).decode("utf-8"), rng)
    return Case("tab", {"tab.txt": data}, _read_back("tab.txt"))


def _musicxml(rng: random.Random) -> Case:
    data = mutate_xml(rng.choice(seeds.musicxml_seeds()), rng)
    name = "song.musicxml"
    if rng.random() < 0.2:
        name, data = "song.mxl", pack_mxl(data, rng)
    return Case("musicxml", {name: data}, _read_back(name))


def _midi(rng: random.Random) -> Case:
    data = mutate_midi(rng.choice(seeds.midi_seeds()), rng)
    options = ("--round-to", rng.choice(["1/4", "1/8", "1/16", "1/32", "1/64"])) if rng.random() < 0.3 else ()
    steps = _read_back("song.mid", *options)  # choosing strings is slow: only some are drawn too
    return Case("midi", {"song.mid": data}, steps if rng.random() < 0.3 else steps[:2])


def _picture(rng: random.Random) -> Case:
    """A handout with a damaged picture."""
    name, data = rng.choice(list(seeds.pictures().items()))
    data = (
        mutate_picture(name, data, rng)
        if rng.random() < 0.9
        else rng.choice([b"", mutate_bytes(b"GIF89a" + b"x" * 40, rng)])
    )
    width = rng.choice(["", "", "    width: 60\n", "    width: 0.001\n", "    width: 400\n"])
    text = f"handout: 1\ncontent:\n  - picture: {name}\n    alt: A hand\n{width}"
    return Case("picture", {name: data, DOCUMENT: text.encode()}, pages(rng))


_ROOTS = ["C", "C#", "Db", "D", "Eb", "F#", "G", "Ab", "A", "Bb", "B", "H", "c", ""]
_SORTS = [
    "",
    "m",
    "7",
    "maj7",
    "m7b5",
    "dim",
    "dim7",
    "aug",
    "sus4",
    "sus2",
    "6",
    "6/9",
    "9",
    "11",
    "13",
    "7#9",
    "7b9#11",
    "add9",
    "5",
    "mmaj7",
    "°",
    "ø",
    "Δ",
    "no3",
    "alt",
]


def _necks(rng: random.Random) -> Case:
    """What necks show, right and wrong, for any instrument."""
    instrument = rng.choice(["guitar", "guitar", "ukulele", "bass", "banjo", "mandolin", "guitar-7"])
    options = ["--instrument", instrument] if rng.random() < 0.5 else []
    options += rng.choice(
        [[], [], ["--labels", "fingers"], ["--arrows", "up"], ["--numbers", "6:5 5:7"], ["--root", "H"]]
    )
    tones = rng.choice(["minor pentatonic", "dorian", "7 arpeggio", " triad", "blues", odd_word(rng)[:12]])
    where = rng.choice(
        [
            "",
            ", position 5",
            ", whole neck",
            ", frets 7 to 10",
            ", strings 3 to 1, first inversion",
            ", " + odd_word(rng)[:9],
        ]
    )
    typed = rng.choice(
        [f"{rng.choice(_ROOTS)} {tones}{where}", f"{rng.randrange(9)}:{rng.randrange(30)} root finger 1"]
    )
    if rng.random() < 0.2:
        typed = mutate_text(typed, rng).decode("utf-8", "replace")
    output = rng.choice(
        [[], ["--as", "yaml"], ["--as", "pdf", "-o", "out/x.pdf"], ["--as", "svg", "-o", "out/x.svg"]]
    )
    return Case("necks", {}, (Step(("necks", *options, *output, "--", as_typed(typed))),))


def _shapes(rng: random.Random) -> Case:
    """Chord names and frets, right and wrong, for any instrument."""
    instrument = rng.choice(["guitar", "guitar", "ukulele", "bass", "banjo", "mandolin", "bass-5"])
    options = ["--instrument", instrument] if rng.random() < 0.5 else []
    options += rng.choice(
        [
            [],
            [],
            ["--inversions"],
            ["--rootless"],
            ["--capo", rng.choice(["0", "3", "12", "30"])],
            ["--tuning", "DADGAD"],
        ]
    )
    if rng.random() < 0.35:
        frets = [
            " ".join(
                rng.choice(["x", "0", "1", "2", "3", "5", "12", "24", odd_word(rng)[:6]])
                for _ in range(rng.choice([4, 5, 6, 6, 6, 7]))
            )
        ]
        return Case("shapes", {}, (Step(("shapes", *options, "--name", "--", *map(as_typed, frets))),))
    names = []
    for _ in range(rng.choice([1, 1, 2])):
        name = (
            rng.choice(_ROOTS)
            + rng.choice(_SORTS)
            + rng.choice(["", "", "", "/E", "/Bb", "/7", "(b5)", odd_word(rng)[:8]])
        )
        names.append(name if rng.random() < 0.9 else mutate_text(name, rng).decode("utf-8", "replace"))
    output = rng.choice(
        [[], [], ["--as", "yaml"], ["--as", "pdf", "-o", "out/x.pdf"], ["--as", "svg", "-o", "out/x.svg"]]
    )
    return Case("shapes", {}, (Step(("shapes", *options, *output, "--", *map(as_typed, names))),))


READERS: dict[str, Callable[[random.Random], Case]] = {
    "score": _score,
    "handout": _document("handout"),
    "songbook": _document("songbook", "pdf"),
    "method": _document("method"),
    "paper": _document("paper"),
    "style": _style,
    "hand": _hand,
    "table": _table,
    "tab": _tab,
    "musicxml": _musicxml,
    "midi": _midi,
    "picture": _picture,
    "shapes": _shapes,
    "necks": _necks,
    "command": make_command_case,
}
"""How a case is made, by the name of what reads it."""
SHARES = {"score": 6, "handout": 2, "songbook": 2, "tab": 2, "musicxml": 2, "command": 4}
"""Turns of a reader where it has more than one."""
