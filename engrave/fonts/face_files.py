"""Which file holds which face. The names on the left are the ones that styles and marks use."""

from __future__ import annotations

from difflib import get_close_matches
from importlib.util import find_spec
from pathlib import Path

MUSIC_FACE = "music"
MUSIC_FONT_FILE = Path(__file__).parent / "data" / "EngraveMusic.ttf"
MUSIC_METRICS_FILE = Path(__file__).parent / "data" / "EngraveMusic.json"

FIXED_FONT_FILE = Path(__file__).parent / "data" / "FixedWidth.ttf"

_SERIF = "font_source_serif_pro"
_SANS = "font_source_sans_pro"

_TEXT_FILES = {
    "serif": (_SERIF, "SourceSerifPro-Regular.ttf"),
    "serif-bold": (_SERIF, "SourceSerifPro-Bold.ttf"),
    "serif-italic": (_SERIF, "SourceSerifPro-It.ttf"),
    "serif-bold-italic": (_SERIF, "SourceSerifPro-BoldIt.ttf"),
    "sans": (_SANS, "SourceSansPro-Regular.ttf"),
    "sans-bold": (_SANS, "SourceSansPro-Bold.ttf"),
    "sans-italic": (_SANS, "SourceSansPro-It.ttf"),
    "sans-bold-italic": (_SANS, "SourceSansPro-BoldIt.ttf"),
    "sans-semibold": (_SANS, "SourceSansPro-Semibold.ttf"),
}

_FIXED = "fixed"
FACE_NAMES: tuple[str, ...] = (*_TEXT_FILES, _FIXED, MUSIC_FACE)
"""Every name that a text may ask for; the last one is the music face, for signs inside chord names."""


class UnknownFace(Exception):
    """A mark asks for a face that does not exist, or a face's package is not installed."""


def face_file(name: str) -> Path:
    """The TrueType file of the face called `name`. Raises `UnknownFace`.

    The package is located, not imported: importing it would list its directory several times.
    """
    if name == MUSIC_FACE:
        return MUSIC_FONT_FILE
    if name == _FIXED:
        return FIXED_FONT_FILE
    if name not in _TEXT_FILES:
        nearest = get_close_matches(name, FACE_NAMES, n=1)
        hint = f'did you mean "{nearest[0]}"?' if nearest else "known faces: " + ", ".join(FACE_NAMES)
        raise UnknownFace(f'there is no face called "{name}"; {hint}')
    package, file_name = _TEXT_FILES[name]
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise UnknownFace(
            f'the face "{name}" needs the package {package.replace("_", "-")}, which is not installed'
        )
    return Path(spec.origin).parent / "files" / file_name
