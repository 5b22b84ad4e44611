"""The rows of a book's indexes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.documents.songbook import Index, Songbook, SongFacts, Strings
from engrave.layout.songbook.pages import Row
from engrave.layout.text.collation import SortKey, collation_key
from engrave.style.sections import Style
from engrave.theory.instrument import letter_name
from engrave.theory.key import parse_key
from engrave.theory.pitch import parse_pitch

_ARTICLES = {
    "en": ("the ", "a ", "an "),
    "de": ("der ", "die ", "das ", "ein ", "eine "),
    "fr": ("le ", "la ", "les ", "l\u2019", "l'", "un ", "une "),
    "es": ("el ", "la ", "los ", "las ", "un ", "una "),
}
"""Words at the start of a title that sorting passes over, by the language of the song (common practice, no source)."""


class Listed(NamedTuple):
    """A song of an index: its facts, its first page, and the name that links to it lead to."""

    facts: SongFacts
    page: int
    name: str


def index_rows(index: Index, songs: Sequence[Listed], style: Style, book: Songbook) -> list[Row]:
    """The rows of one index, in the alphabet of the book's language; the book also says under what writers stand."""
    alphabet = book.language
    if index is Index.TITLE:
        return _plain([_entry(song, style, alphabet) for song in songs])
    if index is Index.FIRST_LINE:
        found = [(song.facts.first_line, sort_key(song.facts.first_line, alphabet), song) for song in songs]
        return _plain([(text, key, song.page, song.name) for text, key, song in found if text])
    if index is Index.SIGN:
        return _first_met(songs, style, alphabet)
    if index is Index.DIFFICULTY:
        return _by_difficulty(songs, style, alphabet)
    groups: dict[str, list[_Entry]] = {}
    for song in songs:
        for heading in _headings(index, song.facts, style):
            groups.setdefault(heading, []).append(_entry(song, style, alphabet))
    names = book.sort_names if index is Index.WRITER else {}
    is_writer = index is Index.WRITER
    sorted_by = {
        heading: names.get(heading) or (writer_sort_name(heading) if is_writer else heading)
        for heading in groups
    }
    rows: list[Row] = []
    for heading in sorted(groups, key=lambda heading: collation_key(sorted_by[heading], alphabet)):
        rows.append(Row(names.get(heading) or heading, is_heading=True))
        rows.extend(row._replace(depth=1) for row in _plain(groups[heading]))
    return rows


_Entry = tuple[str, SortKey, int, str]
"""What a row says, what it is sorted by, its page and its link."""


def _entry(song: Listed, style: Style, alphabet: str) -> _Entry:
    title = style.wordbook.title(song.facts.title)
    return title, _title_key(song, style, alphabet), song.page, song.name


def _title_key(song: Listed, style: Style, alphabet: str) -> SortKey:
    language = song.facts.language or alphabet or style.wordbook.language
    return sort_key(style.wordbook.title(song.facts.title), alphabet, language)


def _by_difficulty(songs: Sequence[Listed], style: Style, alphabet: str) -> list[Row]:
    """The songs from the easiest on, each with its difficulty."""
    book = style.wordbook
    ordered = sorted(songs, key=lambda song: (song.facts.difficulty, _title_key(song, style, alphabet)))
    return [
        Row(
            f"{book.title(song.facts.title)} ({book.difficulty(song.facts.difficulty)})",
            (song.page,),
            song.name,
        )
        for song in ordered
    ]


def writer_sort_name(name: str) -> str:
    """A writer as an index sorts: by the surname, which is the last word (common practice, no source).

    What does not end like a name of a person (a small letter, one word, a comma) is taken as it is written.
    """
    words = name.split()
    if len(words) < 2 or "," in name or not words[-1][:1].isupper() or "and" in words or "&" in words:
        return _without_article(name, "en")
    return f"{words[-1]} {' '.join(words[:-1])}"


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


def _plain(entries: Sequence[_Entry]) -> list[Row]:
    """Rows in order; what stands on several pages has one row."""
    rows: list[Row] = []
    for text, _, page, name in sorted(entries, key=lambda entry: (entry[1], entry[0], entry[2])):
        if rows and rows[-1].text == text:
            rows[-1] = rows[-1]._replace(pages=(*rows[-1].pages, page))
        else:
            rows.append(Row(text, (page,), name))
    return rows


def _first_met(songs: Sequence[Listed], style: Style, alphabet: str) -> list[Row]:
    """Each sign with the first page on which it stands."""
    found: dict[str, tuple[int, str]] = {}
    for song in songs:
        for sign, page in song.facts.sign_pages:
            found.setdefault(sign, (song.page + page - 1, song.name))
    names = style.wordbook.signs
    return _plain(
        [(names[sign].name, collation_key(names[sign].name, alphabet), *at) for sign, at in found.items()]
    )


def sort_key(text: str, alphabet: str = "", language: str = "") -> SortKey:
    """What a title in `language` is sorted by in an `alphabet`: without its article, accents, case and punctuation."""
    return collation_key(_without_article(text, language), alphabet)


def _without_article(text: str, language: str) -> str:
    stripped = text.strip()
    for article in _ARTICLES.get(language.split("-")[0].lower(), ()):
        if stripped.casefold().startswith(article) and len(stripped) > len(article):
            return stripped[len(article) :]
    return stripped
