"""Slips inside brackets: lists and mappings written on a line, or over several."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import Enum, auto

from engrave.problems import Location
from engrave.source.slips import kinds
from engrave.source.slips.cursor import Cursor
from engrave.source.slips.kinds import CLOSERS, OPENERS, Slip, SlipFound

_PLAIN = re.compile(r"(?:[^\s,\[\]{}:#]|:(?![\s,\[\]{}]|$)|(?<=\S)#)+")
"""A word without quotation marks inside brackets: a colon in it is not followed by a space or a bracket."""
_ENTRY = re.compile(r"(- |-$|[A-Za-z][\w-]*:(\s|$))")
_PROPERTY = re.compile(r"(?:&[\w-]+|![^\s\[\]{},]*)(?=\s|$)")
"""An anchor or a tag."""
_ALIAS = re.compile(r"\*[\w-]+\s*(?:[,:\]}#]|$)")
_COLON = re.compile(r":(?=[\s,\[\]{}]|$)")
_SHOWN = 8
"""Words of a key that are worth showing (house rule)."""
_DASH = re.compile(r"-(\s|$)")


class _Step(Enum):
    """How far an entry has come."""

    START = auto()
    KEY = auto()
    COLON = auto()
    VALUE = auto()


@dataclass(slots=True, eq=False)
class _Open:
    """A bracket that is open, and the entry being read in it.

    `last` is how the last thing of the entry ends, `words` the words of it when it is text without quotation marks,
    each with the place after it.
    """

    opener: str
    location: Location
    step: _Step = _Step.START
    last: str = ""
    words: list[tuple[str, Location]] = field(default_factory=list)
    mark: str = ""
    after_comma: Location | None = None

    @property
    def name(self) -> str:
        """The last thing in a message."""
        return " ".join(word for word, _ in self.words[:_SHOWN]) if self.words else self.last


class BracketReader:
    """Reads one list or mapping in brackets."""

    def __init__(self, cursor: Cursor, left: int) -> None:
        """`left` is the column (from 0) of the key or dash that the brackets belong to."""
        self._cursor = cursor
        self._left = left
        self._open: list[_Open] = []

    def read(self) -> tuple[str, Location]:
        """Go past the bracket that closes the one that starts here; the outer bracket. Raises SlipFound."""
        cursor = self._cursor
        first = cursor.sign, cursor.location
        while True:
            cursor.skip_space()
            sign = cursor.sign
            if not sign:
                self._go_on()
            elif sign in CLOSERS:
                self._start(sign)
            elif sign in OPENERS:
                if self._end(sign):
                    return first
            elif sign == ",":
                self._comma()
            elif sign == ":" and self._is_colon():
                self._colon()
            elif sign in "\"'":
                self._quoted(sign)
            elif sign in "&!" and (match := cursor.match(_PROPERTY)):
                cursor.column = match.end()
            else:
                self._plain()

    def _is_colon(self) -> bool:
        return self._cursor.match(_COLON) is not None or bool(self._open[-1].mark)

    def _go_on(self) -> None:
        """Go to the next line, unless it shows that the brackets should have ended."""
        cursor = self._cursor
        end = cursor.last_location()
        cursor.next_line()
        while not cursor.is_at_end and not cursor.line.split("#")[0].strip():
            cursor.next_line()
        top = self._open[-1]
        if cursor.is_at_end:
            raise SlipFound(kinds.missing_end(end, top.opener, top.location))
        text = cursor.line.lstrip(" \t")
        column = len(cursor.line) - len(text)
        before = cursor.lines[end.line - 1][: end.column - 1][-1:]
        entry = _ENTRY.match(text) is not None and (before not in ",[{:" or column < self._left)
        if _DASH.match(text) or (entry and column <= self._left):
            raise SlipFound(kinds.missing_end(end, top.opener, top.location))

    def _start(self, sign: str) -> None:
        cursor = self._cursor
        if self._open:
            self._next_item(sign, is_text=False)
        self._open.append(_Open(sign, cursor.location))
        cursor.column += 1

    def _end(self, sign: str) -> bool:
        """A closing bracket; True when it is the last one."""
        cursor, top = self._cursor, self._open[-1]
        opener = OPENERS[sign]
        if top.opener != opener:
            raise SlipFound(self._wrong_end(sign, opener, top))
        if top.step is _Step.COLON and top.name and cursor.line[cursor.column - 1] == ":":
            raise SlipFound(kinds.missing_value(cursor.location, top.name))
        self._open.pop()
        cursor.column += 1
        if self._open:
            self._finish(sign, [])
        return not self._open

    def _wrong_end(self, sign: str, opener: str, top: _Open) -> Slip:
        outer = [bracket for bracket in self._open[:-1] if bracket.opener == opener]
        if outer:
            return kinds.missing_end(self._cursor.last_location(), top.opener, top.location)
        if len(self._open) > 1 or top.step is _Step.VALUE:
            return kinds.needless_end(self._cursor.location, sign)
        return kinds.wrong_end(self._cursor.location, sign, top.opener, top.location)

    def _comma(self) -> None:
        cursor, top = self._cursor, self._open[-1]
        if top.step is _Step.START:
            raise SlipFound(kinds.needless_sign(cursor.location, ","))
        if top.step is _Step.COLON and cursor.column and cursor.line[cursor.column - 1] == ":":
            raise SlipFound(kinds.missing_value(cursor.location, top.name))
        top.after_comma = cursor.location
        top.step, top.last, top.words, top.mark = _Step.START, "", [], ""
        cursor.column += 1

    def _colon(self) -> None:
        cursor, top = self._cursor, self._open[-1]
        if top.step is _Step.VALUE:
            raise SlipFound(self._second_colon(top))
        if top.step is not _Step.KEY:
            raise SlipFound(kinds.needless_sign(cursor.location, ":"))
        if top.words and top.words[0][1].line != cursor.location.line:
            raise SlipFound(kinds.torn_key(cursor.location, top.name))
        if cursor.line[cursor.column + 1 : cursor.column + 2] in ("[", "{") and not top.mark:
            rest = cursor.rest[1:]
            raise SlipFound(kinds.missing_space(_after(cursor.location), top.name, rest))
        top.step = _Step.COLON
        cursor.column += 1

    def _second_colon(self, top: _Open) -> Slip:
        location = self._cursor.location
        if len(top.words) > 1:
            (before, end), (after, _) = top.words[-2:]
            return kinds.missing_comma(end, before, f"{after}:")
        if top.opener == "[" and top.words:
            word, end = top.words[0]
            return kinds.missing_start(Location(end.line, end.column - len(word)), "{")
        return kinds.two_colons(location, top.name)

    def _quoted(self, sign: str) -> None:
        start = self._cursor.location
        self._next_item(sign, is_text=True)
        text = self._cursor.read_quoted()
        if self._cursor.location.line != start.line and self._cursor.rest.strip()[:1] not in ("", *",:]}"):
            raise SlipFound(kinds.open_quote(start, sign))
        self._cursor.refuse_text_after_quote(sign, ",:]}")
        self._finish(f"{sign}{text}{sign}", [], sign)

    def _plain(self) -> None:
        cursor = self._cursor
        if cursor.sign == ":":
            raise SlipFound(kinds.needless_sign(cursor.location, ":"))
        if cursor.match(_DASH):
            raise SlipFound(
                kinds.dash_in_brackets(cursor.location, self._open[-1].opener, self._open[-1].location)
            )
        if cursor.sign == ";" and self._open[-1].step in (_Step.KEY, _Step.VALUE):
            raise SlipFound(kinds.semicolon(cursor.location))
        match = cursor.match(_PLAIN)
        is_special = cursor.sign in "@`%" or (cursor.sign == "*" and not cursor.match(_ALIAS))
        if match is None or is_special:
            raise SlipFound(kinds.special_start(cursor.location, _piece(cursor.rest)))
        word, top = match[0], self._open[-1]
        if top.words and top.step in (_Step.KEY, _Step.VALUE):
            cursor.column += len(word)
            top.words.append((word, cursor.location))
            return
        self._next_item(word, is_text=True)
        cursor.column += len(word)
        self._finish(word, [(word, cursor.location)])

    def _next_item(self, start: str, is_text: bool) -> None:
        """Something that begins with `start` follows; it must be a key or a value."""
        cursor, top = self._cursor, self._open[-1]
        if top.step is _Step.START:
            if top.opener == "{" and not is_text and top.after_comma is not None:
                raise SlipFound(kinds.missing_end(top.after_comma, top.opener, top.location))
            return
        if top.step is _Step.COLON:
            return
        end = cursor.last_location()
        if top.step is _Step.KEY and not is_text and (top.words or top.mark):
            raise SlipFound(kinds.missing_colon(end, top.name, cursor.rest))
        follows = start if not is_text else _piece(cursor.rest)
        raise SlipFound(kinds.missing_comma(end, top.words[-1][0] if top.words else top.last, follows))

    def _finish(self, last: str, words: list[tuple[str, Location]], mark: str = "") -> None:
        """A key or a value is read."""
        top = self._open[-1]
        top.step = _Step.KEY if top.step is _Step.START else _Step.VALUE
        top.last, top.words, top.mark = last, words, mark


def _after(location: Location) -> Location:
    return Location(location.line, location.column + 1)


def _piece(text: str) -> str:
    """The start of `text` up to the next comma or closing bracket."""
    return re.split(r"[,\]}]", text)[0].strip()
