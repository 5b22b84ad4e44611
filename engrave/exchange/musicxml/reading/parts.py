"""The head of a MusicXML file: title, credits and the list of parts; which of them are wanted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, NamedTuple

from engrave.exchange.musicxml.reading.shapes import SOFTWARE
from engrave.exchange.musicxml.reading.source import Node, one_line, to_number
from engrave.score.paper_size import Orientation, parse_size
from engrave.score.structure import ExplainSigns, Grids, View
from engrave.writing.key_values import credits_tree

_LEAST_TITLE = 14
"""Points of a title's letters, at least (house rule)."""
_FILE_NAME = re.compile(r"\.(?:mxl|musicxml|xml)$")
_CREATORS = {"composer": "music", "lyricist": "words", "poet": "words", "arranger": "arrangement"}
_FACTS = {
    "view": tuple(view.value for view in View if view is not View.STAFF_AND_TAB),
    "style": ("handout", "songbook", "large-print"),
    "grids": tuple(place.value for place in Grids if place is not Grids.ABOVE),
    "left-handed": ("yes",),
    "orientation": tuple(way.value for way in Orientation),
    "explain-signs": tuple(key.value for key in ExplainSigns if key is not ExplainSigns.NONE),
}
"""Facts with the values that are told because they are not the usual ones."""
_LANGUAGE = re.compile(r"[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*")
"""A tag of a language (BCP 47)."""


_GENERATED = re.compile(r"P?[0-9a-f]{12,}", re.IGNORECASE)
"""An id that a program made up, which some put where the name of a part belongs."""


class PartEntry(NamedTuple):
    """A part of the file: its id, its name ("" for none), its element, the name of the brace that it stands in ("" for none).

    `program` is the sound that it has (MIDI program, from 1).
    """

    id: str
    name: str
    node: Node
    brace: str = ""
    program: int = 0

    def called(self, number: int) -> str:
        """What messages call it: its name, else its number."""
        return self.name or f"part {number}"


def to_partwise(root: Node) -> Node:
    """The root with measures in parts. Raises ValueError when it is no score."""
    if root.tag == "score-partwise":
        return root
    if root.tag != "score-timewise":
        raise ValueError(f"this is not a MusicXML score: it starts with <{root.tag}>")
    parts: dict[str, Node] = {}
    others = [child for child in root.children if child.tag != "measure"]
    for measure in root.all("measure"):
        for part in measure.all("part"):
            name = part.get("id")
            whole = parts.setdefault(name, Node("part", {"id": name}))
            whole.children.append(Node("measure", measure.attributes, part.children))
    return Node("score-partwise", root.attributes, [*others, *parts.values()])


def list_parts(root: Node) -> list[PartEntry]:
    """The parts with their names. Raises ValueError when there are none."""
    names: dict[str, str] = {}
    programs: dict[str, int] = {}
    listed = root.find("part-list")
    for entry in listed.all("score-part") if listed is not None else ():
        name = one_line(entry.text("part-name"))
        names[entry.get("id")] = "" if _GENERATED.fullmatch(name) else name
        programs[entry.get("id")] = entry.whole("midi-instrument", "midi-program") or 0
    braces = _find_braces(listed) if listed is not None else {}
    parts = [
        PartEntry(
            id=p.get("id"),
            name=names.get(p.get("id"), ""),
            node=p,
            brace=braces.get(p.get("id"), ""),
            program=programs.get(p.get("id"), 0),
        )
        for p in root.all("part")
    ]
    if not parts:
        raise ValueError("the file has no parts")
    return parts


def _find_braces(listed: Node) -> dict[str, str]:
    """For each part in a braced group its name, or that of the group's first part."""
    found: dict[str, str] = {}
    open_groups: dict[str, str | None] = {}
    for entry in listed.children:
        number = entry.get("number", "1")
        if entry.tag == "part-group" and entry.get("type") == "start":
            if entry.text("group-symbol") == "brace":
                open_groups[number] = one_line(entry.text("group-name")) or None
        elif entry.tag == "part-group":
            open_groups.pop(number, None)
        elif entry.tag == "score-part" and open_groups:
            inner = next(reversed(open_groups))
            name = open_groups[inner] or one_line(entry.text("part-name")) or entry.get("id")
            found[entry.get("id")] = open_groups[inner] = name
    return found


def choose_parts(parts: Sequence[PartEntry], wanted: Sequence[str]) -> list[PartEntry]:
    """The parts that `wanted` names, in the order of the file; all when it is empty.

    Raises ValueError for a name that no part has.
    """
    chosen: set[int] = set()
    for wish in wanted:
        text = wish.strip()
        found = [i for i, part in enumerate(parts) if text.lower() in (part.name.lower(), part.id.lower())]
        if not found and text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= len(parts):
            found = [int(text) - 1]
        if not found:
            names = ", ".join(f"{i + 1} {part.name or part.id}" for i, part in enumerate(parts))
            raise ValueError(f'the file has no part "{wish}"; it has: {names}')
        chosen.update(found)
    return [part for i, part in enumerate(parts) if not wanted or i in chosen]


def part_ids(names: Sequence[str]) -> list[str]:
    """Short names for parts by which the measures call them, each different."""
    ids: list[str] = []
    for number, name in enumerate(names, 1):
        short = re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-").lower()
        base = short if short[:1].isalpha() else f"part-{short or number}"
        candidate, count = base, 2
        while candidate in ids:
            candidate, count = f"{base}-{count}", count + 1
        ids.append(candidate)
    return ids


def is_own(root: Node) -> bool:
    """Whether the writer of this project made the file."""
    encoding = root.find("identification", "encoding")
    return encoding is not None and encoding.text("software") == SOFTWARE


_FEWEST_CAPITALS = 6
"""Fewer letters in capitals are a catalogue number or a sign of the road (house rule)."""


def _is_shouted(words: str) -> bool:
    return words.isupper() and sum(letter.isalpha() for letter in words) >= _FEWEST_CAPITALS


def doubt_head(head: dict[str, Any], root: Node) -> list[str]:
    """What in titles and credits looks as a person would not have typed it; it is taken over all the same."""
    doubts = []
    for key in ("title", "subtitle"):
        words = head.get(key, "")
        if "--" in words:
            doubts.append(f'the {key} has "--"; a dash is typed – or —')
        if _is_shouted(words):
            doubts.append(f"the {key} is in capitals")
    credits = head.get("credits", "")
    names = [credits] if isinstance(credits, str) else list(credits.values())
    encoding = root.find("identification", "encoding")
    software = [one_line(node.content).casefold() for node in encoding.all("software")] if encoding else []
    for name in names:
        if any(made and name and made.startswith(name.casefold()) for made in software):
            doubts.append(f'"{name}" among the credits is the name of the program that wrote the file')
        elif _is_shouted(name):
            doubts.append(f'"{name}" among the credits is in capitals')
    return doubts


def read_head(root: Node) -> dict[str, Any]:
    """Title, subtitle, credits and copyright."""
    head: dict[str, Any] = {}
    work, movement = one_line(root.text("work", "work-title")), one_line(root.text("movement-title"))
    title = _FILE_NAME.sub("", work or movement or _credit(root, "title") or _largest_credit(root))
    if title:
        head["title"] = title
    subtitle = movement if work and movement not in ("", work) else _credit(root, "subtitle")
    if subtitle:
        head["subtitle"] = subtitle
    identification = root.find("identification")
    if identification is None:
        return head
    credits: dict[str, str] = {}
    for creator in identification.all("creator"):
        key = _CREATORS.get(creator.get("type", "composer"))
        name = one_line(creator.content)
        if key and name:
            credits[key] = f"{credits[key]}, {name}" if key in credits else name
    if credits:
        head["credits"] = credits_tree(credits)
    head.update(_facts(identification))
    rights = one_line(identification.text("rights"))
    if rights:
        head["copyright"] = rights
    return head


def _facts(identification: Node) -> dict[str, Any]:
    """What the writer said of the page in fields of its own, as far as it is right."""
    miscellaneous = identification.find("miscellaneous")
    facts: dict[str, Any] = {}
    for field in miscellaneous.all("miscellaneous-field") if miscellaneous is not None else ():
        name, value = field.get("name"), field.content.strip()
        if value in _FACTS.get(name, ()) or (name == "language" and _LANGUAGE.fullmatch(value)):
            facts[name] = value if name != "left-handed" else True
        elif name == "size" and _is_size(value):
            facts[name] = value
    return facts


def _is_size(text: str) -> bool:
    """Whether the words name a sheet of paper."""
    try:
        parse_size(text)
    except ValueError:
        return False
    return True


def _largest_credit(root: Node) -> str:
    """The words in the middle of the first page in the largest letters, where no credit says what it is."""
    found: list[tuple[float, str]] = []
    for credit in root.all("credit"):
        words = credit.find("credit-words")
        if words is None or credit.has("credit-type") or credit.get("page", "1") != "1":
            continue
        size = to_number(words.get("font-size")) or 0
        if words.get("justify", words.get("halign")) == "center" and size >= _LEAST_TITLE:
            found.append((size, one_line(words.content)))
    return max(found, key=lambda row: row[0], default=(0, ""))[1]


def _credit(root: Node, kind: str) -> str:
    """The words of a credit of this kind."""
    for credit in root.all("credit"):
        if credit.text("credit-type") == kind:
            return one_line(credit.text("credit-words"))
    return ""
