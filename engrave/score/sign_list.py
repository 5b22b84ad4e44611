"""Every sign of the language: what it is called, what carries it, and which element of MusicXML 4.0 it is."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple


class Carrier(Enum):
    """What a sign is written on."""

    NOTE = "note"
    EVENT = "event"
    SPAN = "span"
    KEY = "key"
    """A key of its own beside the fret."""


class Sign(NamedTuple):
    """A sign: its family on the sheets of signs, its carrier, and the MusicXML 4.0 elements it stands for."""

    family: str
    carrier: Carrier
    elements: tuple[str, ...]


def _signs(family: str, carrier: Carrier, rows: dict[str, str]) -> dict[str, Sign]:
    return {name: Sign(family, carrier, tuple(elements.split())) for name, elements in rows.items()}


SIGNS: dict[str, Sign] = {
    **_signs(
        "legato",
        Carrier.NOTE,
        {
            "hammer-on": "technical/hammer-on",
            "pull-off": "technical/pull-off",
            "slide": "notations/slide notations/glissando",
            "slurred-slide": "notations/slide",
            "slide-from-below": "articulations/scoop",
            "slide-from-above": "articulations/plop",
            "slide-away-up": "articulations/doit",
            "slide-away-down": "articulations/falloff",
        },
    ),
    **_signs(
        "bends",
        Carrier.NOTE,
        {"vibrato": "ornaments/wavy-line", "wide-vibrato": "ornaments/wavy-line"},
    ),
    **_signs(
        "bends",
        Carrier.KEY,
        {"bend": "technical/bend", "vibrato-bar": "bend/with-bar"},
    ),
    **_signs(
        "harmonics",
        Carrier.NOTE,
        {"natural-harmonic": "technical/harmonic harmonic/natural", "pinch-harmonic": "technical/harmonic"},
    ),
    **_signs(
        "harmonics",
        Carrier.KEY,
        {
            "artificial-harmonic": "technical/harmonic harmonic/artificial",
            "tapped-harmonic": "technical/harmonic technical/tap",
            "touched-harmonic": "technical/harmonic harmonic/touching-pitch",
        },
    ),
    **_signs("right hand", Carrier.KEY, {"pluck": "technical/pluck"}),
    **_signs("left hand", Carrier.KEY, {"finger": "technical/fingering"}),
    **_signs("notes", Carrier.NOTE, {"ghost": "notehead", "dead": "notehead"}),
    **_signs(
        "articulation",
        Carrier.EVENT,
        {
            "staccato": "articulations/staccato",
            "staccatissimo": "articulations/staccatissimo",
            "tenuto": "articulations/tenuto articulations/detached-legato",
            "accent": "articulations/accent",
            "strong-accent": "articulations/strong-accent",
            "soft-accent": "articulations/soft-accent",
            "fermata": "notations/fermata",
            "breath-mark": "articulations/breath-mark",
            "caesura": "articulations/caesura",
        },
    ),
    **_signs(
        "right hand",
        Carrier.EVENT,
        {
            "pick-down": "technical/down-bow",
            "pick-up": "technical/up-bow",
            "strum-down": "notations/arpeggiate",
            "strum-up": "notations/arpeggiate",
            "arpeggiate": "notations/arpeggiate",
            "arpeggiate-up": "notations/arpeggiate",
            "arpeggiate-down": "notations/arpeggiate",
            "non-arpeggiate": "notations/non-arpeggiate",
            "rake": "notations/arpeggiate",
            "tremolo": "ornaments/tremolo",
            "tremolo-eighths": "ornaments/tremolo",
            "tremolo-sixteenths": "ornaments/tremolo",
            "tap": "technical/tap",
            "slap": "technical/other-technical",
            "pop": "technical/other-technical",
            "fingernails": "technical/fingernails",
            "snap": "technical/snap-pizzicato",
            "golpe": "technical/golpe",
        },
    ),
    **_signs("left hand", Carrier.EVENT, {"left-hand-tap": "technical/tap"}),
    **_signs("left hand", Carrier.NOTE, {"string-number": "technical/string"}),
    **_signs(
        "ornaments",
        Carrier.EVENT,
        {
            "trill": "ornaments/trill-mark",
            "mordent": "ornaments/mordent",
            "inverted-mordent": "ornaments/inverted-mordent",
            "turn": "ornaments/turn",
            "inverted-turn": "ornaments/inverted-turn",
            "delayed-turn": "ornaments/delayed-turn",
            "delayed-inverted-turn": "ornaments/delayed-inverted-turn",
        },
    ),
    **_signs("ornaments", Carrier.KEY, {"accidental-mark": "ornaments/accidental-mark"}),
    **_signs(
        "loudness",
        Carrier.EVENT,
        {
            "fade-in": "technical/other-technical",
            "fade-out": "technical/other-technical",
            "volume-swell": "technical/other-technical",
        },
    ),
    **_signs(
        "muting",
        Carrier.SPAN,
        {"palm-mute": "technical/other-technical", "let-ring": "technical/other-technical"},
    ),
    **_signs(
        "left hand",
        Carrier.SPAN,
        {
            "position": "direction-type/words",
            "barre": "direction-type/words",
            "half-barre": "direction-type/words",
        },
    ),
    **_signs(
        "octaves",
        Carrier.SPAN,
        {
            "8va": "direction-type/octave-shift",
            "8vb": "direction-type/octave-shift",
            "15ma": "direction-type/octave-shift",
            "15mb": "direction-type/octave-shift",
        },
    ),
    **_signs(
        "loudness",
        Carrier.SPAN,
        {"crescendo": "direction-type/wedge", "diminuendo": "direction-type/wedge"},
    ),
}
"""All signs by name."""

MARKS = tuple(name for name, sign in SIGNS.items() if sign.carrier in (Carrier.NOTE, Carrier.EVENT))
"""Signs written after a fret or under `marks`."""
TOUCHED_HARMONICS = ("artificial-harmonic", "tapped-harmonic", "touched-harmonic")
"""Harmonics of a stopped string; their amount is the fret over which it is touched."""
OVER_RESTS = ("fermata", "breath-mark", "caesura")
"""Marks that a rest may carry."""
SPANS = tuple(name for name, sign in SIGNS.items() if sign.carrier is Carrier.SPAN)
"""Signs that last, written under `spans`."""
NUMBERED_SPANS = ("position", "barre", "half-barre")
"""Spans that need the number of a fret."""
DYNAMICS = (
    "pppp",
    "ppp",
    "pp",
    "p",
    "mp",
    "mf",
    "f",
    "ff",
    "fff",
    "ffff",
    "pf",
    "fp",
    "sf",
    "sfz",
    "sffz",
    "sfp",
    "rf",
    "rfz",
    "fz",
    "n",
)
"""The words under `dynamics` (MusicXML 4.0, dynamics)."""
