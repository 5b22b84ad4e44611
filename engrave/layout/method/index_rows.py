"""The rows of a method's indexes and of its list of recordings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from engrave.documents import handout as records
from engrave.documents.method import Method, MethodIndex
from engrave.layout.handout.recordings import track_name
from engrave.layout.method.chapters import Shown, shown_in
from engrave.layout.songbook.pages import Row
from engrave.layout.text.collation import collation_key
from engrave.score.excerpt import excerpt
from engrave.score.sign_list import SIGNS, SignName
from engrave.score.structure import Score
from engrave.score.used_signs import used_signs
from engrave.style.sections import Style
from engrave.theory.chord_name import ChordName, display_parts

_FAMILIES = ("legato", "bends", "harmonics", "right hand", "notes", "ornaments", "muting")
"""Signs of these families are techniques; the others say how loud or long something is, or where a hand is (house rule)."""
_OF_OTHER_FAMILIES = (SignName.BARRE, SignName.HALF_BARRE, SignName.LEFT_HAND_TAP, SignName.VOLUME_SWELL)


_SEPARATOR = "  ·  "


class Found(NamedTuple):
    """What stands on a page: an item, or some measures of it (`first` to `stop` - 1), and what a link leads to.

    `label` is what the item is called: "Example 3.2", the title of a piece, "" where it has no name.
    """

    item: Shown
    label: str
    page: int
    anchor: str
    first: int
    stop: int


def index_rows(index: MethodIndex, found: Sequence[Found], style: Style) -> list[Row]:
    """The rows of one index; each entry has the pages on which it stands, once each."""
    if index is MethodIndex.PIECE:
        pieces = [entry for entry in _firsts(found) if isinstance(entry.item, records.Piece)]
        return _gather([(entry.label, entry) for entry in pieces], style)
    if index is MethodIndex.TECHNIQUE:
        names = style.wordbook.signs
        return _gather([(names[sign].name, entry) for entry in found for sign in _techniques(entry)], style)
    if index is MethodIndex.CHORD:
        return _gather([(chord, entry) for entry in found for chord in _chords(entry, style)], style)
    return _by_key(found, style)


def index_title(index: MethodIndex, style: Style) -> str:
    """The heading of an index."""
    book = style.wordbook
    return {
        MethodIndex.TECHNIQUE: book.page.techniques,
        MethodIndex.PIECE: book.page.pieces,
        MethodIndex.CHORD: book.page.chords,
        MethodIndex.KEY: book.indexes["key"],
    }[index]


def has_entries(index: MethodIndex, method: Method, style: Style) -> bool:
    """True where the index of a method would not be empty."""
    for chapter in method.chapters:
        for item in chapter.items:
            for shown in shown_in(item):
                stop = 0 if isinstance(shown, records.Shapes) else len(shown.score.measures)
                if _has_entry(index, Found(shown, "", page=0, anchor="", first=0, stop=stop), style):
                    return True
    return False


def _has_entry(index: MethodIndex, entry: Found, style: Style) -> bool:
    item = entry.item
    match index:
        case MethodIndex.PIECE:
            return isinstance(item, records.Piece)
        case MethodIndex.TECHNIQUE:
            return any(_techniques(entry))
        case MethodIndex.CHORD:
            return any(_chords(entry, style))
        case MethodIndex.KEY:
            return isinstance(item, records.Piece) or (isinstance(item, records.Music) and item.number > 0)


def recording_rows(found: Sequence[Found], style: Style) -> list[Row]:
    """The recordings in the order of their tracks, each with what it is a recording of."""
    rows = []
    for entry in _firsts(found):
        item = entry.item
        if isinstance(item, records.Shapes) or item.recording is None:
            continue
        label = entry.label or item.score.title
        said = _SEPARATOR.join(part for part in (track_name(item.recording, style), label) if part)
        rows.append((item.recording.track, Row(said, (entry.page,), entry.anchor)))
    return [row for _, row in sorted(rows)]


def _firsts(found: Iterable[Found]) -> Iterator[Found]:
    """Each item once, on the page where it starts."""
    seen: set[int] = set()
    for entry in found:
        if id(entry.item) not in seen:
            seen.add(id(entry.item))
            yield entry


def _gather(entries: Iterable[tuple[str, Found]], style: Style) -> list[Row]:
    """A row for each text, in alphabetical order, with its pages; the link leads to the first of them."""
    rows: dict[str, Row] = {}
    alphabet = style.wordbook.language
    for text, entry in sorted(entries, key=lambda pair: (collation_key(pair[0], alphabet), pair[1].page)):
        row = rows.setdefault(text, Row(text, (), entry.anchor))
        if entry.page not in row.pages:
            rows[text] = row._replace(pages=(*row.pages, entry.page))
    return list(rows.values())


def _score_of(entry: Found) -> Score | None:
    """The measures of an entry as a score; None for shapes."""
    if isinstance(entry.item, records.Shapes):
        return None
    score = entry.item.score
    is_whole = entry.first == 0 and entry.stop == len(score.measures)
    return score if is_whole else excerpt(score, entry.first, entry.stop)


def _techniques(entry: Found) -> Iterator[str]:
    score = _score_of(entry)
    for sign in used_signs(score) if score is not None else ():
        known = SIGNS.get(SignName(sign)) if sign in SIGNS else None
        if sign in _OF_OTHER_FAMILIES or (known is not None and known.family in _FAMILIES):
            yield sign


def _chords(entry: Found, style: Style) -> Iterator[str]:
    """The names of the chords over the music, or of the shapes."""
    if isinstance(entry.item, records.Shapes):
        yield from (_chord_name(shape.name, style) for shape in entry.item.shapes if shape is not None)
        return
    score = _score_of(entry)
    for part in score.parts if score is not None else ():
        for measure in part.measures:
            yield from (_chord_name(chord.name, style) for chord in measure.chords if chord.name.root)


def _chord_name(name: ChordName, style: Style) -> str:
    """The name in one line, with the accidentals and letters that the style prints."""
    parts = display_parts(name, style.words.no_chord, style.words.says_h)
    return "".join(part.text for part in parts)


def _by_key(found: Sequence[Found], style: Style) -> list[Row]:
    """The pieces and examples that have a name, under the keys they begin in."""
    groups: dict[str, list[tuple[str, Found]]] = {}
    for entry in _firsts(found):
        if isinstance(entry.item, records.Shapes) or not entry.label or not entry.item.score.measures:
            continue
        key = style.wordbook.key_name(entry.item.score.measures[0].key)
        groups.setdefault(key, []).append((entry.label, entry))
    rows: list[Row] = []
    for key in sorted(groups, key=lambda key: collation_key(key, style.wordbook.language)):
        rows.append(Row(key, is_heading=True))
        rows.extend(row._replace(depth=1) for row in _gather(groups[key], style))
    return rows
