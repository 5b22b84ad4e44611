"""Lines at the head that tell how the piece is shown: `View: tab`, `Grids: top`, `Shape: G 3 2 0 0 0 3`."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from engrave.exchange.text_tab.lines.blocks import Block, WordLine, read_tab_line
from engrave.exchange.text_tab.lines.text_lines import (
    is_kept,
    is_read_so,
    plain_words,
    quoted,
    read_lines,
    without_quotes,
)
from engrave.resources import data_folder
from engrave.score.paper_size import Orientation, PaperSize, parse_size
from engrave.score.structure import ExplainSigns, Grids, NamedShape, Score, View
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.chord_shape import parse_chord_shape
from engrave.theory.swing import Swing
from engrave.writing.score_tree import size_tree

_LINE = re.compile(r"\s*(?P<key>[A-Z][a-z]+(?:[ -][a-z]+){0,2}): ?(?P<value>\S.*)")
_LANGUAGE = re.compile(r"[a-z]{2,3}(?:-[A-Za-z0-9]{1,8})*")
"""A BCP 47 tag; whole words such as "English" are none."""
_SHAPE = re.compile(
    r"(?P<name>\S+) (?P<frets>(?:x|\d+)(?: (?:x|\d+))+)(?:; fingers (?P<fingers>[0-4T](?: [0-4T])+))?"
)
_LONGEST = 100_000
"""Characters of such a line (house rule)."""
_PRINTED = ("copyright", "style", "house-style")
"""What is taken with the signs that were typed."""
_YES = {"yes": True, "no": False}


def take_facts(blocks: Sequence[Block]) -> dict[str, Any]:
    """The keys of the score that lines over the first block tell; the lines are taken away.

    What is told twice stays as it was told first, but for the shapes of chords.
    """
    tree: dict[str, Any] = {}
    left: list[WordLine] = []
    for line in blocks[0].above if blocks else ():
        fact = read_fact(line.text)
        if fact is not None and fact[0] in _PRINTED:
            fact = read_fact(line.words)
        if fact is None or (fact[0] in tree and fact[0] != "shapes"):
            left.append(line)
        elif fact[0] == "shapes":
            for name, shape in fact[1].items():
                tree.setdefault("shapes", {}).setdefault(name, shape)
        else:
            tree[fact[0]] = fact[1]
    if blocks:
        blocks[0].above = left
    return tree


def read_fact(text: str) -> tuple[str, Any] | None:
    """(key of the score, value) of a line at the head; None for other lines, and for values that cannot be."""
    match = _LINE.fullmatch(text) if len(text) <= _LONGEST else None
    key = match["key"].lower().replace(" ", "-") if match else ""
    if match is None or key not in _READERS:
        return None
    try:
        value = _READERS[key](plain_words(match["value"]))
    except (ValueError, KeyError, RecursionError):
        return None
    return ("shapes", value) if key == "shape" else (key, value)


def _language(text: str) -> str:
    """A language tag; in quotation marks any."""
    if not _LANGUAGE.fullmatch(text) and without_quotes(text) == text:
        raise ValueError(text)
    return without_quotes(text)


def _style(text: str) -> str:
    """A shipped style, or a style file; in quotation marks any."""
    if without_quotes(text) != text:
        return without_quotes(text)
    shipped = (data_folder() / "styles").glob("*.yaml")
    if text not in {path.stem for path in shipped} and not re.fullmatch(r"\S+\.yaml", text):
        raise ValueError(text)
    return text


def _shape(text: str) -> dict[str, Any]:
    match = _SHAPE.fullmatch(text)
    if match is None:
        raise ValueError(text)
    name, frets, fingers = without_quotes(match["name"]), match["frets"], match["fingers"]
    parse_chord_name(name)
    parse_chord_shape(frets, fingers or "")
    return {name: {"frets": frets, "fingers": fingers} if fingers else frets}


def _house_style(text: str) -> dict[str, Any]:
    found = json.loads(text)
    if not isinstance(found, dict):
        raise ValueError(text)
    return found


_READERS: dict[str, Callable[[str], Any]] = {
    "copyright": without_quotes,
    "language": _language,
    "view": lambda text: View(text).value,
    "style": _style,
    "size": lambda text: PaperSize(parse_size(text)).text,
    "orientation": lambda text: Orientation(text).value,
    "grids": lambda text: Grids(text).value,
    "left-handed": lambda text: _YES[text.lower()],
    "swing": lambda text: Swing(text).value,
    "counting": lambda text: _YES[text.lower()],
    "explain-signs": lambda text: ExplainSigns(text).value,
    "shape": _shape,
    "house-style": _house_style,
}
"""What turns the words of a line into the value of a key; the words of the score language, but yes and no."""


def fact_lines(score: Score) -> list[str]:
    """The lines that tell what differs from a plain score."""
    lines = [_fact_line(key, value) for key, value in _facts(score)]
    return [*lines, *(f"Shape: {_shape_words(named)}" for named in score.shapes)]


def _fact_line(key: str, value: Any) -> str:
    """A line that comes back as it is: its words with quotation marks and escapes where they must."""
    name = f"{key[:1].upper()}{key[1:].replace('-', ' ')}"
    if value is True:
        return f"{name}: yes"
    plain = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    line = f"{name}: {plain}"
    return line if read_fact(line) == (key, value) and _is_safe(key, line) else f"{name}: {_json(value)}"


def _is_safe(key: str, line: str) -> bool:
    """Whether nothing in a line is taken for anything else."""
    read = read_lines(line.encode())
    return is_kept(line) and (read == [line] or key in _PRINTED) and read_tab_line(1, read[0]) is None


def _facts(score: Score) -> Iterator[tuple[str, Any]]:
    """(key, value) of what is not as usual, but for shapes."""
    usual = Score((), ())
    if score.copyright:
        yield "copyright", score.copyright
    if score.language != usual.language:
        yield "language", score.language
    if score.view is not usual.view:
        yield "view", score.view.value
    if score.style:
        yield "style", score.style
    yield from size_tree(score.paper_size).items()
    if score.grids is not usual.grids:
        yield "grids", score.grids.value
    if score.left_handed:
        yield "left-handed", True
    if score.measures[0].swing is not Swing.NONE:
        yield "swing", score.measures[0].swing.value
    if score.measures[0].counting:
        yield "counting", True
    if score.explain_signs is not usual.explain_signs:
        yield "explain-signs", score.explain_signs.value
    if score.house_style:
        yield "house-style", score.house_style


def _json(content: Any) -> str:
    """JSON of which nothing is taken for anything else: strings have their odd signs escaped."""
    if isinstance(content, dict):
        return "{" + ", ".join(f"{quoted(str(key))}: {_json(value)}" for key, value in content.items()) + "}"
    if isinstance(content, list):
        return "[" + ", ".join(map(_json, content)) + "]"
    return quoted(content) if isinstance(content, str) else json.dumps(content)


def _shape_words(named: NamedShape) -> str:
    name, fingers = named.name.text, named.shape.fingers_text
    if not is_read_so(name) or " " in name:
        name = quoted(name).replace(" ", "\\u0020")
    return f"{name} {named.shape.frets_text}" + (f"; fingers {fingers}" if fingers else "")
