"""The kinds of slips, one function each: the place where the text has to be changed, what is wrong, what would be right."""

from __future__ import annotations

import re
from typing import NamedTuple

from engrave.problems import Location

MISSING_SPACE = "a space is missing"
CANNOT_BE_READ = "this line cannot be read"
_LONGEST = 40
"""Characters of a quoted piece of text, at most (house rule)."""
_COLON = re.compile(r":(?:\s|$)")
_DURATION = re.compile(r"1/\d+\.*|\d+ in \d+ of .+")


class Slip(NamedTuple):
    """One slip. `what` and `hint` are plain sentences without a full stop, as in `Problem`."""

    location: Location
    what: str
    hint: str = ""


class SlipFound(Exception):
    """Ends the search: the first slip is the one to mend first."""

    def __init__(self, slip: Slip) -> None:
        super().__init__(slip.what)
        self.slip = slip


def shorten(text: str) -> str:
    """`text` as it can stand in a message: on one line, its end left out where it is long."""
    line = " ".join(text.split())
    return line if len(line) <= _LONGEST else line[: _LONGEST - 4].rstrip() + " ..."


def quote(text: str) -> str:
    """`text` in the quotation marks that it does not hold itself."""
    short = shorten(text)
    return f"'{short}'" if '"' in short and "'" not in short else '"' + short.replace('"', '\\"') + '"'


def missing_comma(location: Location, before: str, after: str) -> Slip:
    """Two entries in brackets with no comma between them; `location` is right after the first."""
    what = f"a comma is missing between {_name(before)} and {_name(after)}"
    return Slip(location, what, f"write {before}, {after}")


def _name(text: str) -> str:
    return f'"{text}"'


def missing_colon(location: Location, word: str, rest: str = "") -> Slip:
    """A key without its colon; `location` is right after the word."""
    return Slip(location, f'a colon is missing after "{word}"', f"write {word}: {shorten(rest)}".rstrip())


def missing_space(location: Location, word: str, rest: str = "") -> Slip:
    """A colon with no space after it; `location` is right after the colon."""
    hint = f"write {word}: {shorten(rest)}".rstrip()
    return Slip(location, f'{MISSING_SPACE} after the colon of "{word}"', hint)


def missing_value(location: Location, word: str) -> Slip:
    """A colon in brackets with nothing after it."""
    return Slip(location, f'nothing stands after "{word}:"', f"write a value after it, or remove {word}:")


def missing_end(location: Location, opener: str, opened: Location) -> Slip:
    """A bracket that is not closed; `location` is where it should be, `opened` where it opens."""
    closer = CLOSERS[opener]
    hint = f'it closes the "{opener}" that opens in line {opened.line}, column {opened.column}'
    return Slip(location, f'a "{closer}" is missing here', hint)


def wrong_end(location: Location, found: str, opener: str, opened: Location) -> Slip:
    """A bracket closed by one of the other shape."""
    what = f'this "{found}" cannot close the "{opener}" in line {opened.line}, column {opened.column}'
    return Slip(location, what, f'write "{CLOSERS[opener]}"')


def needless_end(location: Location, found: str) -> Slip:
    """A closing bracket too many."""
    return Slip(
        location,
        f'no "{OPENERS[found]}" is open for this "{found}"',
        f'remove it, or write the "{OPENERS[found]}"',
    )


def needless_sign(location: Location, sign: str) -> Slip:
    """A comma or a colon with nothing before it."""
    name = {",": "comma", ":": "colon"}[sign]
    return Slip(location, f"nothing stands before this {name}", "remove it, or write what is missing")


def torn_key(location: Location, word: str) -> Slip:
    """A key in brackets with its colon on the next line."""
    return Slip(location, f'"{word}" and its colon stand on two lines', "write them on one")


def dash_in_brackets(location: Location, opener: str, opened: Location) -> Slip:
    """A dash, as before the items of a list on lines of their own, between brackets."""
    what = f'a dash stands inside the "{opener}" of line {opened.line}, column {opened.column}'
    return Slip(location, what, "remove it: items in brackets have commas between them")


def semicolon(location: Location) -> Slip:
    """A semicolon between two entries in brackets."""
    return Slip(location, "a semicolon cannot stand between two entries", "write a comma instead")


def missing_start(location: Location, opener: str) -> Slip:
    """Entries whose bracket was never opened; `location` is where it should be."""
    example = "{2: 1}, or 2:1" if opener == "{" else "[1/4: {2: 1}]"
    return Slip(location, f'a "{opener}" is missing here', f"for example: {example}")


def two_colons(location: Location, word: str) -> Slip:
    """A second colon in one entry."""
    hint = "write a comma between two entries: {6: 3, 5: 2}"
    return Slip(location, f'a second colon follows "{word}" in one entry', hint)


def colon_in_text(location: Location, key: str, text: str) -> Slip:
    """A colon and a space in text without quotation marks; `location` is that of the colon, `text` all of the value."""
    first, rest = (piece.strip() for piece in _COLON.split(text, maxsplit=1))
    before = f"{key}: " if key else ""
    for closer, opener in OPENERS.items():
        if text.count(closer) > text.count(opener):
            start = Location(location.line, location.column - len(_COLON.split(text, maxsplit=1)[0]))
            return missing_start(start, opener)
    if text.startswith("(") and text.rstrip().endswith(")"):
        return Slip(location, "round brackets hold no list", f"write {before}[{shorten(text.strip()[1:-1])}]")
    if _DURATION.fullmatch(first):
        return Slip(location, f'"{key}" has two colons on one line', f"write {before}[{shorten(text)}]")
    if rest[:1] in CLOSERS:
        second = first.split()[-1]
        return Slip(location, f'"{second}:" stands on the line of another key', "start a new line for it")
    what = f"{quote(text)} has a colon in it, so it needs quotation marks"
    return Slip(location, what, f"write {before}{quote(text)}")


def wrong_indent(location: Location, right: int, mate: str, line: int) -> Slip:
    """A line that lines up with none; `right` is the number of spaces that would put it under `mate` in `line`."""
    start = (
        f"is indented by {_spaces(location.column - 1)}" if location.column > 1 else "starts at the left edge"
    )
    what = f"this line {start} and lines up with none above it"
    hint = f"indent it by {_spaces(right)}" if right else "start it at the left edge"
    return Slip(location, what, f'{hint}, like "{mate}" in line {line}')


def _spaces(count: int) -> str:
    return "1 space" if count == 1 else f"{count} spaces"


def tab_indent(location: Location) -> Slip:
    """A tab where only spaces may stand."""
    return Slip(
        location, "this line is indented with a tab", "use spaces, as many as the lines beside it have"
    )


def dash_space(location: Location) -> Slip:
    """Something other than a space after the dash of a list item."""
    return Slip(location, f"{MISSING_SPACE} after the dash", "write - and a space before each item")


def open_quote(location: Location, mark: str) -> Slip:
    """A quotation mark without its other half; `location` is where it opens."""
    return Slip(
        location, "the quotation mark that opens here is never closed", f"write {mark} where the text ends"
    )


def after_quote(location: Location, mark: str) -> Slip:
    """Text after a closing quotation mark."""
    hint = (
        'put all of it in one pair; inside, write \\" for a quotation mark'
        if mark == '"'
        else "put all of it in one pair; inside, write '' for an apostrophe"
    )
    return Slip(location, "there is text after the closing quotation mark", hint)


def after_end(location: Location, opener: str, opened: Location) -> Slip:
    """Something after the bracket that closes a list or a mapping."""
    what = f'the "{opener}" in column {opened.column} is closed before this'
    return Slip(location, what, f'move its "{CLOSERS[opener]}" to the end of the line, or remove the rest')


def special_start(location: Location, text: str, key: str = "") -> Slip:
    """Text without quotation marks that starts with a sign that means something else."""
    what = f'text that starts with "{text[:1]}" needs quotation marks'
    return Slip(location, what, f"write {f'{key}: ' if key else ''}{quote(text)}")


def bad_escape(location: Location, sign: str) -> Slip:
    """A backslash in double quotation marks before a sign with which it means nothing."""
    return Slip(location, f'"\\{sign}" means nothing in double quotation marks', "write \\\\ for a backslash")


def list_on_line(location: Location, key: str) -> Slip:
    """A dash on the line of its key."""
    hint = f'start a new line for it under "{key}", or put the text in quotation marks'
    return Slip(location, "a dash cannot stand on the line of its key", hint)


def short_block(location: Location, spaces: int, key: str) -> Slip:
    """A line of a text block that starts further left than the first one."""
    what = f'this line starts further left than the first line of "{key}"'
    return Slip(location, what, f"indent it by at least {_spaces(spaces)}")


def directive(location: Location) -> Slip:
    """A line that speaks to YAML readers rather than to us."""
    return Slip(
        location, "lines that start with % are not used here", "remove it, or put its text in quotation marks"
    )


def unprintable(location: Location, sign: str) -> Slip:
    """A control character."""
    return Slip(location, f"the character U+{ord(sign):04X} cannot stand in a file", "remove it")


def unreadable(location: Location) -> Slip:
    """For what is none of the others."""
    hint = "look here and on the line above for a bracket, comma, colon or quotation mark too many or too few"
    return Slip(location, CANNOT_BE_READ, hint)


CLOSERS = {"[": "]", "{": "}"}
OPENERS = {closer: opener for opener, closer in CLOSERS.items()}
