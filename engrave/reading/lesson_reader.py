"""Lessons with tasks: exercises, their answers, and whole pieces, beside all that `handout_reader` reads."""

from __future__ import annotations

from dataclasses import replace

from engrave.documents import handout as records
from engrave.documents.handout import Item, Target, TargetKind
from engrave.documents.songbook import Side
from engrave.reading.check import check_view
from engrave.reading.handout_reader import HandoutReader
from engrave.reading.recordings import read_recording
from engrave.score.structure import View
from engrave.source.tree import SourceList, SourceMap

_SIDES = {"left": Side.LEFT, "right": Side.RIGHT}


class LessonReader(HandoutReader):
    """Reads a handout, or one chapter of a book."""

    def read_kind(self, kind: str, entry: SourceMap) -> Item | None:
        """The item of one kind that `entry` writes."""
        if kind == "piece":
            return self._read_piece(entry)
        if kind == "exercise":
            return self._read_exercise(entry)
        return super().read_kind(kind, entry)

    def _read_piece(self, entry: SourceMap) -> records.Piece | None:
        """A whole piece, which has no number: it is called by its title."""
        score = self._find_score(entry)
        title = str(entry.get("title", "")) or (score.title if score is not None else "")
        name = self.targets.add(entry, Target(TargetKind.PIECE, "", title), self._log)
        recording = read_recording(entry, self._recordings, self.targets, self._log)
        if score is None:
            return None
        location = entry.value_location("piece")
        if not title:
            hint = "write title: in its score, or beside piece:"
            self._log.error(location, "this piece has no title", hint=hint)
        view = View(entry["view"]) if "view" in entry else None
        check_view(score, view, entry.value_location("view") if view else location, self._log)
        start = str(entry.get("start", ""))
        return records.Piece(
            score=replace(self._seen_in(score, view), title=title),
            view=view,
            title=title,
            name=name,
            start=_SIDES.get(start, Side.NEXT),
            is_on_new_page=bool(start),
            location=location,
            recording=recording,
        )

    def _read_exercise(self, entry: SourceMap) -> records.Exercise | None:
        """A task with its number, and its answer: words, or items of every kind."""
        if self._is_answer:
            hint = "write it as an item of its own"
            self._log.error(entry.value_location("exercise"), "an answer cannot hold an exercise", hint=hint)
            return None
        number = self.targets.take_number(TargetKind.EXERCISE)
        name = self.targets.add(entry, Target(TargetKind.EXERCISE, self.targets.label(number)), self._log)
        blocks = self._markdown(entry, "exercise")
        answer: tuple[Item, ...] = ()
        if isinstance(entry.get("answer"), SourceList):
            self._is_answer = True
            answer = self.read_items(entry["answer"])
            self._is_answer = False
        elif "answer" in entry:
            answer = (records.Words(self._markdown(entry, "answer")),)
        return records.Exercise(number, blocks, name, answer, entry.value_location("exercise"))
