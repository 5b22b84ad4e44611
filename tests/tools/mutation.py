"""Mistakes to be made in a copy of the program, and the list of those that somebody thought of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import yaml

ROOT = Path(__file__).parents[2]
LIST = Path(__file__).parent / "mutations.yaml"


class Mutation(NamedTuple):
    """A mistake: the file, what is written there, what is put in its place, and what that breaks.

    `at` is the offset of `old` in the file; None where it stands there only once.
    """

    file: str
    old: str
    new: str
    breaks: str
    at: int | None = None

    def apply(self, text: str) -> str:
        """The text of the file with the mistake in it."""
        at = text.index(self.old) if self.at is None else self.at
        return text[:at] + self.new + text[at + len(self.old) :]


def read_mutations(words: Sequence[str] = ()) -> list[Mutation]:
    """The list, or what it has for files whose path holds one of `words`."""
    listed = yaml.safe_load(LIST.read_text("utf-8"))
    return [
        Mutation(file, entry["old"], entry["new"], entry["breaks"])
        for file, entries in listed.items()
        for entry in entries
        if not words or any(word in file for word in words)
    ]


def find_stale(mutations: Sequence[Mutation], root: Path = ROOT) -> Iterator[str]:
    """A sentence for each mistake that cannot be made, for its text does not stand in its file, or not only once."""
    for mutation in mutations:
        file = root / mutation.file
        text = file.read_text("utf-8") if file.is_file() else ""
        if mutation.at is None and text.count(mutation.old) != 1:
            yield f"{mutation.file}: {text.count(mutation.old)} times: {mutation.old!r} (for: {mutation.breaks})"
