"""A handout from its tree: every item read, its music found, its references checked."""

from __future__ import annotations

from collections.abc import Set
from pathlib import Path

from engrave.documents import handout as records
from engrave.documents.edition import Edition
from engrave.documents.handout import Handout, Item, Target, TargetKind
from engrave.documents.kind import Kind
from engrave.documents.paper import SystemKind
from engrave.problems import Location, Problem, ProblemLog
from engrave.reading.check import check_view
from engrave.reading.header import read_paper_size
from engrave.reading.instruments import read_instrument
from engrave.reading.load import document_kind, file_log, load_tree, read_score_tree, read_tree
from engrave.reading.necks import read_necks
from engrave.reading.paper_reader import check_strung, read_blank_instrument
from engrave.reading.pictures import ReadPicture, read_picture
from engrave.reading.recordings import check_base, read_recording
from engrave.reading.rich_text import MOST_LETTERS, read_markdown, refuse_length, split_typed
from engrave.reading.settle import USUAL_HAND
from engrave.reading.shapes import read_shapes
from engrave.reading.targets import Targets
from engrave.score.excerpt import excerpt, find_measures
from engrave.score.rich_text import Block
from engrave.score.seen import seen_in
from engrave.score.structure import Score, View
from engrave.source.files import DOCUMENT_ENDINGS, PATHS_START, is_file, suggest_file
from engrave.source.tree import SourceList, SourceMap
from engrave.theory.instrument import PRESETS

_KINDS = (
    "text",
    "music",
    "typed",
    "neck",
    "piece",
    "exercise",
    "beside",
    "shapes",
    "blank",
    "explain-signs",
    "tip",
    "caution",
    "picture",
    "page",
)
"""The keys that say what an item is; one to an item."""
_BESIDE_KIND = {
    "measures": "music or typed", "view": "music or typed or piece", "caption": "music or typed or neck or picture",
    "name": "music or typed or neck or piece or exercise", "recording": "music or typed or piece", "title": "piece", "start": "piece",
    "answer": "exercise", "difficulty": "music or typed", "leave-out": "music or typed", "engraved": "typed",
    "left-handed": "shapes or neck", "instrument": "shapes or neck", "tuning": "neck", "alt": "picture", "width": "picture",
}  # fmt: skip


class HandoutReader:
    """Reads one handout; problems in other files are kept apart from its own."""

    def __init__(
        self,
        lines: list[str],
        path: str,
        log: ProblemLog,
        targets: Targets | None = None,
        recordings: str = "",
    ) -> None:
        """`path` is the handout's file, beside which other files are looked for.

        `targets` are those of the book that it is a chapter of, `recordings` the address under which the book's are found.
        """
        self._lines = lines
        self._path = path
        self._folder = Path(path).parent if path not in ("", "-") else Path()
        self._log = log
        self._letters = 0
        self._is_answer = False
        self._recordings = recordings
        self.targets = targets or Targets()
        self._scores: dict[Path, Score | None] = {}
        self._seen: dict[tuple[int, View | None], Score] = {}
        self._pictures: dict[Path, ReadPicture] = {}
        self.elsewhere: list[Problem] = []
        self.files: list[tuple[Score, list[str]]] = []
        """The scores, each with the lines of its file."""

    @property
    def log(self) -> ProblemLog:
        """Where its problems go."""
        return self._log

    @property
    def lines(self) -> list[str]:
        """The lines of its file."""
        return self._lines

    def read(self, tree: SourceMap, faulty: Set[int] = frozenset()) -> Handout | None:
        """The handout of a tree; None when something is wrong. Items whose form is wrong are `faulty` and left out."""
        language = str(tree.get("language", ""))
        self._recordings = check_base(tree, self._log)
        items = self.read_items(tree["content"], faulty)
        self.targets.check_links(items, self._log)
        paper_size = read_paper_size(tree, self._log)
        if self._log.has_errors or self.elsewhere:
            return None
        return Handout(
            title=str(tree.get("title", "")),
            lesson=str(tree.get("lesson", "")),
            level=str(tree.get("level", "")),
            date=str(tree.get("date", "")),
            student=tree.get("student", False),
            language=language,
            style=str(tree.get("style", "")),
            items=items,
            paper_size=paper_size,
            edition=Edition(tree.get("for", Edition.TEACHER.value)),
        )

    def read_items(self, content: SourceList, faulty: Set[int] = frozenset()) -> tuple[Item, ...]:
        """The items of a list; those whose form is wrong are `faulty` and left out."""
        if faulty:
            self.targets.is_whole = False
        found = [
            self._read_item(entry, content.item_location(index))
            for index, entry in enumerate(content)
            if index not in faulty
        ]
        return tuple(item for item in found if item is not None)

    def _read_item(self, entry: SourceMap, location: Location) -> Item | None:
        kinds = [key for key in _KINDS if key in entry]
        if len(kinds) != 1:
            if "answer" in entry and not kinds:
                hint = "write it beside exercise:"
                self._log.error(entry.key_location("answer"), "this answer has no exercise", hint=hint)
                return None
            what = (
                f"an item cannot be {' and '.join(kinds)} at once"
                if kinds
                else f"this item has only {' and '.join(entry)}"
            )
            self._log.error(location, what, hint=f"write one of {', '.join(_KINDS[:-1])} or {_KINDS[-1]}")
            return None
        (kind,) = kinds
        for key, owner in _BESIDE_KIND.items():
            if key in entry and kind not in owner.split(" or "):
                self._log.error(
                    entry.key_location(key),
                    f'"{key}" does not belong to {kind}',
                    hint=f"it belongs to {owner.replace(' or ', ', ', owner.count(' or ') - 1)}",
                )
        return self.read_kind(kind, entry)

    def read_kind(self, kind: str, entry: SourceMap) -> Item | None:
        """The item of one kind that `entry` writes."""
        if kind == "text":
            return records.Words(self._markdown(entry, "text"))
        if kind in ("tip", "caution"):
            return records.BoxedText(kind, self._markdown(entry, kind))
        if kind == "music":
            return self._read_music(entry)
        if kind == "typed":
            return self._read_typed(entry)
        if kind == "neck":
            return self._read_necks(entry)
        if kind == "beside":
            items = tuple(self._read_example(example) for example in entry["beside"])
            return records.Beside(tuple(item for item in items if item is not None))
        if kind == "shapes":
            instrument = read_instrument(entry, self._log, PRESETS["guitar"])
            shapes = read_shapes(entry["shapes"], instrument, self._log)
            if not shapes and not self._log.has_errors:
                hint = "for example: {G: 3 2 0 0 0 3}"
                self._log.error(entry.value_location("shapes"), "there is no chord shape here", hint=hint)
            return records.Shapes(shapes, entry.get("left-handed", False))
        if kind == "blank":
            return self._read_blank(entry["blank"])
        if kind == "explain-signs":
            return records.Signs()
        if kind == "picture":
            return self._read_picture(entry)
        return records.NewPage()

    def _markdown(self, entry: SourceMap, key: str) -> tuple[Block, ...]:
        """The words under `key`; those of a block literal start on the line after the key."""
        location = entry.value_location(key)
        text = str(entry[key])
        before, self._letters = self._letters, self._letters + len(text)
        if self._letters > MOST_LETTERS:
            if before <= MOST_LETTERS:
                refuse_length(location, self._log)
            return ()
        line = self._lines[location.line - 1] if 0 < location.line <= len(self._lines) else ""
        below = line[location.column - 1 : location.column] in ("|", ">")
        return read_markdown(text, Location(location.line + below, 1) if below else location, self._log)

    def _read_typed(self, entry: SourceMap) -> records.TypedMusic | None:
        lines = split_typed(str(entry["typed"]))
        if not entry.get("engraved", True):
            return records.TypedMusic(lines, None)
        music = self._read_music(entry)
        return records.TypedMusic(lines, music) if music is not None else None

    def _read_example(self, entry: SourceMap) -> records.Music | records.Necks | None:
        """One of several examples that stand side by side."""
        if "neck" in entry and "music" in entry:
            hint = "write one of them, and the other as an example of its own"
            self._log.error(entry.location, "an example cannot be music and neck at once", hint=hint)
            return None
        return self._read_necks(entry) if "neck" in entry else self._read_music(entry)

    def _read_necks(self, entry: SourceMap) -> records.Necks | None:
        number = self._take_number(entry)
        instrument = read_instrument(entry, self._log, PRESETS["guitar"])
        diagrams = read_necks(entry["neck"], entry.value_location("neck"), instrument, self._log)
        return records.Necks(
            diagrams=diagrams,
            left_handed=entry.get("left-handed", False),
            caption=str(entry.get("caption", "")),
            number=number,
            name=str(entry.get("name", "")),
            location=entry.value_location("neck"),
        )

    def _read_music(self, entry: SourceMap) -> records.Music | None:
        number = self._take_number(
            entry
        )  # first of all: a broken example still has a name that the text may use
        recording = read_recording(entry, self._recordings, self.targets, self._log)
        score = self._find_score(entry)
        if score is None:
            return None
        view = View(entry["view"]) if "view" in entry else None
        check_view(
            score,
            view,
            entry.value_location("view" if view else "typed" if "typed" in entry else "music"),
            self._log,
        )
        rated, score = score, self._seen_in(score, view)  # the tune of an excerpt is that of the whole
        if "measures" in entry:
            try:
                measures = find_measures(score, str(entry["measures"]))
                rated, score = excerpt(rated, *measures), excerpt(score, *measures)
            except ValueError as error:
                self._log.error(entry.value_location("measures"), str(error))
                return None
        left_out = self._read_left_out(entry, score, view)
        name, caption = str(entry.get("name", "")), str(entry.get("caption", ""))
        difficulty, level = self._rate(entry, rated) if entry.get("difficulty") else ((), 0.0)
        return records.Music(
            score=score,
            view=view,
            caption=caption,
            number=number,
            name=name,
            location=entry.location,
            difficulty=difficulty,
            level=level,
            recording=recording,
            left_out=left_out,
        )

    def _read_left_out(self, entry: SourceMap, score: Score, view: View | None) -> records.LeftOut | None:
        """What is left out for students; something must be left to look at, and a place to write in."""
        if "leave-out" not in entry:
            return None
        location, left_out = entry.value_location("leave-out"), records.LeftOut(entry["leave-out"])
        fretted = any(part.is_fretted for part in score.parts)
        shown = view or score.view
        if not fretted:
            self._log.error(location, f"music without strings has no {left_out.value} to leave out here")
        elif left_out is not records.LeftOut.RHYTHM and shown is not View.STAFF_AND_TAB:
            what = f"{left_out.value} are left out where staff and tab are shown, and this is view: {shown.value}"
            self._log.error(location, what, hint="write view: staff+tab, or remove leave-out:")
        return left_out

    def _seen_in(self, score: Score, view: View | None) -> Score:
        """The score as a view shows it; of each score each view is made once."""
        key = id(score), view  # scores are kept in `files`, so that no other can have the same
        if key not in self._seen:
            self._seen[key] = seen_in(score, view)
        return self._seen[key]

    def _take_number(self, entry: SourceMap) -> int:
        """The number of an example that has a name or a caption, 0 for others; its name is noted."""
        if not entry.get("name") and not entry.get("caption"):
            return 0
        if self._is_answer:
            key = "name" if "name" in entry else "caption"
            what = "what stands in an answer has no number of its own"
            self._log.error(entry.key_location(key), what, hint=f"remove {key}:")
            return 0
        number = self.targets.take_number(TargetKind.EXAMPLE)
        self.targets.add(entry, Target(TargetKind.EXAMPLE, self.targets.label(number)), self._log)
        return number

    def _rate(self, entry: SourceMap, score: Score) -> tuple[tuple[tuple[int, float], ...], float]:
        """The difficulty of each measure of an example, and of all of it."""
        from engrave.fingering.difficulty import rate_piece, rate_score
        from engrave.fingering.hand import load_hand

        measures = rate_score(score, load_hand(USUAL_HAND))
        if not measures:
            location = entry.key_location("difficulty")
            self._log.error(location, "music without strings has no difficulty", hint="remove difficulty:")
        numbers = tuple((m.number, rated.number) for m, rated in zip(score.measures, measures))
        return numbers, rate_piece(measures)

    def _find_score(self, entry: SourceMap) -> Score | None:
        if "typed" in entry:
            return self._find_typed(entry)
        key = "piece" if "piece" in entry else "music"
        content = entry[key]
        if isinstance(content, SourceMap):
            if "score" not in content:
                content.put("score", content.location, 1, content.location)
            score = read_score_tree(content, self._lines, self._log)
            self._note(score, self._lines)
            return score
        path = self._folder / str(content)
        if not is_file(path):
            hint = suggest_file(path, self._path, DOCUMENT_ENDINGS) or PATHS_START
            self._log.error(entry.value_location(key), f'there is no file "{content}"', hint=hint)
            return None
        if path not in self._scores:  # a lesson takes one tune to pieces: its file is read once
            log = file_log(str(path))
            tree, lines = load_tree(str(path), log)
            score = self._scores[path] = None if tree is None else read_score_tree(tree, lines, log)
            if score is None:
                self.elsewhere.extend(log.in_order())
            self._note(score, lines)
        return self._scores[path]

    def _find_typed(self, entry: SourceMap) -> Score | None:
        """The score that is typed in the document; what is wrong with it is told where it stands there."""
        location, text = entry.value_location("typed"), str(entry["typed"])
        line = self._lines[location.line - 1] if 0 < location.line <= len(self._lines) else ""
        first = location.line + (line[location.column - 1 : location.column] in ("|", ">"))
        typed = text.split("\n")
        written = self._lines[first - 1] if first <= len(self._lines) else ""
        inset = max(0, len(written) - len(written.lstrip()) - len(typed[0]) + len(typed[0].lstrip()))
        tree = read_tree("\n" * (first - 1) + "\n".join(" " * inset + row for row in typed), self._log)
        if tree is None:
            return None
        if document_kind(tree) is not Kind.SCORE:
            hint = "engraved: false prints it without engraving it"
            self._log.error(location, "only a score can be engraved here", hint=hint)
            return None
        score = read_score_tree(tree, self._lines, self._log)
        self._note(score, self._lines)
        return score

    def _note(self, score: Score | None, lines: list[str]) -> None:
        if score is not None:
            self.files.append((score, lines))

    def _read_blank(self, entry: SourceMap) -> records.Blank:
        instrument = read_blank_instrument(entry, self._log)
        kind = SystemKind(entry.get("kind", "tab" if instrument.strings else "staff"))
        check_strung(entry, [kind], instrument, self._log)
        return records.Blank(
            kind,
            instrument,
            entry.get("measures", 0),
            entry.get("systems", 1),
        )

    def _read_picture(self, entry: SourceMap) -> records.Picture | None:
        location = entry.value_location("picture")
        if not str(entry.get("alt", "")).strip():
            self._log.error(location, "this picture has no description", hint="write alt: and what it shows")
        path = self._folder / str(entry["picture"])
        try:
            picture = self._pictures[path] = self._pictures.get(path) or read_picture(path)
        except ValueError as error:
            self._log.error(location, str(error))
            return None
        return records.Picture(
            picture.data,
            picture.size,
            str(entry.get("alt", "")),
            float(entry.get("width", 0.0)),
            str(entry.get("caption", "")),
            picture.turn,
        )
