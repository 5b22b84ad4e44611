"""The alphabet of a language: what lists and indexes are sorted by.

Accents count only where words are otherwise equal, and letters with a stroke stand with the plain ones, unless they are
letters of their own in the language (ISO 14651 and the tailorings of Unicode CLDR, from memory; tests compare the common
table). Letters of one script stay together: Latin, then Greek, then Cyrillic.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import cache

_OWN_LETTERS = {
    "es": "ñ>n",
    "gl": "ñ>n",
    "eu": "ñ>n",
    "sv": "å>z ä>z æ=ä ö>z ø=ö",
    "fi": "å>z ä>z æ=ä ö>z ø=ö",
    "da": "æ>z ä=æ ø>z ö=ø å>z",
    "nb": "æ>z ä=æ ø>z ö=ø å>z",
    "nn": "æ>z ä=æ ø>z ö=ø å>z",
    "no": "æ>z ä=æ ø>z ö=ø å>z",
    "is": "á>a ð>d é>e í>i ó>o ú>u ý>y þ>z æ>z ä=æ ö>z ø=ö å>z",
    "et": "š>s z>s ž>s õ>w ä>w ö>w ü>w",
    "pl": "ą>a ć>c ę>e ł>l ń>n ó>o ś>s ź>z ż>z",
    "cs": "č>c ř>r š>s ž>z",
    "sk": "ä>a č>c ô>o š>s ž>z",
    "sl": "č>c ć>c đ>d š>s ž>z",
    "hr": "č>c ć>c đ>d š>s ž>z",
    "bs": "č>c ć>c đ>d š>s ž>z",
    "hu": "ö>o ő=ö ü>u ű=ü",
    "ro": "ă>a â>a î>i ș>s ş=ș ț>t ţ=ț",
    "tr": "ç>c ğ>g ı>h ö>o ş>s ü>u",
    "lt": "č>c š>s ž>z",
    "lv": "č>c ģ>g ķ>k ļ>l ņ>n š>s ž>z",
}
"""Letters of their own by language: `ñ>n` stands after n (and what stands there already), `ø=ö` counts as ö."""

_EVERYWHERE = "й>и ў>у ґ>г ђ>д ð>d þ>z"
"""Letters of their own in every language (fact: the common table of ISO 14651)."""

_PLAIN = {"ø": "o", "ł": "l", "đ": "d", "ħ": "h", "ŧ": "t", "æ": "ae", "œ": "oe", "ı": "i", "ς": "σ"}
"""What stands with other letters although Unicode does not take it apart (fact: the common table of ISO 14651)."""

Primary = tuple[tuple[str, int], ...]
SortKey = tuple[Primary, str]


def collation_key(text: str, language: str = "") -> SortKey:
    """What `text` is sorted by in `language` (a BCP 47 tag; "" for none): its letters, then its accents.

    Case and punctuation do not count; a blank stands before every letter.
    """
    primary: list[tuple[str, int]] = []
    own = _own_letters(language.split("-")[0].lower())
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", text).casefold())
    for letter in folded:
        primary.extend(_weigh(letter, own))
    return tuple(primary), folded


def _weigh(letter: str, own: dict[str, tuple[str, int]]) -> Iterator[tuple[str, int]]:
    if letter in own:
        yield own[letter]
        return
    for part in unicodedata.normalize("NFKD", letter):
        if part.isspace():
            yield " ", 0
        elif part in own:
            yield own[part]
        elif part.isalnum():
            yield from ((plain, 0) for plain in _PLAIN.get(part, part))


@cache
def _own_letters(language: str) -> dict[str, tuple[str, int]]:
    """Each letter of its own with the letter it stands after and its place behind that."""
    places: dict[str, tuple[str, int]] = {}
    taken: dict[str, int] = {}
    for rule in f"{_EVERYWHERE} {_OWN_LETTERS.get(language, '')}".split():
        letter, sign, base = rule[0], rule[1], rule[2]
        if sign == "=":
            places[letter] = places[base]
        else:
            taken[base] = taken.get(base, 0) + 1
            places[letter] = base, taken[base]
    return places
