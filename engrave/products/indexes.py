"""The rows of a book's indexes."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from engrave.documents.songbook import Index, SongFacts, Strings
from engrave.layout.songbook.pages import Row
from engrave.layout.text.words import alphabetical
from engrave.style.sections import Style
from engrave.theory.instrument import letter_name
from engrave.theory.key import parse_key
from engrave.theory.pitch import parse_pitch

_ARTICLES = (
    "the ",
    "a ",
    "an ",
    "der ",
    "die ",
    "das ",
    "le ",
    "la ",
    "les ",
    "l\u2019",
    "l'",
    "el ",
    "los ",
    "las ",
)
"""Words at the start of a title that sorting passes over (common practice, no source)."""


def index_rows(index: Index, songs: Sequence[tuple[SongFacts, int, str]], style: Style) -> list[Row]:
    """The rows of one index: songs with their facts, first pages and link names."""
    if index is Index.TITLE:
        return _plain([(_title(facts, style), page, name) for facts, page, name in songs])
    if index is Index.FIRST_LINE:
        return _plain([(facts.first_line, page, name) for facts, page, name in songs if facts.first_line])
    if index is Index.SIGN:
        return _first_met(songs, style)
    if index is Index.DIFFICULTY:
        return _by_level(songs, style)
    groups: dict[str, list[tuple[str, int, str]]] = {}
    for facts, page, name in songs:
        for heading in _headings(index, facts, style):
            groups.setdefault(heading, []).append((_title(facts, style), page, name))
    rows: list[Row] = []
    for heading in sorted(groups, key=sort_key if index is Index.WRITER else alphabetical):
        rows.append(Row(heading, is_heading=True))
        rows.extend(row._replace(depth=1) for row in _plain(groups[heading]))
    return rows


def _title(facts: SongFacts, style: Style) -> str:
    return style.wordbook.title(facts.title)


def _by_level(songs: Sequence[tuple[SongFacts, int, str]], style: Style) -> list[Row]:
    """The songs from the easiest on, gathered by whole levels, each with its difficulty."""
    book = style.wordbook
    rows: list[Row] = []
    for facts, page, name in sorted(songs, key=lambda song: (song[0].difficulty, sort_key(song[0].title))):
        heading = f"{book.page.level} {max(1, ceil(facts.difficulty))}"
        if heading not in (row.text for row in rows if row.is_heading):
            rows.append(Row(heading, is_heading=True))
        text = f"{_title(facts, style)} ({book.number(facts.difficulty)})"
        rows.append(Row(text, (page,), name, depth=1))
    return rows


def _headings(index: Index, facts: SongFacts, style: Style) -> tuple[str, ...]:
    """What a song stands under in an index, in the language of the book."""
    if index is Index.WRITER:
        return facts.writers
    if index is Index.KEY:
        return (style.wordbook.key_name(parse_key(facts.key)),) if facts.key else ()
    return (_tuning(facts.tuning, style),) if facts.tuning.pitches else ()


def _tuning(strings: Strings, style: Style) -> str:
    """An instrument and its strings from the thickest, with the name of the tuning if it has one."""
    book = style.wordbook
    letters = " ".join(letter_name(parse_pitch(pitch), style.words.says_h) for pitch in strings.pitches)
    named = f" ({book.tunings[strings.tuning]})" if strings.tuning else ""
    return book.labelled(book.instrument_name(strings.instrument), letters + named)


def _plain(entries: list[tuple[str, int, str]]) -> list[Row]:
    """Rows in order; what stands on several pages has one row."""
    rows: list[Row] = []
    for text, page, name in sorted(entries, key=lambda entry: (sort_key(entry[0]), entry[0], entry[1])):
        if rows and rows[-1].text == text:
            rows[-1] = rows[-1]._replace(pages=(*rows[-1].pages, page))
        else:
            rows.append(Row(text, (page,), name))
    return rows


def _first_met(songs: Sequence[tuple[SongFacts, int, str]], style: Style) -> list[Row]:
    """Each sign with the first song that uses it."""
    found: dict[str, tuple[int, str]] = {}
    for facts, page, name in songs:
        for sign in facts.signs:
            found.setdefault(sign, (page, name))
    names = style.wordbook.signs
    return _plain([(names[sign].name, *place) for sign, place in found.items()])


def sort_key(text: str) -> str:
    """What a title is sorted by: without its article, accents, case and punctuation."""
    lowered = text.casefold().strip()
    for article in _ARTICLES:
        if lowered.startswith(article) and len(lowered) > len(article):
            lowered = lowered.removeprefix(article)
            break
    return "".join(letter for letter in alphabetical(lowered) if letter.isalnum() or letter.isspace())
