"""Apostrophes as they are printed: whoever types has one straight sign, print has a curved one."""

import re

_TYPED = "'"
_CURVED = "\N{RIGHT SINGLE QUOTATION MARK}"
_QUOTED = re.compile(r"(?<!\w)'(?!n'(?!\w))(?=\w)(?:[^']|(?<=\w)'(?=\w))*[^\s']'(?!\w)")
"""Words in straight quotation marks; not the two apostrophes of "rock 'n' roll"."""
_APOSTROPHE = re.compile(r"(?<=[^\W\d_])'|'(?=[^\W\d_]|\d\ds\b)")
"""After a letter, or before one or a decade: "o'er", "'tis", "runnin'", "'90s"; not after figures, where it means feet."""


def printed_words(text: str) -> str:
    """`text` with curved apostrophes (common practice, no source; the character by the Unicode Standard, chapter 6).

    Straight quotation marks stay as they were typed: which ones belong there is the author's choice.
    """
    if _TYPED not in text:
        return text
    pieces, at = [], 0
    for quoted in _QUOTED.finditer(text):
        inner = printed_words(text[quoted.start() + 1 : quoted.end() - 1])
        pieces += [_APOSTROPHE.sub(_CURVED, text[at : quoted.start()]), _TYPED, inner, _TYPED]
        at = quoted.end()
    return "".join([*pieces, _APOSTROPHE.sub(_CURVED, text[at:])])
