"""A songbook from its tree. The songs themselves are read later, each by itself."""

from __future__ import annotations

from collections.abc import Set
from pathlib import Path
from types import MappingProxyType

from engrave.documents.songbook import Divider, Index, Side, Song, Songbook
from engrave.problems import Location, ProblemLog
from engrave.reading.header import read_paper_size
from engrave.reading.rich_text import read_markdown
from engrave.score.rich_text import Block
from engrave.score.structure import ExplainSigns, View
from engrave.source.files import DOCUMENT_ENDINGS, PATHS_START, STANDARD_INPUT, is_file, suggest_file
from engrave.source.tree import SourceMap, Value


def read_songbook(
    tree: SourceMap, lines: list[str], path: str, log: ProblemLog, faulty: Set[int] = frozenset()
) -> Songbook | None:
    """The book of a tree without what is wrong in it; None when no song is left. The reasons are in `log`.

    Songs whose form is wrong are `faulty` and left out.
    """
    usual = ExplainSigns(tree["explain-signs"]) if "explain-signs" in tree else None
    entries: list[Song | Divider] = []
    songs = tree["songs"]
    for index, entry in enumerate(songs):
        if index in faulty:
            continue
        found = _read_entry(entry, songs.item_location(index), usual, log)
        if isinstance(found, Song):
            location = entry.value_location("file") if isinstance(entry, SourceMap) else found.location
            found = _find(found, location, path, log)
        if found is not None:
            entries.append(found)
    imprint = _read_imprint(tree, lines, log)
    paper_size = read_paper_size(tree, log)
    if not any(isinstance(entry, Song) for entry in entries):
        if log.has_errors:
            return None
        log.error(tree.value_location("songs"), "this book has no song", hint="write - file: and a score")
        return None
    return Songbook(
        title=str(tree.get("title", "")),
        subtitle=str(tree.get("subtitle", "")),
        author=str(tree.get("author", "")),
        language=str(tree.get("language", "")),
        style=str(tree.get("style", "")),
        cover=tree.get("cover", bool(tree.get("title"))),
        contents=tree.get("contents", True),
        imprint=imprint,
        entries=tuple(entries),
        indexes=tuple(Index(name) for name in tree.get("indexes", ())),
        changes=tree.get("house-style"),
        paper_size=paper_size,
        sort_names=MappingProxyType({name: str(sort) for name, sort in tree.get("sort-names", {}).items()}),
    )


def _read_imprint(tree: SourceMap, lines: list[str], log: ProblemLog) -> tuple[Block, ...]:
    if "imprint" not in tree:
        return ()
    location = tree.value_location("imprint")
    line = lines[location.line - 1] if 0 < location.line <= len(lines) else ""
    below = line[location.column - 1 : location.column] in ("|", ">")
    return read_markdown(str(tree["imprint"]), Location(location.line + 1, 1) if below else location, log)


def _read_entry(
    entry: Value, location: Location, usual: ExplainSigns | None, log: ProblemLog
) -> Song | Divider | None:
    if isinstance(entry, str):
        return Song(entry, explain_signs=usual, location=location)
    if "section" in entry:
        for key in entry:
            if key != "section":
                log.error(
                    entry.key_location(key),
                    f'"{key}" does not belong to a section',
                    hint="start a new item with -",
                )
        if not str(entry["section"]).strip():
            log.error(entry.value_location("section"), "this section has no title", hint="section: Waltzes")
        return Divider(str(entry["section"]))
    if "file" not in entry:
        log.error(
            location, "this song has no file", hint="write file: and its score, or section: and a title"
        )
        return None
    return Song(
        path=str(entry["file"]),
        title=str(entry.get("title", "")),
        view=View(entry["view"]) if "view" in entry else None,
        chord_sheet=entry.get("as") == "chord-sheet",
        side=Side(entry.get("start", "next")),
        changes=entry.get("house-style"),
        explain_signs=ExplainSigns(entry["explain-signs"]) if "explain-signs" in entry else usual,
        location=location,
    )


def _find(song: Song, location: Location, book: str, log: ProblemLog) -> Song | None:
    """The song with the path of its file, beside the file `book`; None when there is no such file."""
    folder = Path(book).parent if book not in ("", STANDARD_INPUT) else Path()
    path = folder / song.path
    if is_file(path):
        return song._replace(path=str(path))
    hint = suggest_file(path, book, DOCUMENT_ENDINGS) or PATHS_START
    if song.path.startswith(("file:", "section:")):
        hint = f"write a space after the colon: {song.path.replace(':', ': ', 1)}"
    log.error(location, f'there is no file "{song.path}"', hint=hint)
    return None
