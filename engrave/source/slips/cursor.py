"""A position in a text that moves forward, for the search for slips."""

from __future__ import annotations

import re

from engrave.problems import Location
from engrave.source.slips.kinds import SlipFound, after_quote, bad_escape, open_quote

_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
"""Line breaks of YAML 1.1, which the parser keeps to."""
_BLANK = re.compile(r"[ \t]*")
_ENTRY = re.compile(r"\s*(- |-$|[\w./#-]+:(\s|$))")
"""How a line starts that is no running text."""
_ESCAPES = frozenset('0abtnvfre "/\\N_LPxuU\t')


class Cursor:
    """A row and a column (both from 0) in the lines of a text."""

    def __init__(self, text: str) -> None:
        """Stand at the start of `text`."""
        self.lines = _BREAK.split(text)
        self.row = 0
        self.column = 0

    @property
    def line(self) -> str:
        """The line on which it stands."""
        return self.lines[self.row]

    @property
    def rest(self) -> str:
        """What follows on this line."""
        return self.line[self.column :]

    @property
    def location(self) -> Location:
        """Where it stands."""
        return Location(self.row + 1, self.column + 1)

    @property
    def is_at_end(self) -> bool:
        """True when no line is left."""
        return self.row >= len(self.lines)

    @property
    def sign(self) -> str:
        """The character on which it stands; "" at the end of a line."""
        return self.line[self.column : self.column + 1]

    def match(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """What of `pattern` starts here. Lines may be millions of characters long: nothing is copied."""
        return pattern.match(self.line, self.column)

    def skip_space(self) -> None:
        """Go over spaces, tabs and a comment on this line."""
        blank = self.match(_BLANK)
        self.column = blank.end() if blank is not None else self.column
        if self.sign == "#" and (self.column == 0 or self.line[self.column - 1] in " \t"):
            self.column = len(self.line)

    def next_line(self) -> None:
        """Go to the start of the next line."""
        self.row += 1
        self.column = 0

    def last_location(self) -> Location:
        """Right after the last text before this position, comments left out."""
        row, column = self.row, self.column
        while True:
            if row < len(self.lines):
                text = re.sub(r"(^|\s)#.*", "", self.lines[row][:column]) if column else ""
                if text.strip():
                    return Location(row + 1, len(text.rstrip()) + 1)
            if row == 0:
                return Location(1, 1)
            row -= 1
            column = len(self.lines[row])

    def read_quoted(self) -> str:
        """Go past the quoted text that starts here; the text. Raises SlipFound when it is not closed."""
        mark, start, first_row = self.line[self.column], self.location, self.row
        self.column += 1
        pieces: list[str] = []
        while True:
            if self.column >= len(self.line):
                self.next_line()
                if self.is_at_end or (_ENTRY.match(self.line) and self.row > first_row):
                    raise SlipFound(open_quote(start, mark))
                pieces.append(" ")
                continue
            sign = self.line[self.column]
            if mark == '"' and sign == "\\":
                self._escape(pieces)
                continue
            self.column += 1
            if sign != mark:
                pieces.append(sign)
            elif mark == "'" and self.sign == "'":
                pieces.append("'")
                self.column += 1
            else:
                return "".join(pieces)

    def _escape(self, pieces: list[str]) -> None:
        follows = self.line[self.column + 1 : self.column + 2]
        if follows and follows not in _ESCAPES:
            raise SlipFound(bad_escape(self.location, follows))
        pieces.append(follows)
        self.column += 1 + len(follows)

    def refuse_text_after_quote(self, mark: str, allowed: str) -> None:
        """Raise SlipFound when text that is none of `allowed` follows a closed quotation on this line."""
        self.skip_space()
        if self.sign and self.sign not in allowed:
            raise SlipFound(after_quote(self.location, mark))
