"""What can be read on the pages of documents whose author's words are muted: what is left is the program's own."""

import io
import json
import re
from pathlib import Path

import pdfplumber

from engrave.marks.mark import Text
from engrave.marks.role import Role
from engrave.problems import ProblemLog
from engrave.resources import data_folder
from engrave.source.parse import parse_yaml
from tests import made

SAMPLES = data_folder() / "samples"

SCORES = sorted([*SAMPLES.glob("*.yaml"), *SAMPLES.glob("signs/*.yaml")])

FOREIGN = ("de", "fr", "es")

AUTHORS = {
    "title",
    "subtitle",
    "credits",
    "copyright",
    "lyrics",
    "label",
    "text",
    "tempo",
    "caption",
    "tip",
    "caution",
    "level",
    "date",
    "lesson",
    "author",
    "imprint",
    "section",
    "footer",
    "alt",
}
"""Keys whose words are the author's."""

TRADE = {
    "to",
    "coda",
    "fine",
    "segno",
    "dc",
    "ds",
    "al",
    "cresc",
    "dim",
    "va",
    "vb",
    "ma",
    "mb",
    "maj",
    "sus",
    "add",
    "pima",
    "x",
    "tab",
}
"""Words of Italian, and of the letters of fingers, chords and octaves, which are the same everywhere."""

NOTE_NAMES = (Role.CHORD_NAME, Role.STRING_NAME)


def table_words(language):
    """Every word of a table, in small letters."""
    return set(words_of(json.dumps(list(leaves(language)), ensure_ascii=False)))


def leaves(language):
    tree = parse_yaml(
        (data_folder() / "styles" / "words" / f"{language}.yaml").read_text("utf-8"), ProblemLog("table")
    )
    stack = [tree]
    while stack:
        node = stack.pop()
        if isinstance(node, dict):
            stack.extend(node.values())
        else:
            yield str(node)


def words_of(text):
    return re.findall(r"[^\W\d_½]{2,}", text.casefold())


def muted(tree, key=""):
    """A tree with every letter of an author's text made an x."""
    if isinstance(tree, dict):
        inside = key if key in AUTHORS else ""
        return {
            name: muted(value, inside or ("title" if key == "parts" and name == "name" else name))
            for name, value in tree.items()
            if name != "house-style"
        }
    if isinstance(tree, list):
        return [muted(value, key) for value in tree]
    if key in AUTHORS and isinstance(tree, str):
        return re.sub(r"(\(#[^)]*\))|[^\W\d_]", lambda found: found[1] or "x", tree)
    return tree


def written(source, folder, **more):
    """The document at `source` in `folder`, muted, with the keys `more`; the music and songs it names beside it."""
    tree = parse_yaml(source.read_text("utf-8"), ProblemLog(source.name))
    for name in sorted(set(re.findall(r'"(\.\./[^"]+\.yaml)"', json.dumps(tree)))):
        target = folder / Path(name).name
        target.write_text(
            json.dumps(muted(parse_yaml((source.parent / name).read_text("utf-8"), ProblemLog(name)))),
            "utf-8",
        )
    text = json.dumps({**muted(tree), **more}, ensure_ascii=False)
    path = folder / f"this-{source.name}"
    path.write_text(re.sub(r'"\.\./(?:[^"/]+/)*([^"/]+\.yaml)"', r'"\1"', text), "utf-8")
    return path


def placed_words(path):
    """What can be read on the pages of a document, but for names of notes."""
    document, outcome = made.place(str(path))
    assert document is not None, [str(problem) for problem in outcome.problems]
    marks = [mark for page in document.pages for group in page.groups for mark in group.marks]
    return {
        word
        for mark in marks
        if isinstance(mark, Text) and mark.role not in NOTE_NAMES
        for word in words_of(mark.text)
    }


def strange(words, language):
    """The words that are neither in the table of a language nor the author's nor the trade's."""
    own = table_words(language) | TRADE
    return {word for word in words if word not in own and not re.fullmatch("x+|[ivx]+", word)}


def book_words(path):
    """What can be read in the PDF of a book, the names of chords left out."""
    output = path.with_suffix(".pdf")
    outcome = made.make(str(path), output=str(output))
    assert not outcome.failed, [str(problem) for problem in outcome.problems]
    with pdfplumber.open(io.BytesIO(output.read_bytes())) as pdf:
        return [
            " ".join(word["text"] for word in page.extract_words(use_text_flow=True)) for page in pdf.pages
        ]


INDEXES = ["title", "writer", "first-line", "key", "tuning", "difficulty", "sign"]


def english_of(pages, language):
    """The longer words of English that the table of `language` lacks (runs of letters of a PDF may be cut oddly)."""
    english_only = table_words("en") - table_words(language) - TRADE
    return {word for page in pages for word in words_of(page) if word in english_only and len(word) > 3}


RICH = """score: 1
title: {title}
{head}credits: {{music: Xx, words: Xxx, arrangement: Xxxx}}
tuning: drop D
capo: 2
counting: true
explain-signs: used
parts: [{{id: guitar}}, {{id: voice, instrument: voice}}, {{id: bass, name: Xxx, instrument: bass}}]
measures:
  - parts:
      guitar: {{chord: N.C., notes: [1/4: [{{2: {{fret: 5, bend: full}}}}, {{2: 5 natural-harmonic}}], 1/2: {{2: 5 fade-in}}], spans: {{1: let-ring for 1/2}}}}
      voice: {{notes: [1/1: C4]}}
"""


def rich(folder, head):
    path = folder / "rich.yaml"
    path.write_text(RICH.format(title='""', head=head), "utf-8")
    return path


LETTING = "score: 1\ntitle: X\n{head}credits: {{words: Xx}}\nmeasures: [{{notes: [1/1: {{1: 0}}], spans: {{1: let-ring for 1/1}}}}]\n"
