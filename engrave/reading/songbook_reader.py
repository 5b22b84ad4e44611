"""A songbook from its tree. The songs themselves are read later, each by itself."""

from __future__ import annotations

from pathlib import Path

from engrave.diagnostics.problem import Place, ProblemLog, did_you_mean
from engrave.documents.songbook import Divider, Index, Side, Song, Songbook
from engrave.reading.paper_size_reader import read_paper_size
from engrave.reading.rich_text import read_markdown
from engrave.score.rich_text import Block
from engrave.score.structure import ExplainSigns, View
from engrave.source.tree import SourceMap, Value


def read_songbook(tree: SourceMap, lines: list[str], path: str, log: ProblemLog) -> Songbook | None:
    """The book of a tree whose form is right, without what is wrong in it; None when no song is left.

    The reasons are in `log`.
    """
    folder = Path(path).parent if path not in ("", "-") else Path()
    usual = ExplainSigns(tree["explain-signs"]) if "explain-signs" in tree else None
    entries: list[Song | Divider] = []
    songs = tree["songs"]
    for index, entry in enumerate(songs):
        found = _read_entry(entry, songs.item_place(index), folder, usual, log)
        if found is not None:
            entries.append(found)
    imprint = _read_imprint(tree, lines, log)
    paper_size = read_paper_size(tree, log)
    if not any(isinstance(entry, Song) for entry in entries):
        if log.has_errors:
            return None
        log.error(tree.value_place("songs"), "this book has no song", hint="write - file: and a score")
        return None
    return Songbook(
        str(tree.get("title", "")),
        str(tree.get("subtitle", "")),
        str(tree.get("author", "")),
        str(tree.get("language", "")),
        str(tree.get("style", "")),
        tree.get("cover", bool(tree.get("title"))),
        tree.get("contents", True),
        imprint,
        tuple(entries),
        tuple(Index(name) for name in tree.get("indexes", ())),
        tree.get("house-style"),
        paper_size,
    )


def _read_imprint(tree: SourceMap, lines: list[str], log: ProblemLog) -> tuple[Block, ...]:
    if "imprint" not in tree:
        return ()
    place = tree.value_place("imprint")
    line = lines[place.line - 1] if 0 < place.line <= len(lines) else ""
    below = line[place.column - 1 : place.column] in ("|", ">")
    return read_markdown(str(tree["imprint"]), Place(place.line + 1, 1) if below else place, log)


def _read_entry(
    entry: Value, place: Place, folder: Path, usual: ExplainSigns | None, log: ProblemLog
) -> Song | Divider | None:
    if isinstance(entry, str):
        return _find(Song(entry, explain_signs=usual, place=place), place, folder, log)
    if "section" in entry:
        for key in entry:
            if key != "section":
                log.error(
                    entry.key_place(key),
                    f'"{key}" does not belong to a section',
                    hint="start a new item with -",
                )
        return Divider(str(entry["section"]))
    if "file" not in entry:
        log.error(place, "this song has no file", hint="write file: and its score, or section: and a title")
        return None
    song = Song(
        str(entry["file"]),
        str(entry.get("title", "")),
        View(entry["view"]) if "view" in entry else None,
        entry.get("as") == "chord-sheet",
        Side(entry.get("start", "next")),
        entry.get("house-style"),
        ExplainSigns(entry["explain-signs"]) if "explain-signs" in entry else usual,
        place,
    )
    return _find(song, entry.value_place("file"), folder, log)


def _find(song: Song, place: Place, folder: Path, log: ProblemLog) -> Song | None:
    """The song with the path of its file; None when there is no such file."""
    path = folder / song.path
    if not path.is_file():
        near = [found.name for found in path.parent.glob("*.yaml")] if path.parent.is_dir() else []
        log.error(
            place, f'there is no file "{song.path}"', hint=did_you_mean(path.name, near) if near else ""
        )
        return None
    return song._replace(path=str(path))
