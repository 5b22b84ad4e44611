"""What the two archives must hold, and what not: wheel_contents.py CHECKOUT SDIST WHEEL. Ends with 1 and says what is wrong."""

from __future__ import annotations

import sys
import tarfile
import zipfile
from pathlib import Path

UNWANTED = ("__pycache__", ".hypothesis", ".venv", "build/", "dist/", "/out/")
TRAVELS = ("engrave", "schemas", "styles", "samples", "tests")
"""Folders of which every file is in the source archive."""
TOP = ("CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "README.md", "pyproject.toml")
DEVELOPMENT = "engrave/face/"
"""What only contributors need; it stays out of the wheel."""


def files_of(checkout: Path, folder: str) -> set[str]:
    """The files of a folder of the checkout, with / between."""
    paths = (path for path in (checkout / folder).rglob("*") if path.is_file())
    names = {path.relative_to(checkout).as_posix() for path in paths}
    return {name for name in names if not is_unwanted(name)}


def is_unwanted(name: str) -> bool:
    """True for what tools leave behind."""
    return any(part in name for part in UNWANTED)


def faults_of_sdist(checkout: Path, archive: str) -> list[str]:
    """What is wrong with the source archive."""
    with tarfile.open(archive) as file:
        names = {name.partition("/")[2] for name in file.getnames()}
    wanted = {*TOP, ".ci/run", ".ci/wheel"}.union(*(files_of(checkout, folder) for folder in TRAVELS))
    return [f"{name} is missing" for name in sorted(wanted - names)] + [
        f"{name} is there" for name in sorted(filter(is_unwanted, names))
    ]


def faults_of_wheel(checkout: Path, archive: str) -> list[str]:
    """What is wrong with the wheel."""
    with zipfile.ZipFile(archive) as file:
        names = set(file.namelist())
        metadata = file.read(next(name for name in names if name.endswith("/METADATA"))).decode()
    info = next(name for name in names if name.endswith("/METADATA")).removesuffix("METADATA")
    wanted = {name for name in files_of(checkout, "engrave") if not name.startswith(DEVELOPMENT)}
    wanted |= {
        f"engrave/_data/{name.removeprefix('samples/')}"
        for folder in ("schemas", "styles", "samples/guide")
        for name in files_of(checkout, folder)
    }
    wanted |= {f"{info}licenses/LICENSE", f"{info}licenses/engrave/fonts/LICENSE-FACES.txt", f"{info}entry_points.txt"}
    strange = {name for name in names - wanted if not name.startswith(info)}
    heads = ("License-Expression: MIT AND OFL-1.1", "Classifier: Typing :: Typed", "Requires-Python: >=3.11")
    return (
        [f"{name} is missing" for name in sorted(wanted - names)]
        + [f"{name} is there" for name in sorted(strange | set(filter(is_unwanted, names)))]
        + [f'the metadata lack "{line}"' for line in heads if line not in metadata.splitlines()]
    )


def main(checkout: str, sdist: str, wheel: str) -> int:
    faults = [f"{sdist}: {fault}" for fault in faults_of_sdist(Path(checkout), sdist)]
    faults += [f"{wheel}: {fault}" for fault in faults_of_wheel(Path(checkout), wheel)]
    print("\n".join(faults), end="\n" if faults else "", file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
