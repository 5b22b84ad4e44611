"""The guide's chapters taken apart: what is typed in them, and the commands with what they are said to answer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import yaml
from markdown_it import MarkdownIt

GUIDE = Path(__file__).parents[1] / "samples" / "guide"
CHAPTERS = sorted(GUIDE.glob("[0-9][0-9]-*.yaml"))
_NAME = re.compile(r"# ([\w-]+\.(?:yaml|txt))\n")
"""The first line of a text that the reader is asked to save: the name of the file."""


class Typed(NamedTuple):
    """A text as the guide shows it. `info` is what stands behind its backticks; `engraved`: its music stands under it."""

    chapter: Path
    text: str
    info: str = ""
    engraved: bool = False

    @property
    def file_name(self) -> str:
        """The name under which the reader saves it, "" where there is none."""
        found = _NAME.match(self.text)
        return found[1] if found else ""

    @property
    def saved(self) -> str:
        """What is saved: a typed tab without the line of its name, which would be part of the music."""
        return self.text.partition("\n")[2] if self.file_name.endswith(".txt") else self.text


class Command(NamedTuple):
    """A line that the reader types, and the lines that are shown as its answer."""

    chapter: Path
    line: str
    answer: str


def typed_texts(chapter: Path) -> Iterator[Typed]:
    """Every text that a chapter shows as it is typed, from the top of the page down."""
    for item in yaml.load(chapter.read_text("utf-8"), yaml.BaseLoader)["content"]:
        if "typed" in item:
            yield Typed(chapter, item["typed"], engraved=item.get("engraved") != "false")
        for words in (item.get("text"), item.get("tip"), item.get("caution")):
            for token in MarkdownIt().parse(words or ""):
                if token.type == "fence":
                    yield Typed(chapter, token.content, token.info)


def all_typed() -> list[Typed]:
    """Every text of the guide that is shown as it is typed."""
    return [typed for chapter in CHAPTERS for typed in typed_texts(chapter)]


def blocks(first_words: str) -> list[str]:
    """The texts of the guide that begin so."""
    return [typed.text for typed in all_typed() if typed.text.startswith(first_words)]


def commands(chapter: Path) -> Iterator[Command]:
    """The commands of a chapter, in their order."""
    for typed in typed_texts(chapter):
        if not typed.info and typed.text.startswith("engrave "):
            for part in re.split(r"^(?=engrave )", typed.text, flags=re.MULTILINE)[1:]:
                line, _, answer = part.partition("\n")
                yield Command(chapter, line, answer.strip("\n"))


def save_all(folder: Path) -> None:
    """Save every text that has a name as the reader would. Raises ValueError where two texts have one name."""
    for typed in all_typed():
        if typed.file_name:
            path = folder / typed.file_name
            if path.exists():
                raise ValueError(f"{typed.chapter.name}: {typed.file_name} is saved twice")
            path.write_text(typed.saved, "utf-8")
