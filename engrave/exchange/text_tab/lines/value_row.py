"""A row of note values over or under the strings: `q e. 3(e e e) _h`, and what more two voices need to be told.

After a value `,` is a rest, `/` a rhythm slash; `h:56` strikes strings 5 and 6, `q=23` holds strings 2 and 3 from
before, `_h` all that sounds. `/e>` is a grace note to the note after it, `e>` one that is not slashed, `<e` one after
its note. A measure may have `rest`, `rest x8` (of eight measures) or `%`, `%2`, `%4` (the measures before once more).
"""

from __future__ import annotations

import re
from typing import NamedTuple

from engrave.theory.duration import DENOMINATORS, NoteValue, note_value

LETTERS = {"w": 1, "h": 2, "q": 4, "e": 8, "s": 16, "t": 32}
"""Note values by their letters."""
USUAL_NORMAL = {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4, 9: 8}
"""In the time of how many the notes of a tuplet stand (as in the drawn tabs of the score language)."""
MOST_IN_TUPLET = 64
"""Notes of a tuplet, and of those in whose time they stand."""
NAMED = re.compile(r"\s*(?:rhythm|r)\b")
"""What a row may begin with, so that it is one wherever its values stand."""
_TOKEN = re.compile(
    r"(?P<actual>\d+)(?::(?P<normal>\d+))?\("
    r"|(?P<sign>rest\b(?: x(?P<rests>\d+))?|%(?P<back>[24]?))"
    r"|(?P<lead>[/<]?)(?P<held>_?)(?P<value>\d+|[whqest])(?P<dots>\.{0,2})"
    r"(?::(?P<strings>[1-8]+))?(?:=(?P<ties>[1-8]+))?(?P<tail>[,/>]?)"
    r"|(?P<closing>\))",
    re.IGNORECASE,
)
_LOOSE = re.compile(r"(?:rhythm|r)?[\dwhqestWHQEST._():|\s\-]+")
"""Values as anybody may type them, one after the other."""
_VALUE = r"(?:\d+(?::\d+)?\()*[/<]?_?(?:64|[whqest])\.{0,2}(?::[1-8]+)?(?:=[1-8]+)?[,/>]?\)*"
_STRICT = re.compile(
    rf"(?:r(?:hythm)?\s+)?(?:{_VALUE}|rest(?: x\d+)?|%[24]?)(?:\s+(?:{_VALUE}|rest(?: x\d+)?|%[24]?))*"
)
"""Values with the signs around them stand apart, so that words are not taken for them."""
_MOST_RESTS = 999


class Token(NamedTuple):
    """A value at a column of the text, with the tuplets that open before it and how many close after it.

    `held`: all that sounds is held; `ties`: these strings are. `strings`: those that it strikes, where that is told.
    `grace`: "", "grace", "appoggiatura" or "closing-grace".
    """

    column: int
    value: NoteValue
    opens: tuple[tuple[int, int], ...] = ()
    closes: int = 0
    held: bool = False
    strings: tuple[int, ...] = ()
    ties: tuple[int, ...] = ()
    rest: bool = False
    slash: bool = False
    grace: str = ""

    @property
    def is_mute(self) -> bool:
        """Whether it strikes no string."""
        return self.rest or self.slash or ((self.held or bool(self.ties)) and not self.strings)


class Sign(NamedTuple):
    """A word for a whole measure at a column of the text: so many measures of rest, or so many that come again."""

    column: int
    rests: int = 0
    repeats: int = 0


class Values(NamedTuple):
    """What a row of values holds, from left to right."""

    tokens: tuple[Token, ...]
    signs: tuple[Sign, ...] = ()


def is_value_row(text: str) -> bool:
    """Whether there is nothing but values in a line."""
    return bool(_LOOSE.fullmatch(text.strip()) or _STRICT.fullmatch(text.strip()))


def read_values(text: str) -> Values | None:
    """The values of a row; None when something is no value, or a tuplet is left open."""
    named = NAMED.match(text)
    tokens: list[Token] = []
    signs: list[Sign] = []
    opens: list[tuple[int, int]] = []
    depth = 0
    for match in _TOKEN.finditer(text, named.end() if named else 0):
        if match["actual"]:
            ratio = _ratio(match)
            if ratio is None:
                return None
            opens.append(ratio)
            depth += 1
        elif match["closing"]:
            if not depth or opens or not tokens:
                return None
            tokens[-1] = tokens[-1]._replace(closes=tokens[-1].closes + 1)
            depth -= 1
        elif match["sign"]:
            signs.append(_sign(match))
        else:
            token = _token(match, tuple(opens))
            if token is None:
                return None
            tokens.append(token)
            opens = []
    return None if depth or opens else Values(tuple(tokens), tuple(signs))


def _ratio(match: re.Match[str]) -> tuple[int, int] | None:
    actual = int(match["actual"][:3])
    normal = int((match["normal"] or "0")[:3]) or USUAL_NORMAL.get(actual, actual - 1)
    return (actual, normal) if 2 <= actual <= MOST_IN_TUPLET and normal <= MOST_IN_TUPLET else None


def _sign(match: re.Match[str]) -> Sign:
    if match["sign"][0] == "%":
        return Sign(match.start(), repeats=int(match["back"] or 1))
    return Sign(match.start(), rests=min(_MOST_RESTS, max(1, int((match["rests"] or "1")[:4]))))


def _token(match: re.Match[str], opens: tuple[tuple[int, int], ...]) -> Token | None:
    text, tail = match["value"], match["tail"].lower()
    denominator = LETTERS.get(text.lower()) or int(text[:3])
    if denominator not in DENOMINATORS:
        return None
    grace = "closing-grace" if match["lead"] == "<" else ""
    if tail == ">":
        grace = "grace" if match["lead"] else "appoggiatura"
    return Token(
        column=match.start("value"),
        value=note_value(denominator, len(match["dots"])),
        opens=opens,
        closes=0,
        held=bool(match["held"]),
        strings=tuple(map(int, match["strings"] or "")),
        ties=tuple(map(int, match["ties"] or "")),
        rest=tail == ",",
        slash=tail == "/",
        grace=grace,
    )
