"""Words in uncontracted braille, and word-sign expressions inside music."""

from __future__ import annotations

import unicodedata

from engrave.exchange.braille.signs import NUMBER, WORD, cells, has_left_dots, upper_number

_LETTERS = {
    "a": "1", "b": "12", "c": "14", "d": "145", "e": "15", "f": "124", "g": "1245", "h": "125", "i": "24", "j": "245",
    "k": "13", "l": "123", "m": "134", "n": "1345", "o": "135", "p": "1234", "q": "12345", "r": "1235", "s": "234",
    "t": "2345", "u": "136", "v": "1236", "w": "2456", "x": "1346", "y": "13456", "z": "1356",
}  # fmt: skip
_PUNCTUATION = {
    ",": "2", ";": "23", ":": "25", ".": "256", "!": "235", "?": "236", "'": "3", "-": "36", "(": "2356", ")": "2356",
    '"': "236", "/": "34", "&": "12346", "\u2018": "6 236", "\u2019": "3", "\u201c": "236", "\u201d": "356", "\u2013": "36",
    "\u2014": "36 36", "\u2026": "3 3 3", "#": "146", "\u266f": "146", "\u266d": "126", "\u266e": "16", "+": "346", "=": "2356",
}  # fmt: skip
"""Punctuation of English braille; accidentals are those of music."""
_CAPITAL, _ACCENT, _UNKNOWN = cells("6"), cells("4"), cells("456 26")
_LETTER_SIGN = cells("56")
_APOSTROPHE = cells("3")


def literary(text: str) -> str:
    """Words with their capitals. Spaces stay spaces."""
    return " ".join(_word(word) for word in text.split())


def expression(text: str) -> str:
    """A word-sign expression: small letters, dot 3 for the full stop; one of several words is closed by a word sign."""
    plain = text.lower()
    said = " ".join("".join(_characters(word, True)) for word in plain.split())
    return f"{WORD}{said}{WORD}" if " " in said else WORD + said


def parted(before: str, after: str, is_word: bool) -> str:
    """Two groups of cells side by side; dot 3 between a word and what would be read as its next letter."""
    return before + (_APOSTROPHE if is_word and has_left_dots(after) else "") + after


def _word(word: str) -> str:
    if word.isupper() and len(word) > 1 and word.isalpha():
        return _CAPITAL * 2 + "".join(_characters(word.lower(), False))
    return "".join(_characters(word, False))


def _characters(word: str, in_music: bool) -> list[str]:
    made: list[str] = []
    in_number = False
    for character in word:
        if character.isascii() and character.isdigit():
            made.append(("" if in_number else NUMBER) + upper_number(int(character)))
            in_number = True
            continue
        follows = in_number and "a" <= character <= "j"
        in_number = False
        made.append((_LETTER_SIGN if follows else "") + _character(character, in_music))
    return made


def _character(character: str, in_music: bool) -> str:
    if in_music and character == ".":
        return _APOSTROPHE
    if character in _PUNCTUATION:
        return cells(_PUNCTUATION[character])
    base, *accents = list(unicodedata.normalize("NFKD", character))
    capital = _CAPITAL if base.isupper() else ""
    letter = _LETTERS.get(base.lower())
    if letter is None:
        return _UNKNOWN if not character.isspace() else ""
    return capital + (_ACCENT if accents else "") + cells(letter)


def is_known(text: str) -> bool:
    """True where every character has a cell."""
    return all(
        c.isspace() or (c.isascii() and c.isdigit()) or _UNKNOWN not in _character(c, False) for c in text
    )
