"""Where results go: names that would surprise, and two results with one name."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from engrave.source.files import is_folder

STREAM = "-"
"""Standard input and output."""
_ENDINGS = {
    "pdf": (".pdf",),
    "svg": (".svg",),
    "png": (".png",),
    "yaml": (".yaml", ".yml"),
    "musicxml": (".musicxml", ".xml"),
    "mxl": (".mxl",),
    "midi": (".mid", ".midi"),
    "wav": (".wav",),
    "text": (".txt",),
    "words": (".txt",),
    "html": (".html", ".htm"),
    "braille": (".brl", ".txt"),
    "brf": (".brf",),
}
"""How files of each form end. A name with another ending than any of these is nobody's business."""


def check_ending(output: str, form: str, choice: bool = True) -> str:
    """What is wrong with a name that ends like another form; `choice` when --as could ask for that form."""
    ending = Path(output).suffix.lower()
    if output == STREAM or is_folder(output) or ending in _ENDINGS[form]:
        return ""
    other = next((name for name, endings in _ENDINGS.items() if ending in endings), "")
    if not other:
        return ""
    usual = Path(output).with_suffix(_ENDINGS[form][0])
    return f"-o {output} ends like {other}, but {form} is written{' (see --as)' if choice else ''}; name it {usual}"


def check_clash(files: Sequence[str], output: str, form: str) -> str:
    """What is wrong with several files in one run: the second result would wipe out the first."""
    if len(files) > 1 and output and not is_folder(output):
        return f"-o {output} must be a folder when there are several files"
    seen: dict[Path, str] = {}
    for file in files:
        target = Path(output or Path(file).parent) / Path(file).stem
        if target in seen:
            return f"{seen[target]} and {file} would both become {target}.{form}"
        seen[target] = file
    return ""


def in_folder(output: str, file: str, form: str) -> str:
    """Where the result of `file` goes: `output`, and where that is a folder, a file in it named after the source."""
    if not output or output == STREAM or not is_folder(output):
        return output
    stem = "score" if file == STREAM else Path(file).stem
    return str(Path(output) / f"{stem}.{form}")
