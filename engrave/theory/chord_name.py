"""Chord names: read, taken apart for printing, and the pitch classes they stand for."""

import re
from functools import lru_cache
from typing import NamedTuple

from engrave.theory.pitch import SEMITONES, STEPS, step_letter

_TRIADS: dict[str, tuple[int, ...]] = {"": (0, 4, 7), "m": (0, 3, 7), "dim": (0, 3, 6), "aug": (0, 4, 8)}
_SYNONYMS = {
    "min": "m",
    "-": "m",
    "mi": "m",
    "maj": "",
    "M": "",
    "ma": "",
    "+": "aug",
    "°": "dim",
    "o": "dim",
    "ø": "half",
    "m": "m",
    "dim": "dim",
    "aug": "aug",
    "": "",
}
_MAJOR_SEVENTH_WORDS = ("maj", "ma", "M", "△")
_STACKS: dict[str, tuple[int, ...]] = {
    "": (),
    "5": (),
    "6": (9,),
    "6/9": (9, 14),
    "69": (9, 14),
    "7": (10,),
    "9": (10, 14),
    "11": (10, 14, 17),
    "13": (10, 14, 21),
    "2": (14,),
    "4": (17,),
}
_ALTERATIONS = {
    "b5": 6,
    "#5": 8,
    "+5": 8,
    "-5": 6,
    "b9": 13,
    "#9": 15,
    "#11": 18,
    "b13": 20,
    "b6": 8,
    "#13": 22,
}
_ADDED = {"add9": 14, "add2": 14, "add11": 17, "add4": 17, "add13": 21, "add6": 9, "addb9": 13, "add#11": 18}
_SUSPENDED = {"sus2": (2,), "sus4": (5,), "sus": (5,), "sus2/4": (2, 5), "sus24": (2, 5)}
_ROOT = re.compile(r"([A-G])([#b♯♭]?)")
_GERMAN = re.compile(r"(?P<root>[A-Hh])(?P<rest>[^/]*(?:/[49])?)(?:/(?P<bass>[A-H][#b]?))?")
_TOKEN = re.compile(
    r"sus2/4|sus24|sus[24]?|add[#b]?\d+|alt|[#b+\-]\d+|[(),\s]+|no\d+|(?:maj|M)(?:7|9|11|13)|△7?"
)
_QUALITY = re.compile(r"maj|min|dim|aug|mi(?!n)|ma(?!j)|m(?!aj)|M|-|\+(?!5|9|11)|°|o|ø|△")


class ChordName(NamedTuple):
    """A chord name taken apart. `root` and `bass` are (step, alter); no root means "no chord" (N.C.).

    `quality` is "", m, dim, aug, half (half-diminished) or maj (before a seventh); `extension` is what is printed raised.
    """

    root: tuple[int, int] | None
    quality: str
    extension: str
    bass: tuple[int, int] | None
    text: str


class ChordPart(NamedTuple):
    """One printed piece of a chord name: a run of letters, or one real accidental of the music face."""

    text: str
    is_accidental: bool
    raised: bool


@lru_cache(maxsize=2048)
def parse_chord_name(text: str) -> ChordName:
    """Read "F#m7b5/E", "Gsus4", "N.C.". Raises ValueError that says what would be right."""
    name = text.strip().replace("♯", "#").replace("♭", "b")
    if name.upper().rstrip(".") in ("N.C", "NC"):
        return ChordName(None, "", "", None, text)
    match = _ROOT.match(name)
    english = _without_h(name)
    if english:
        raise ValueError(
            f'"{text}" is not a chord name; German H is B: write {english} (and a German B is written Bb)'
        )
    if match is None:
        raise ValueError(
            f'"{text}" is not a chord name; it starts with a letter A to G: G, Am7, F#m7b5, D7/F# (or N.C.)'
        )
    rest = name[match.end() :]
    bass = None
    slash = re.search(r"/([A-G][#b]?)$", rest)
    if slash:
        bass = _letter(slash.group(1))
        rest = rest[: slash.start()]
    quality, extension = _split_quality(rest)
    result = ChordName(_letter(match.group(0)), quality, extension, bass, text)
    try:
        pitch_classes(result)
    except ValueError as error:
        raise ValueError(f'"{text}" is not a chord name: {error}') from None
    return result


def _without_h(name: str) -> str:
    """The name with B for the H of German; "" where it has none, or is no chord name with B either."""
    found = _GERMAN.fullmatch(name)
    if found is None or "H" not in (found["root"].upper(), found["bass"]):
        return ""
    root, minor, bass = found["root"], "", found["bass"] or ""
    if root == "h":  # a small letter is minor, as in h-Moll
        root, minor = "B", "" if found["rest"].startswith("m") else "m"
    english = f"{root.replace('H', 'B')}{minor}{found['rest']}{'/' if bass else ''}{bass.replace('H', 'B')}"
    try:
        parse_chord_name(english)
    except ValueError:
        return ""
    return english


def _letter(name: str) -> tuple[int, int]:
    return STEPS.index(name[0]), {"": 0, "#": 1, "b": -1}[name[1:]]


def _split_quality(rest: str) -> tuple[str, str]:
    match = _QUALITY.match(rest)
    if match is None:
        return "", rest
    word = match.group(0)
    tail = rest[match.end() :]
    if word in _MAJOR_SEVENTH_WORDS and re.match(r"\d", tail):
        return ("maj", tail) if not tail.startswith(("5", "6")) else ("", tail)
    if word == "△":
        return "maj", tail or "7"
    return _SYNONYMS[word], tail


@lru_cache(maxsize=2048)
def pitch_classes(name: ChordName) -> frozenset[int]:
    """The pitch classes from the root up (root = 0). Raises ValueError for an extension nobody uses."""
    if name.root is None:
        return frozenset()
    quality, extension = name.quality, name.extension
    major_seventh = quality == "maj"
    tones = set(_TRIADS.get(quality, _TRIADS["m"] if quality == "half" else _TRIADS[""]))
    if quality == "half":
        tones, extension = {0, 3, 6}, extension or "7"
    number = re.match(r"6/9|69|13|11|9|7|6|5|4|2", extension)
    stack = number.group(0) if number else ""
    tail = extension[len(stack) :]
    added = list(_STACKS[stack])
    if stack == "5":
        tones.discard(4)
    if major_seventh and 10 in added:
        added[added.index(10)] = 11
    if quality == "dim" and stack == "7":
        added = [9]
    if quality == "" and stack in ("11",) and "sus" not in tail:
        added = [10, 14, 17]
    tones.update(added)
    _apply_tail(tones, tail)
    return frozenset(tone % 12 for tone in tones)


def _apply_tail(tones: set[int], tail: str) -> None:
    position = 0
    while position < len(tail):
        match = _TOKEN.match(tail, position)
        if match is None:
            raise ValueError(
                f'"{tail[position:]}" is not an extension; use 6, 7, maj7, 9, 11, 13, b5, #9, sus4, add9 ...'
            )
        _apply_token(tones, match.group(0))
        position = match.end()


def _apply_token(tones: set[int], token: str) -> None:
    if token in _SUSPENDED:
        tones.difference_update((3, 4))
        tones.update(_SUSPENDED[token])
    elif token in _ADDED:
        tones.add(_ADDED[token])
    elif token == "alt":
        tones.difference_update((7,))
        tones.update((6, 8, 13, 15))
    elif token.startswith(("maj", "M", "△")):
        tones.discard(10)
        tones.update(
            {"9": (11, 14), "11": (11, 14, 17), "13": (11, 14, 21)}.get(token.lstrip("majM△"), (11,))
        )
    elif token.startswith("no"):
        tones.difference_update({"no3": (3, 4), "no5": (7,), "no1": (0,)}.get(token, ()))
    elif token in _ALTERATIONS:
        if token[1:] == "5":
            tones.discard(7)
        if token[1:] == "9":
            tones.discard(14)
        tones.add(_ALTERATIONS[token])
    elif token.strip("(), "):
        raise ValueError(f'"{token}" is not an extension')


def root_semitone(name: ChordName) -> int:
    """The root's pitch class (C = 0). Raises ValueError for "no chord"."""
    if name.root is None:
        raise ValueError("no chord has no root")
    step, alter = name.root
    return (SEMITONES[step] + alter) % 12


_DEGREE_LETTERS = {0: 0, 1: 1, 2: 1, 3: 2, 4: 2, 5: 3, 6: 4, 7: 4, 8: 4, 9: 5, 10: 6, 11: 6}
"""Letters above the root of each semitone in a chord; 6 is a flat fifth or a sharp eleventh (see below)."""


@lru_cache(maxsize=1024)
def chord_letters(name: ChordName) -> dict[int, tuple[int, int]]:
    """The (step, alter) of each tone of a chord by its pitch class; tones that would need a triple sign are left out."""
    if name.root is None:
        return {}
    tones = pitch_classes(name)
    root_step, _ = name.root
    root = root_semitone(name)
    letters: dict[int, tuple[int, int]] = {}
    for tone in sorted(tones):
        degree = _DEGREE_LETTERS[tone]
        if tone == 9 and 6 in tones and 3 in tones:
            degree = 6
        elif tone == 6 and 7 in tones:
            degree = 3
        elif tone == 3 and 4 in tones:
            degree = 1
        step = (root_step + degree) % 7
        alter = (root + tone - SEMITONES[step] + 6) % 12 - 6
        if abs(alter) <= 2:
            letters[(root + tone) % 12] = (step, alter)
    if name.bass is not None:
        step, alter = name.bass
        letters[(SEMITONES[step] + alter) % 12] = name.bass
    return letters


_PRINTED_QUALITY = {"": "", "m": "m", "dim": "dim", "aug": "aug", "maj": "", "half": "m"}


def display_parts(name: ChordName, no_chord: str, says_h: bool = False) -> tuple[ChordPart, ...]:
    """The pieces of a name as printed: letters, real sharps and flats, raised extensions.

    `no_chord` is printed where no chord sounds. `says_h`: a B that is not flat is called H.
    """
    if name.root is None:
        return (ChordPart(no_chord, False, False),)
    parts = list(_letter_parts(name.root, says_h))
    quality = _PRINTED_QUALITY[name.quality]
    if quality:
        parts.append(ChordPart(quality, False, False))
    extension = name.extension
    if name.quality == "maj":
        extension = f"maj{extension}"
    elif name.quality == "half":
        extension = f"{extension or '7'}b5"
    parts.extend(_extension_parts(extension))
    if name.bass is not None:
        parts.append(ChordPart("/", False, False))
        parts.extend(_letter_parts(name.bass, says_h))
    return tuple(parts)


def _letter_parts(letter: tuple[int, int], says_h: bool) -> list[ChordPart]:
    step, alter = letter
    parts = [ChordPart(step_letter(step, alter, says_h), False, False)]
    if alter:
        parts.append(ChordPart("♯" if alter > 0 else "♭", True, False))
    return parts


def _extension_parts(extension: str) -> list[ChordPart]:
    parts = []
    for run in re.findall(r"[#b](?=\d)|(?:(?![#b]\d).)+", extension):
        if run in ("#", "b"):
            parts.append(ChordPart("♯" if run == "#" else "♭", True, True))
        else:
            parts.append(ChordPart(run, False, True))
    return parts
