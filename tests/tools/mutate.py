"""Does the net of tests/pages hold? Puts mistakes into copies of the program and sees whether its tests notice.

python -m tests.tools.mutate                   every mistake of tests/tools/mutations.yaml
python -m tests.tools.mutate slope tuplets     those of files whose name holds one of these words
python -m tests.tools.mutate --random 100      so many drawn at random from all of the layout code (--seed N: others)
python -m tests.tools.mutate --jobs 2          in so many processes (as many as the machine has)

The copies lie in a folder of their own that is removed at the end; the working tree is left alone. The exit status is 1
where fewer than 95 % are noticed, or where a mistake no longer fits its file.
"""

from __future__ import annotations

import argparse
import compileall
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue
from typing import NamedTuple

from tests.tools.mutation import ROOT, Mutation, find_stale, read_mutations
from tests.tools.random_mutations import draw_mutations

COPIED = ("engrave", "styles", "schemas", "samples", "tests", "pyproject.toml")
STAGES = (
    ("dumps", ("tests/pages/test_cases.py",)),
    ("pictures", ("tests/pages/test_pictures.py",)),
    ("layout tests", ("tests/layout", "tests/test_page_breaking.py", "tests/test_total_fit.py")),
)
"""What is run, one after the other, until one notices: the quickest first."""
WANTED = 0.95
PATIENCE = 300
"""Seconds after which a run counts as hanging, which is noticed, too."""


class Outcome(NamedTuple):
    """What noticed a mistake ("" for nothing), and how it said so."""

    mutation: Mutation
    noticed_by: str
    said: str


class Copy:
    """A copy of the tree in which mistakes are made one after the other."""

    def __init__(self, folder: Path) -> None:
        """Copy what the tests need to `folder`."""
        self._folder = folder
        for name in COPIED:
            source = ROOT / name
            if source.is_dir():
                shutil.copytree(source, folder / name, ignore=shutil.ignore_patterns("__pycache__", ".*"))
            else:
                shutil.copy(source, folder / name)
        for name in ("engrave", "tests"):
            compileall.compile_dir(str(folder / name), quiet=2)

    def run(self, paths: Sequence[str]) -> tuple[bool, str]:
        """Run tests until one fails: whether all passed, and which one failed."""
        command = [
            sys.executable,
            "-m",
            "pytest",
            "-x",
            "-q",
            "-n",
            "0",
            "-p",
            "no:cacheprovider",
            "--tb=no",
            *paths,
        ]
        surroundings = {**os.environ, "PYTHONPATH": str(self._folder), "PYTHONDONTWRITEBYTECODE": "1"}
        try:
            done = subprocess.run(
                command,
                cwd=self._folder,
                env=surroundings,
                capture_output=True,
                text=True,
                timeout=PATIENCE,
                check=False,
            )
        except subprocess.TimeoutExpired:
            return False, "hangs"
        failed = re.search(r"^(?:FAILED|ERROR) \S*?(?:::)?([^:\s]*)(?: - .*)?$", done.stdout, re.MULTILINE)
        said = f"{done.stdout}{done.stderr}".strip()[-200:]
        return done.returncode == 0, failed.group(1) if failed else said

    def judge(self, mutation: Mutation) -> Outcome:
        """Make a mistake, see what notices it, and take it back."""
        file = self._folder / mutation.file
        right = file.read_text("utf-8")
        for compiled in (file.parent / "__pycache__").glob(f"{file.stem}.*.pyc"):
            compiled.unlink()
        file.write_text(mutation.apply(right), "utf-8")
        try:
            for name, paths in STAGES:
                passed, said = self.run(paths)
                if not passed:
                    return Outcome(mutation, name, said)
            return Outcome(mutation, "", "")
        finally:
            file.write_text(right, "utf-8")


def judge_all(mutations: Sequence[Mutation], jobs: int) -> Iterator[Outcome]:
    """The outcome of every mistake, as they come."""
    with tempfile.TemporaryDirectory(prefix="mutations-") as folder:
        copies: Queue[Copy] = Queue()
        for number in range(jobs):
            copies.put(Copy(Path(folder) / str(number)))
        untouched = copies.get()
        for _, paths in STAGES:
            passed, said = untouched.run(paths)
            if not passed:
                sys.exit(f"the tests fail without any mistake: {said}")
        copies.put(untouched)

        def judge(mutation: Mutation) -> Outcome:
            copy = copies.get()
            try:
                return copy.judge(mutation)
            finally:
                copies.put(copy)

        with ThreadPoolExecutor(jobs) as pool:
            yield from pool.map(judge, mutations)


def main() -> int:
    """Judge the list and say what was noticed."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.tools.mutate", description=__doc__.partition("\n")[0]
    )
    parser.add_argument("words", nargs="*", help="only files whose path holds one of these")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="processes")
    parser.add_argument(
        "--random", type=int, metavar="N", help="so many small mistakes at random instead of the list"
    )
    parser.add_argument("--seed", type=int, default=1, metavar="N", help="which ones those are")
    wish = parser.parse_args()
    mutations = draw_mutations(wish.random, wish.seed) if wish.random else read_mutations(wish.words)
    stale = list(find_stale(mutations))
    if stale:
        print(
            "These mistakes no longer fit their files; bring tests/tools/mutations.yaml up to date:",
            *stale,
            sep="\n",
        )
        return 1
    start = time.monotonic()
    outcomes = []
    for outcome in judge_all(mutations, wish.jobs):
        outcomes.append(outcome)
        how = f"{outcome.noticed_by}: {outcome.said}" if outcome.noticed_by else "SURVIVED"
        print(f"{len(outcomes):>4} of {len(mutations)}  {outcome.mutation.breaks}  [{how}]", flush=True)
    return _report(outcomes, time.monotonic() - start)


def _report(outcomes: Sequence[Outcome], seconds: float) -> int:
    """A table by file, then the survivors; the exit status."""
    stages = [name for name, _ in STAGES]
    print(f"\n{'file':<48}" + "".join(f"{name:>14}" for name in stages) + f"{'survived':>14}")
    for file in dict.fromkeys(outcome.mutation.file for outcome in outcomes):
        counts = Counter(outcome.noticed_by for outcome in outcomes if outcome.mutation.file == file)
        print(f"{file:<48}" + "".join(f"{counts[name] or '':>14}" for name in (*stages, "")))
    survivors = [outcome.mutation for outcome in outcomes if not outcome.noticed_by]
    share = 1 - len(survivors) / len(outcomes)
    print(
        f"\n{len(outcomes) - len(survivors)} of {len(outcomes)} noticed ({share:.1%}) in {seconds / 60:.1f} minutes"
    )
    for mutation in survivors:
        print(f"survived: {mutation.file}: {mutation.breaks}\n    {mutation.old!r}\n    {mutation.new!r}")
    return 0 if share >= WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
