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

_LENDERS = {
    "serif-italic": ("serif-italic-lent", "fontpkg_source_serif_4", "SourceSerif4-Italic[opsz,wght].ttf"),
    "serif-bold-italic": ("serif-bold-slanted", _SERIF, "SourceSerifPro-Bold.ttf"),
    "sans-italic": ("sans-slanted", _SANS, "SourceSansPro-Regular.ttf"),
    "sans-bold-italic": ("sans-bold-slanted", _SANS, "SourceSansPro-Bold.ttf"),
}
"""What letters come from that an italic lacks, Greek and Cyrillic ones above all: the next drawing of the same italic, or
the upright face, slanted, where no package has an italic of both that is no variable font of a hair's weight."""

LENT_FROM = {face: lender for face, (lender, _, _) in _LENDERS.items()}
"""The face that lends an italic what it lacks."""

SLANTED = "-slanted"
"""How the name of a slanted face ends; what stands before it is the upright face that is drawn."""

SLANT = 0.2126
"""How far a slanted face leans to the right, as a share of the height: 12 degrees (fact: the angle of Source Sans Pro Italic)."""

_FIXED = "fixed"
FACE_NAMES: tuple[str, ...] = (*_TEXT_FILES, _FIXED, MUSIC_FACE)
"""Every name that a text may ask for; the last one is the music face, for signs inside chord names."""

ALL_FACES: tuple[str, ...] = (*FACE_NAMES, *LENT_FROM.values())
"""Every face that a page may hold, those that only lend letters too."""

_FILES = {**_TEXT_FILES, **{lender: (package, file) for lender, package, file in _LENDERS.values()}}


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
    if name not in _FILES:
        nearest = get_close_matches(name, FACE_NAMES, n=1)
        hint = f'did you mean "{nearest[0]}"?' if nearest else "known faces: " + ", ".join(FACE_NAMES)
        raise UnknownFace(f'there is no face called "{name}"; {hint}')
    package, file_name = _FILES[name]
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise UnknownFace(
            f'the face "{name}" needs the package {package.replace("_", "-")}, which is not installed'
        )
    return Path(spec.origin).parent / "files" / file_name
