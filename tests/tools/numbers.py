"""Is every number of taste seen? Changes each number of styles/base.yaml in turn and looks for a case that notices.

python -m tests.tools.numbers             all of them
python -m tests.tools.numbers beams       those of some sections

Prints the numbers that no case notices, whatever is put in their place.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import NamedTuple

from engrave.layout.octave_lines import OCTAVE_LINES
from engrave.score.sign_list import HAIRPINS
from engrave.style import load
from tests.pages.case_files import case_names, dump_case, read_accepted

_NUMBER = re.compile(r"(?<![\w.\"])\d+(?:\.\d+)?(?![\w.])")
_CHANGES = (1.15, 0.8, 1.6, 3.0, 0.0)
"""What a number is multiplied by."""
_STEPS = (1, -1, 20)
"""What is added to one that is written without a point."""
_IDLE = frozenset(name for name, sign in load.load_style("")[0].signs.items() if not sign.stands_outside) | {
    *OCTAVE_LINES,
    *HAIRPINS,
}
"""Signs whose order says nothing: their place is a matter of rule."""
_RECENT = 12
"""So many cases that noticed something lately are tried first."""


class StyleNumber(NamedTuple):
    """A number in the text of a style: its section, its line, and where it starts and ends in the whole text."""

    section: str
    line: str
    start: int
    stop: int


def find_numbers(text: str) -> Iterator[StyleNumber]:
    """Every number of a style but its version."""
    section, at = "", 0
    for line in text.splitlines(keepends=True):
        content = line.partition("#")[0]
        if not line.startswith((" ", "#")):
            section = content.partition(":")[0].strip()
        for match in _NUMBER.finditer(content if section != "style" else ""):
            yield StyleNumber(section, " ".join(content.split()), at + match.start(), at + match.end())
        at += len(line)


def is_idle(place: StyleNumber) -> bool:
    """True for the order of a sign whose place does not follow from it."""
    return place.section == "signs" and place.line.partition(":")[0] in _IDLE


def judge(places: Sequence[StyleNumber], text: str) -> list[StyleNumber]:
    """Those of `places` that no case notices."""
    names, recent, unseen = case_names(), [], []
    accepted = {name: read_accepted(name) for name in names}
    shipped = load.style_file
    with tempfile.TemporaryDirectory() as folder:
        changed = Path(folder) / "base.yaml"
        load.style_file = lambda name: changed if name == "base" else shipped(name)
        for place in places:
            order = [*recent, *(name for name in names if name not in recent)]
            found = next(
                (name for new in _variants(place, text) if (name := _first(new, changed, order, accepted))),
                "",
            )
            if found:
                recent = [found, *(name for name in recent if name != found)][:_RECENT]
            else:
                unseen.append(place)
    load.style_file = shipped
    _forget()
    return unseen


def _forget() -> None:
    """Nothing is remembered of the style before."""
    for known in vars(load).values():
        if hasattr(known, "cache_clear"):
            known.cache_clear()


def _variants(place: StyleNumber, text: str) -> Iterator[str]:
    """The style with other numbers in one place."""
    old = float(text[place.start : place.stop])
    values = [old * change for change in _CHANGES]
    if "." not in text[place.start : place.stop]:
        values = [old + step for step in _STEPS] + [old * change for change in (3, 0)]
    for value in dict.fromkeys([*values, *([] if old else [0.6])]):
        if value >= 0 and value != old:
            yield f"{text[: place.start]}{value:g}{text[place.stop :]}"


def _first(text: str, file: Path, order: Sequence[str], accepted: dict[str, str]) -> str:
    """The first case whose pages are other than accepted under a style; "" where there is none."""
    file.write_text(text, "utf-8")
    _forget()
    for name in order:
        try:
            if dump_case(name) != accepted[name]:
                return name
        except ValueError:
            return name
    return ""


def main() -> int:
    """Judge all numbers and name the unseen ones."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.tools.numbers", description=__doc__.partition("\n")[0]
    )
    parser.add_argument("sections", nargs="*", help="only these sections of the style")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="processes")
    wish = parser.parse_args()
    start = time.monotonic()
    text = load.style_file("base").read_text("utf-8")
    places = [
        p for p in find_numbers(text) if not is_idle(p) and (not wish.sections or p.section in wish.sections)
    ]
    shares = [places[number :: wish.jobs] for number in range(wish.jobs)]
    with ProcessPoolExecutor(wish.jobs) as pool:
        unseen = [place for found in pool.map(judge, shares, [text] * wish.jobs) for place in found]
    for place in unseen:
        print(f"unseen: {place.section}: {place.line}")
    minutes = (time.monotonic() - start) / 60
    print(f"{len(places) - len(unseen)} of {len(places)} numbers noticed in {minutes:.1f} minutes")
    return 1 if unseen else 0


if __name__ == "__main__":
    sys.exit(main())
