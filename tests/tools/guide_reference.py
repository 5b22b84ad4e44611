"""The guide's reference, made from what the program itself goes by: schemas, requests, the list of signs and the tables of words.

python -m tests.tools.guide_reference     writes samples/guide/15-reference.yaml and 16-signs.yaml anew

A test fails where they are not what this would write.
"""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from engrave.documents.kind import Kind
from engrave.parser import build_parser
from engrave.problems import ProblemLog
from engrave.resources import data_folder, schema_text
from engrave.score.sign_list import EXPLAINED_SIGNS, SIGNS, SignName
from engrave.source.parse import parse_yaml
from engrave.writing.dump import flow
from tests.guide_texts import GUIDE

_HEAD = """\
# yaml-language-server: $schema=../../schemas/handout.schema.json
# Written by python -m tests.tools.guide_reference: change what it is made from, and run that again.
handout: 1
title: {title}
content:
"""
_LANGUAGES = ("de", "fr", "es")
_TYPED_AS = {
    "pluck": "p i m a c",
    "finger": "finger 2",
    "slur": "slur ... end-slur",
    "phrase": "phrase ... end-phrase",
    "bend": "bend full",
    "vibrato-bar": "vibrato-bar dip 1/2",
    "artificial-harmonic": "artificial-harmonic 15",
    "tapped-harmonic": "tapped-harmonic 15",
    "touched-harmonic": "touched-harmonic 15",
    "position": "position 5 for 1/2",
    "barre": "barre 5 for 1/2",
    "half-barre": "half-barre 5 for 1/2",
    "grace": "grace 1/8: ...",
    "appoggiatura": "appoggiatura 1/8: ...",
    "closing-grace": "closing-grace 1/16: ...",
    "measure-repeat": "measure-repeat: 1",
    "multiple-rest": "multiple-rest: 4",
    "accidental-mark": "trill 4",
}
"""What is typed for a sign, where it is not its name alone."""
_OTHERS = "rhythm, grace notes and rests"
"""The family of signs that the list does not have, as they are no marks."""
_ACROSS = 3
"""Examples side by side."""
_PATTERNED = ("1/4", "grace 1/8", "3 in 2 of 1/8", "3")
"""A key of each kind that a schema gives by its form."""
_HEADINGS = {
    "notes": "In notes and lower",
    "1/4": "In an event, in its longer form",
    "3": "In a fret, in its longer form",
}
"""What heads the keys of a mapping, where the key that holds it does not say it."""
_MOST_CHOICES = 16
"""So many values of a key are listed here; the lists that are longer stand in chapters of their own."""


def write_reference() -> dict[str, str]:
    """The texts of both chapters by the names of their files."""
    return {"15-reference.yaml": _reference(), "16-signs.yaml": _signs()}


# --- Keys and commands.


def _reference() -> str:
    intro = (
        "Every word of the language, with an example, as the schemas have it; then every command with its options. "
        "This chapter is made from the program's own tables."
    )
    kinds = [_kind_lines(kind.value) for kind in Kind]
    return _HEAD.format(title="Reference") + "".join(map(_text, ([intro], *kinds, _command_lines())))


def _kind_lines(kind: str) -> list[str]:
    schema = json.loads(schema_text(kind))
    lines = [f"# {schema['title']}", "", _escaped(schema["description"])]
    for path, record in _records(schema, schema, f"At the head of a {kind}", set()):
        keys = [_key_line(schema, key, value) for key, value in _keys(schema, record)]
        if not set(keys) <= set(lines):
            lines += ["", f"### {path}", "", *keys]
    return lines


def _records(schema: Any, node: Any, path: str, seen: set[str]) -> Iterator[tuple[str, Any]]:
    """Every mapping of a schema that has keys of its own, each once, with the words that head it."""
    node = _resolved(schema, node)
    mark = json.dumps(node, sort_keys=True)
    if mark in seen:
        return
    seen.add(mark)
    if list(_keys(schema, node)):
        yield path, node
    inner = dict(_keys(schema, node))
    for key, value in inner.items():
        yield from _records(schema, value, _HEADINGS.get(key, f"In {_escaped(key)}"), seen)
    for name in ("items", "additionalProperties"):
        if isinstance(node.get(name), Mapping):
            yield from _records(schema, node[name], _one_of(path), seen)
    for value in node.get("patternProperties", {}).values():
        yield from _records(schema, value, _one_of(path), seen)


def _one_of(path: str) -> str:
    return path if path.endswith(", each") else f"{path}, each"


def _keys(schema: Any, node: Any) -> Iterator[tuple[str, Any]]:
    """The keys of a mapping, those of patterns by an example of what the pattern takes."""
    yield from node.get("properties", {}).items()
    for pattern, value in node.get("patternProperties", {}).items():
        yield next(key for key in _PATTERNED if re.search(pattern, key)), value


def _resolved(schema: Any, node: Any) -> Any:
    """A node with what it refers to; its own words come first."""
    while "$ref" in node:
        target: Any = schema
        for step in node["$ref"].removeprefix("#/").split("/"):
            target = target[step]
        node = {**target, **{key: value for key, value in node.items() if key != "$ref"}}
        if "$ref" in target:
            node["$ref"] = target["$ref"]
    return node


def _key_line(schema: Any, key: str, value: Any) -> str:
    node = _resolved(schema, value)
    words = [_escaped(node.get("description", ""))]
    choices = [str(choice) for choice in node.get("enum", [])]
    if 1 < len(choices) <= _MOST_CHOICES:
        words.append(f"One of {', '.join(dict.fromkeys(choices))}.")
    examples = [_code(f"{key}: {_flow(example)}") for example in node.get("examples", [])]
    if examples:
        words.append(f"{', '.join(examples)}")
    return f"- **{_escaped(key)}**: {' '.join(filter(None, words))}"


def _command_lines() -> list[str]:
    lines = ["# Commands", "", "Every command takes `--help`."]
    (commands,) = (action for action in build_parser()._actions if action.dest == "command")
    for name, parser in commands.choices.items():
        lines += ["", f"## engrave {name}", "", _escaped(" ".join((parser.description or "").split())), ""]
        lines += [_option_line(action) for action in parser._actions if action.dest != "help"]
    return lines


def _option_line(action: argparse.Action) -> str:
    value = (
        ""
        if action.nargs == 0
        else str(action.metavar or "|".join(map(str, action.choices or [])) or action.dest)
    )
    shown = " ".join(filter(None, (" ".join(action.option_strings), value)))
    words = " ".join((action.help or "").replace("%%", "%").split())
    return f"- {_code(shown)}: {_escaped(words % vars(action) if '%(' in words else words)}"


# --- Signs.


@cache
def _words(language: str) -> Any:
    return _read(f"styles/words/{language}.yaml")["signs"]


def _read(path: str) -> Any:
    """A file that travels with the program, read as the program reads it."""
    return json.loads(json.dumps(parse_yaml((data_folder() / path).read_text("utf-8"), ProblemLog(path))))


def _signs() -> str:
    examples = _read("styles/signs/examples.yaml")
    text = (
        "Every sign: what you type, what is printed, what it means, and what it is called in German, French and Spanish. Words "
        "stand after the note; those that last (`palm-mute for 1/2`) stand under `spans`."
    )
    chapters = [_HEAD.format(title="Signs"), _text([text])]
    families: dict[str, list[str]] = {}
    for name in (*EXPLAINED_SIGNS, *(name for name in examples if name not in SIGNS)):
        if name in examples:
            sign = SIGNS.get(SignName(name)) if name in SIGNS else None
            families.setdefault(sign.family if sign else _OTHERS, []).append(name)
    for family, names in families.items():
        chapters.append(_text([f"## {family.capitalize()}"]))
        chapters += [_row(row, examples) for row in _rows(names)]
    return "".join(chapters)


def _rows(names: Sequence[str]) -> Iterator[Sequence[str]]:
    """Names in rows that are as equally long as can be, for a single one would stand lost in its row."""
    count = -(-len(names) // _ACROSS)
    for row in range(count):
        yield names[row * len(names) // count : (row + 1) * len(names) // count]


def _row(names: Sequence[str], examples: Mapping[str, Any]) -> str:
    """Up to three signs side by side."""
    if len(names) == 1:
        return "  - " + "    ".join(_sign_lines(names[0], examples[names[0]]))
    lines = ["  - beside:\n"]
    for name in names:
        first, *rest = _sign_lines(name, examples[name])
        lines += [f"      - {first}", *(f"        {line}" for line in rest)]
    return "".join(lines)


def _sign_lines(name: str, example: Any) -> list[str]:
    measures = example if isinstance(example, list) else [example]
    english = _words("en")[name]
    names = ", ".join(f"{language} {_words(language)[name]['name']}" for language in _LANGUAGES)
    called = english["name"]
    title = "" if called.casefold() == name.replace("-", " ") or called.casefold() == name else f"{called}. "
    caption = f"{_TYPED_AS.get(name, name)}: {title}{english['play']} ({names})"
    return [
        f"music: {{measures: {flow(measures)}}}\n",
        f"caption: {json.dumps(caption, ensure_ascii=False)}\n",
    ]


# --- Words.


def _text(lines: Sequence[str]) -> str:
    """An item of text."""
    return "  - text: |\n" + "".join(f"      {line}\n" if line else "\n" for line in lines)


def _escaped(text: str) -> str:
    """Words that Markdown leaves alone."""
    return re.sub(r"([\\`*_\[\]<>#|])", r"\\\1", text)


def _code(text: str) -> str:
    """Words as they are typed."""
    return f"``{text}``" if "`" in text else f"`{text}`"


def _flow(value: Any) -> str:
    """A value as one would type it on one line."""
    if isinstance(value, str) and "\n" in value:
        return json.dumps(value, ensure_ascii=False)
    return flow(value)


def main() -> None:
    """Write both chapters."""
    for name, text in write_reference().items():
        (GUIDE / name).write_text(text, "utf-8")


if __name__ == "__main__":
    main()
