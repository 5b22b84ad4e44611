"""What links in the words of a document lead to: the names of its examples, exercises, pieces and chapters."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from engrave.documents.handout import Item, Target, TargetKind, links_of
from engrave.problems import Location, ProblemLog, did_you_mean
from engrave.score.rich_text import PAGE, Block, Run, runs_of
from engrave.source.tree import SourceMap


class _Place(NamedTuple):
    """Where a name was given."""

    file: str
    location: Location


class Targets:
    """Counts examples, exercises and tracks, and keeps their names. In a book the first two start anew in each chapter."""

    def __init__(self) -> None:
        """Nothing is named yet."""
        self.found: dict[str, Target] = {}
        self.is_whole = True
        """False where some of the document could not be read, so that its names are not known."""
        self._places: dict[str, _Place] = {}
        self._numbers: dict[TargetKind, int] = {}
        self._prefix = ""
        self._tracks = 0

    def start_chapter(self, number: int) -> None:
        """Count from 1 again, as chapter `number` does."""
        self._numbers = {}
        self._prefix = f"{number}."

    def take_number(self, kind: TargetKind) -> int:
        """The next number of this kind."""
        self._numbers[kind] = self._numbers.get(kind, 0) + 1
        return self._numbers[kind]

    def take_track(self) -> int:
        """The next number of a recording."""
        self._tracks += 1
        return self._tracks

    def label(self, number: int) -> str:
        """A number as it is printed, "3.2" in a chapter."""
        return f"{self._prefix}{number}"

    def add(self, entry: SourceMap, target: Target, log: ProblemLog) -> str:
        """Note the name of `entry`, if it has one, and give it back; a name that is taken goes to `log`."""
        name = str(entry.get("name", ""))
        if not name:
            return ""
        location = entry.value_location("name")
        if name in self.found:
            first = self._places[name]
            both = f"{_PLURALS[target.kind]} are" if self.found[name].kind is target.kind else "things are"
            where = (
                f", the first in {first.file}, line {first.location.line}" if first.file != log.file else ""
            )
            log.error(location, f'two {both} called "{name}"{where}', hint="give one of them another name")
            return name
        self.found[name] = target
        self._places[name] = _Place(log.file, location)
        return name

    def check_links(self, items: Iterable[Item], log: ProblemLog) -> None:
        """Every [](#name) in the words of `items` must name something."""
        self._check(links_of(items), log)

    def check_blocks(self, blocks: Iterable[Block], log: ProblemLog) -> None:
        """The same for words that belong to no item."""
        self._check(runs_of(blocks), log)

    def _check(self, links: Iterable[tuple[Run, Location]], log: ProblemLog) -> None:
        """What is not known because it could not be read is passed over."""
        for run, location in links:
            if not run.link.startswith("#") or not self.is_whole:
                continue
            name = run.link[1:].removeprefix(PAGE)
            if name not in self.found:
                nothing = "nothing has a name" if self._prefix else "no example has a name"
                hint = did_you_mean(name, self.found) if self.found else nothing
                what = "nothing" if self._prefix else "no example"
                log.error(location, f'{what} is called "{name}"', hint=hint)


_PLURALS = {
    TargetKind.EXAMPLE: "examples",
    TargetKind.EXERCISE: "exercises",
    TargetKind.PIECE: "pieces",
    TargetKind.CHAPTER: "chapters",
}
