"""Files about hands, based on each other, laid over each other into the values of one record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from engrave.problems import Location, Problem, ProblemLog, did_you_mean
from engrave.settings.kinds import Kind
from engrave.settings.layers import Form, Layering, Values, build
from engrave.settings.shipped import names_in, shipped_file
from engrave.source.files import DOCUMENT_ENDINGS, is_file, read_text, suggest_file
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap

_MOST_BASES = 8
"""Hands based on each other, at most (safety limit)."""


class WrongHand(ValueError):
    """A hand that cannot be used: `problems` has all the reasons."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = tuple(problems)


class HandFiles(NamedTuple):
    """One sort of hand: the folder under `styles/` whose files travel with the program, and what is in a file.

    `noun` is what one is called ("hand"), `header` the key that a file starts with, `usual` one to be based on.
    """

    folder: str
    noun: str
    header: str
    records: Mapping[str, Kind]
    usual: str

    @property
    def names(self) -> tuple[str, ...]:
        """Those that travel with the program, in alphabetical order."""
        return names_in(self.folder)

    def log_of(self, name: str) -> ProblemLog:
        """An empty log for the hand called `name`, or in the file `name`."""
        return ProblemLog(f"{self.noun} {name}" if name in self.names else name)

    def load(self, name: str) -> dict[str, Any]:
        """The records of the hand called `name`, or in the file `name`, by their fields.

        Raises WrongHand with all reasons when it is wrong, ValueError when there is none.
        """
        log = self.log_of(name)
        form = Form(f"a {self.noun} file", self.records, header=(self.header, "based-on"))
        values: Values = {}
        self._overlay(name, form, values, 0)
        built = build(self.records, values, log, form, hint=f"write it, or based-on: {self.usual}")
        if log.has_errors:
            raise WrongHand(log.problems)
        return built

    def _overlay(self, name: str, form: Form, values: Values, depth: int) -> None:
        path = shipped_file(self.folder, f"{name}.yaml") if name in self.names else Path(name)
        log = ProblemLog(str(path))
        if not is_file(path):
            is_path = path.suffix.lower() in DOCUMENT_ENDINGS
            hint = suggest_file(path, endings=DOCUMENT_ENDINGS) if is_path else did_you_mean(name, self.names)
            raise ValueError(f'there is no {self.noun} "{name}"' + (f"; {hint}" if hint else ""))
        text = read_text(str(path), log)
        tree = parse_yaml(text, log) if text is not None else None
        if isinstance(tree, SourceMap) and tree.get(self.header) == 1:
            base = tree.get("based-on")
            if base is not None:
                if depth >= _MOST_BASES:
                    what = f"these {self.noun}s are based on each other in a circle"
                    log.error(tree.value_location("based-on"), what)
                    raise WrongHand(log.problems)
                self._overlay(str(base), form, values, depth + 1)
            Layering(form, log, {}).lay(tree, values)
        elif not log.has_errors:
            log.error(Location(1, 1), f"this is not a {self.noun} file", hint=f"start with {self.header}: 1")
        if log.has_errors:
            raise WrongHand(log.in_order())
