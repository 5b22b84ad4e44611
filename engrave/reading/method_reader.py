"""A method from its tree: every chapter read, in place or from its file, and the links between them checked."""

from __future__ import annotations

from collections.abc import Mapping, Set
from pathlib import Path
from typing import NamedTuple

from engrave.documents.edition import Edition
from engrave.documents.handout import Target, TargetKind
from engrave.documents.kind import Kind
from engrave.documents.method import Chapter, Method, MethodIndex, SignKey, Term
from engrave.documents.songbook import Side
from engrave.problems import Location, Problem, ProblemLog
from engrave.reading.header import read_paper_size
from engrave.reading.lesson_reader import LessonReader
from engrave.reading.load import document_kind, file_log, load_tree
from engrave.reading.recordings import check_base
from engrave.reading.rich_text import read_markdown
from engrave.reading.targets import Targets
from engrave.score.rich_text import Block
from engrave.source.files import DOCUMENT_ENDINGS, PATHS_START, STANDARD_INPUT, is_file, suggest_file
from engrave.source.schema import check_form, find_faults, find_faulty
from engrave.source.tree import SourceList, SourceMap, Value


class ChapterFaults(NamedTuple):
    """What in the form of the chapters written in place is wrong: whole chapters, and single items of others."""

    chapters: frozenset[int] = frozenset()
    items: Mapping[int, frozenset[int]] = {}


def find_chapter_faults(tree: SourceMap) -> ChapterFaults | None:
    """Which chapters of a method are wrong in form; None when something else is too."""
    chapters: set[int] = set()
    items: dict[int, set[int]] = {}
    for fault in find_faults(tree, "method"):
        match fault.path:
            case ["chapters", int(chapter), "content", int(item), *_]:
                items.setdefault(chapter, set()).add(item)
            case ["chapters", int(chapter), *_]:
                chapters.add(chapter)
            case [_, *_]:
                return None
    if not isinstance(tree.get("chapters"), list):
        return None
    return ChapterFaults(frozenset(chapters), {key: frozenset(found) for key, found in items.items()})


class _Draft(NamedTuple):
    """A chapter whose links have not been checked yet, and what it was read with."""

    chapter: Chapter
    log: ProblemLog


class MethodReader:
    """Reads one method. What is wrong in the files of its chapters is kept apart from what is wrong in its own."""

    def __init__(self, lines: list[str], path: str, log: ProblemLog) -> None:
        """`path` is the book's file, beside which its chapters are looked for."""
        self._lines = lines
        self._path = path
        self._folder = Path(path).parent if path not in ("", STANDARD_INPUT) else Path()
        self._log = log
        self._logs: list[ProblemLog] = []
        self.targets = Targets()
        self.readers: list[LessonReader] = []

    @property
    def elsewhere(self) -> list[Problem]:
        """What is wrong in other files: those of the chapters, and those that they name."""
        found = [problem for log in self._logs for problem in log.in_order()]
        return [*found, *(problem for reader in self.readers for problem in reader.elsewhere)]

    def read(self, tree: SourceMap, faults: ChapterFaults) -> Method | None:
        """The method of a tree; None when something is wrong. What is wrong in form is left out."""
        base = check_base(tree, self._log)
        entries = tree["chapters"]
        drafts: list[_Draft] = []
        for index, entry in enumerate(entries):
            if index in faults.chapters:
                self.targets.is_whole = False
                continue
            place = entries.item_location(index)
            self.targets.start_chapter(index + 1)
            draft = self._read_chapter(index + 1, entry, place, base, faults.items.get(index, frozenset()))
            if draft is None:
                self.targets.is_whole = False
            else:
                drafts.append(draft)
        preface = self._markdown(tree, "preface")
        for draft in drafts:
            self.targets.check_links(draft.chapter.items, draft.log)
        self.targets.check_blocks(preface, self._log)
        method = Method(
            title=str(tree.get("title", "")),
            subtitle=str(tree.get("subtitle", "")),
            author=str(tree.get("author", "")),
            language=str(tree.get("language", "")),
            cover=tree.get("cover", bool(tree.get("title"))),
            contents=tree.get("contents", True),
            imprint=self._markdown(tree, "imprint"),
            preface=preface,
            chapters=tuple(draft.chapter for draft in drafts),
            chapter_side=Side(tree.get("chapter-start", Side.NEXT.value)),
            edition=Edition(tree.get("for", Edition.TEACHER.value)),
            sign_key=SignKey(tree.get("explain-signs", SignKey.NONE.value)),
            glossary=self._read_glossary(tree),
            indexes=tuple(MethodIndex(name) for name in tree.get("indexes", ())),
            lists_recordings=tree.get("list-recordings", True),
            paper_size=read_paper_size(tree, self._log),
        )
        is_right = not (self._log.has_errors or any(log.has_errors for log in self._logs))
        return method if is_right and not any(reader.elsewhere for reader in self.readers) else None

    def _read_chapter(
        self, number: int, entry: Value, place: Location, base: str, faulty: Set[int]
    ) -> _Draft | None:
        """One chapter, from its file or written in place; None when it cannot be read at all."""
        if isinstance(entry, str):
            return self._read_file(number, entry, place, SourceMap(place), base)
        if "file" in entry and "content" in entry:
            what = "a chapter has a file or its content, not both"
            self._log.error(entry.key_location("content"), what, hint="remove one of them")
            return None
        if "file" in entry:
            return self._read_file(number, str(entry["file"]), entry.value_location("file"), entry, base)
        if "content" not in entry:
            hint = "write content: and its items, or file: and a handout"
            self._log.error(place, "this chapter is empty", hint=hint)
            return None
        if not str(entry.get("title", "")).strip():
            self._log.error(place, "this chapter has no title", hint="title: One string")
        reader = LessonReader(self._lines, self._path, self._log, self.targets, base)
        return self._finish(
            number,
            entry,
            title=str(entry.get("title", "")),
            content=entry["content"],
            reader=reader,
            faulty=faulty,
            place=place,
        )

    def _read_file(
        self, number: int, name: str, place: Location, entry: SourceMap, base: str
    ) -> _Draft | None:
        """A chapter that has a file of its own, which is a handout."""
        path = self._folder / name
        if not is_file(path):
            hint = suggest_file(path, self._path, DOCUMENT_ENDINGS) or PATHS_START
            self._log.error(place, f'there is no file "{name}"', hint=hint)
            return None
        log = file_log(str(path))
        self._logs.append(log)
        tree, lines = load_tree(str(path), log)
        if tree is None:
            return None
        kind = document_kind(tree)
        if kind is not Kind.HANDOUT:
            what = f"this is a {kind.value if kind else 'document without a kind'}, and chapters are handouts"
            log.error(tree.location, what, hint="start with handout: 1")
            return None
        faulty: frozenset[int] | None = frozenset()
        if not check_form(tree, Kind.HANDOUT.value, log):
            faulty = find_faulty(tree, Kind.HANDOUT.value, "content")
        if faulty is None:
            return None
        title = str(entry.get("title", "")) or str(tree.get("title", ""))
        if not title.strip() and not log.has_errors:
            log.error(tree.location, "this chapter has no title", hint="title: One string")
        reader = LessonReader(lines, str(path), log, self.targets, check_base(tree, log) or base)
        return self._finish(
            number,
            entry,
            title=title,
            content=tree["content"],
            reader=reader,
            faulty=faulty,
            place=tree.location,
        )

    def _finish(
        self,
        number: int,
        entry: SourceMap,
        *,
        title: str,
        content: SourceList,
        reader: LessonReader,
        faulty: Set[int],
        place: Location,
    ) -> _Draft:
        """The chapter whose items `reader` reads. Its name stands in the book, in `entry`."""
        self.readers.append(reader)
        name = self.targets.add(entry, Target(TargetKind.CHAPTER, str(number), title), self._log)
        items = reader.read_items(content, faulty)
        return _Draft(Chapter(number, title, name, items, reader.log.file, place), reader.log)

    def _read_glossary(self, tree: SourceMap) -> tuple[Term, ...]:
        glossary = tree.get("glossary")
        if not isinstance(glossary, SourceMap):
            return ()
        terms = []
        for word in glossary:
            meaning = self._markdown(glossary, word)
            if not meaning:
                hint = "write what it means"
                self._log.error(glossary.key_location(word), f'"{word}" is not explained', hint=hint)
            self.targets.check_blocks(meaning, self._log)
            terms.append(Term(word, meaning))
        return tuple(terms)

    def _markdown(self, tree: SourceMap, key: str) -> tuple[Block, ...]:
        """The words under `key` of the book itself; none where there is no such key."""
        if key not in tree:
            return ()
        location = tree.value_location(key)
        line = self._lines[location.line - 1] if 0 < location.line <= len(self._lines) else ""
        below = line[location.column - 1 : location.column] in ("|", ">")
        return read_markdown(str(tree[key]), Location(location.line + 1, 1) if below else location, self._log)
