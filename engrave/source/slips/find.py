"""The search for the slip in a text that the parser refuses: line by line, as its author laid it out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from engrave.problems import Location
from engrave.source.slips import kinds
from engrave.source.slips.brackets import BracketReader
from engrave.source.slips.cursor import Cursor
from engrave.source.slips.kinds import CLOSERS, OPENERS, Slip, SlipFound

_CONTROL = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|\ufeff")
"""What YAML 1.2.2 (section 5.1) does not let stand in a text."""
_LONGEST = 2_000_000
"""Characters: a longer text, of more than 20,000 measures, is not searched, which would take seconds (house rule)."""
_COLON = re.compile(r":(?=\s|$)|\s#")
_GLUED = re.compile(r"([A-Za-z][\w-]*):(?=[^\s:/])")
_UNJOINED = re.compile(r"([A-Za-z][\w./-]*)(?=\s*[\[{])")
_PROPERTY = re.compile(r"(?:&[\w-]+|![^\s\[\]{},]*)(?=\s|$)\s*|[&!](?=\s)")
_BLOCK = re.compile(r"[|>][-+0-9]{0,2}\s*(#.*)?$")
_COMPLEX = re.compile(r"(- +)*\?(\s|$)")
_WORD = re.compile(r"[\w./-]+")
_ALIAS = re.compile(r"\*[\w-]+\s*(#.*)?$")


@dataclass(slots=True, eq=False)
class _Level:
    """A list or a mapping that lines stand in: its column, the last key or dash in it, and whether that waits for lines."""

    column: int
    is_list: bool
    word: str
    line: int
    waits: bool = False


class _Block(NamedTuple):
    """A text below its key: the row (from 0) where it ended, its indent, and its key."""

    end: int
    indent: int
    word: str


def find_slip(text: str, limit: Location) -> Slip:
    """The slip in `text`, which the parser stopped reading at `limit` or shortly after what was wrong."""
    if len(text) > _LONGEST:
        return kinds.unreadable(_inside(text, limit))
    control = _CONTROL.search(text)
    if control is not None:
        return kinds.unprintable(_place_at(text, control.start()), control[0])
    search = _Search(text)
    try:
        search.run(limit.line)
    except SlipFound as found:
        if found.slip.location.line <= limit.line:
            return found.slip
    return kinds.unreadable(_inside(text, limit))


def find_glued_key(text: str) -> Slip | None:
    """The first key of `text` where its colon has no space after it, so that the parser takes it all for running text."""
    search = _Search(text)
    try:
        search.run(0)
    except SlipFound as found:
        return found.slip if found.slip.what.startswith(kinds.MISSING_SPACE) else None
    return None


def _place_at(text: str, index: int) -> Location:
    lines = Cursor(text[:index]).lines
    return Location(len(lines), len(lines[-1]) + 1)


def _inside(text: str, location: Location) -> Location:
    """`location`, or the end of the last line with something on it."""
    lines = Cursor(text).lines
    while len(lines) > 1 and not lines[-1].strip():
        lines.pop()
    if location.line <= len(lines):
        return location
    return Location(len(lines), len(lines[-1]) + 1)


class _Search:
    """Walks through the lines of one text until something is out of place."""

    def __init__(self, text: str) -> None:
        self._cursor = Cursor(text)
        self._levels: list[_Level] = []
        self._ended: _Block | None = None

    def run(self, last: int) -> None:
        """Read up to line `last`. Raises SlipFound at the first slip."""
        cursor = self._cursor
        while not cursor.is_at_end and (cursor.row <= last or not self._levels):
            line = cursor.line
            if line.startswith(("---", "...")):
                self._levels.clear()
                cursor.next_line()
            elif not line.strip() or line.lstrip(" ").startswith("#"):
                cursor.next_line()
            elif line.startswith("%"):
                raise SlipFound(kinds.directive(cursor.location))
            else:
                self._read_line()

    def _read_line(self) -> None:
        cursor = self._cursor
        bare = cursor.line.lstrip(" ")
        cursor.column = len(cursor.line) - len(bare)
        if bare[0] in "\t\xa0":
            raise SlipFound(kinds.tab_indent(cursor.location))
        self._settle(is_dash=_is_dash(bare))
        if _COMPLEX.match(cursor.rest):
            cursor.row = len(cursor.lines)  # a key of this kind has no place in our documents: others say so
            return
        while _is_dash(cursor.rest):
            self._dash()
            if not cursor.rest:
                cursor.next_line()
                return
        self._entry()

    def _settle(self, is_dash: bool) -> None:
        """Close the levels that a line further left ends. Raises SlipFound where it belongs to none."""
        column, levels = self._cursor.column, self._levels
        before = list(levels)
        while levels and levels[-1].column > column:
            levels.pop()
        has_left = len(levels) < len(before)
        if (
            levels
            and levels[-1].column == column
            and levels[-1].is_list
            and not is_dash
            and _is_flush(levels)
        ):
            levels.pop()
        top = levels[-1] if levels else None
        if top is None:
            is_right = not before
        elif top.column == column:
            is_right = top.is_list == is_dash or (is_dash and top.waits and not has_left)
        else:
            is_right = top.waits and not has_left
        if not is_right and re.match(r"-[^\s-]", self._cursor.rest):
            location = self._cursor.location
            raise SlipFound(kinds.dash_space(Location(location.line, location.column + 1)))
        if not is_right:
            raise SlipFound(self._wrong_indent(before, is_dash))

    def _wrong_indent(self, levels: list[_Level], is_dash: bool) -> Slip:
        cursor = self._cursor
        mates = [level for level in levels if level.is_list == is_dash] or levels
        mate = min(mates, key=lambda level: (abs(level.column - cursor.column), -level.column))
        return kinds.wrong_indent(cursor.location, mate.column, mate.word, mate.line)

    def _dash(self) -> None:
        """A dash starts an item of a list."""
        cursor = self._cursor
        self._put(cursor.column, "-", is_list=True)
        cursor.column += 1
        blank = cursor.rest[: len(cursor.rest) - len(cursor.rest.lstrip())]
        if "\t" in blank:
            cursor.column += blank.index("\t")
            raise SlipFound(kinds.dash_space(cursor.location))
        cursor.skip_space()
        self._levels[-1].waits = not cursor.rest

    def _put(self, column: int, word: str, is_list: bool) -> _Level:
        """The level at `column`, new or already there, with its last key or dash."""
        top = self._levels[-1] if self._levels else None
        if top is None or top.column != column or top.is_list != is_list:
            top = _Level(column, is_list, word, self._cursor.row + 1)
            self._levels.append(top)
        top.word, top.line, top.waits = word, self._cursor.row + 1, False
        return top

    def _entry(self) -> None:
        """A key with its value, or an item of a list."""
        cursor = self._cursor
        self._skip_properties()
        start, rest = cursor.column, cursor.rest
        if not rest:
            for level in self._levels[-1:]:
                level.waits = True
            cursor.next_line()
            return
        if rest[0] in OPENERS:
            raise SlipFound(kinds.needless_end(cursor.location, rest[0]))
        if re.match(r"-[^\s-]", rest) and _COLON.search(rest):
            raise SlipFound(kinds.dash_space(Location(cursor.row + 1, cursor.column + 2)))
        if rest[0] == "," or re.match(r":(\s|$)", rest):
            raise SlipFound(kinds.needless_sign(cursor.location, rest[0]))
        if rest[0] in "\"'":
            word = cursor.read_quoted()
            cursor.refuse_text_after_quote(rest[0], ":")
            if not cursor.rest:
                cursor.next_line()
                return
            cursor.column += 1
            self._value(self._put(start, word, is_list=False))
            return
        if rest[0] in CLOSERS or (self._in_list() and rest[0] in "|>*"):
            self._value(self._levels[-1] if self._levels else _Level(0, False, "", 1))
            return
        match = _COLON.search(rest)
        if match is None or match[0] != ":":
            self._no_colon(rest[: match.start()] if match else rest)
            return
        word = rest[: match.start()]
        self._check_key(word, rest)
        cursor.column += match.start() + 1
        self._value(self._put(start, word.strip(), is_list=False))

    def _check_key(self, word: str, rest: str) -> None:
        """Raise SlipFound where a key and a bracket have run together."""
        glued, unjoined = _GLUED.match(word), _UNJOINED.match(word)
        if glued is not None:
            raise SlipFound(self._glued(glued, rest))
        if unjoined is not None:
            raise SlipFound(self._unjoined(unjoined, rest))
        if rest[0] in "@`%":
            raise SlipFound(kinds.special_start(self._cursor.location, rest))

    def _glued(self, match: re.Match[str], rest: str) -> Slip:
        location = self._cursor.location
        return kinds.missing_space(
            Location(location.line, location.column + match.end()), match[1], rest[match.end() :]
        )

    def _unjoined(self, match: re.Match[str], rest: str) -> Slip:
        location = self._cursor.location
        return kinds.missing_colon(
            Location(location.line, location.column + match.end()), match[1], rest[match.end() :]
        )

    def _no_colon(self, text: str) -> None:
        """A line without a key: an item of a list, or a key that lacks its colon."""
        cursor = self._cursor
        glued, unjoined = _GLUED.match(text), _UNJOINED.match(text)
        if unjoined is not None:
            raise SlipFound(self._unjoined(unjoined, text))
        if self._ended is not None and self._ended.end == cursor.row and cursor.column < self._ended.indent:
            raise SlipFound(kinds.short_block(cursor.location, self._ended.indent, self._ended.word))
        if self._in_list():
            self._text(self._levels[-1], is_alone=True)
            return
        if glued is not None:
            raise SlipFound(self._glued(glued, text))
        waits = bool(self._levels) and self._levels[-1].waits
        if waits and self._levels[-1].column < cursor.column:
            self._levels[-1].waits = False
            self._text(self._levels[-1], is_alone=True)
            return
        word = text.split()[0]
        end = Location(cursor.row + 1, cursor.column + len(word) + 1)
        raise SlipFound(kinds.missing_colon(end, word, text[len(word) :]))

    def _in_list(self) -> bool:
        """True right after the dash of an item."""
        top = self._levels[-1] if self._levels else None
        return top is not None and top.is_list and top.column < self._cursor.column

    def _skip_properties(self) -> None:
        """Go over anchors and tags."""
        while match := _PROPERTY.match(self._cursor.rest):
            if match[0].strip() in "&!":
                raise SlipFound(kinds.special_start(self._cursor.location, self._cursor.rest, self._key()))
            self._cursor.column += match.end()
        self._cursor.skip_space()

    def _key(self) -> str:
        """The key whose value is being read."""
        return "" if not self._levels or self._levels[-1].is_list else self._levels[-1].word

    def _value(self, level: _Level) -> None:
        """What follows a colon, or a dash."""
        cursor = self._cursor
        cursor.skip_space()
        self._skip_properties()
        rest = cursor.rest
        if not rest:
            level.waits = True
            cursor.next_line()
        elif rest[0] in CLOSERS:
            self._brackets(level)
        elif rest[0] in "\"'":
            start = cursor.location
            cursor.read_quoted()
            if cursor.location.line != start.line and cursor.rest.strip()[:1] not in ("", "#"):
                raise SlipFound(kinds.open_quote(start, rest[0]))
            cursor.refuse_text_after_quote(rest[0], "")
            cursor.next_line()
        elif _BLOCK.match(rest):
            self._block(level)
        elif _ALIAS.match(rest):
            cursor.next_line()
        elif _is_dash(rest):
            raise SlipFound(kinds.list_on_line(cursor.location, level.word))
        elif rest[0] in OPENERS:
            raise SlipFound(kinds.needless_end(cursor.location, rest[0]))
        elif rest[0] == ",":
            raise SlipFound(kinds.needless_sign(cursor.location, ","))
        elif rest[0] in "@`%|>*" or rest.startswith("? "):
            raise SlipFound(kinds.special_start(cursor.location, rest, self._key()))
        else:
            self._text(level)

    def _brackets(self, level: _Level) -> None:
        cursor = self._cursor
        opener, opened = BracketReader(cursor, level.column).read()
        cursor.skip_space()
        if cursor.rest and cursor.rest[0] in OPENERS:
            raise SlipFound(kinds.needless_end(cursor.location, cursor.rest[0]))
        if cursor.rest:
            raise SlipFound(kinds.after_end(cursor.location, opener, opened))
        cursor.next_line()

    def _text(self, level: _Level, is_alone: bool = False) -> None:
        """Text without quotation marks, and the lines on which it goes on; `is_alone`: it might be a key."""
        cursor = self._cursor
        rest = cursor.rest
        start = cursor.location
        match = _COLON.search(rest)
        if match is not None and match[0] == ":":
            text = re.sub(r"\s#.*", "", rest)
            location = Location(cursor.row + 1, cursor.column + match.start() + 1)
            raise SlipFound(kinds.colon_in_text(location, self._key(), text))
        cursor.next_line()
        while not cursor.is_at_end:
            bare = cursor.line.lstrip(" ")
            if bare.startswith("\t") and bare.strip():
                raise SlipFound(kinds.tab_indent(Location(cursor.row + 1, len(cursor.line) - len(bare) + 1)))
            found = _COLON.search(bare)
            is_entry = found is not None and found[0] == ":"
            column = len(cursor.line) - len(bare)
            is_left = bool(bare) and column <= level.column
            if (
                is_alone
                and is_entry
                and not is_left
                and (column == start.column - 1 or _WORD.fullmatch(rest.strip()))
            ):
                word = rest.split()[0]
                end = Location(start.line, start.column + len(word))
                raise SlipFound(kinds.missing_colon(end, word, rest[len(word) :]))
            if bare and (is_entry or bare[0] == "#" or is_left):
                return
            cursor.next_line()

    def _block(self, level: _Level) -> None:
        """A text that stands below its key, as it is drawn."""
        cursor = self._cursor
        cursor.next_line()
        first = None
        while not cursor.is_at_end:
            bare = cursor.line.lstrip(" ")
            indent = len(cursor.line) - len(bare)
            if bare.startswith("\t") and (first is None or indent < first):
                raise SlipFound(kinds.tab_indent(Location(cursor.row + 1, indent + 1)))
            if bare.strip():
                if indent <= level.column:
                    self._ended = _Block(cursor.row, first or 0, level.word)
                    return
                first = indent if first is None else first
                if indent < first:
                    raise SlipFound(
                        kinds.short_block(Location(cursor.row + 1, indent + 1), first, level.word)
                    )
            cursor.next_line()


def _is_dash(text: str) -> bool:
    return text == "-" or text.startswith(("- ", "-\t"))


def _is_flush(levels: list[_Level]) -> bool:
    """True when the innermost list stands right under its key, not further in."""
    return len(levels) > 1 and not levels[-2].is_list and levels[-2].column == levels[-1].column
