"""Every sign of the language: what it is called, what carries it, and which element of MusicXML 4.0 it is."""

from __future__ import annotations

from enum import Enum, StrEnum
from typing import NamedTuple


class SignName(StrEnum):
    """What a sign is called in the language, in styles and on the sheets of signs."""

    HAMMER_ON = "hammer-on"
    PULL_OFF = "pull-off"
    SLIDE = "slide"
    SLURRED_SLIDE = "slurred-slide"
    SLIDE_FROM_BELOW = "slide-from-below"
    SLIDE_FROM_ABOVE = "slide-from-above"
    SLIDE_AWAY_UP = "slide-away-up"
    SLIDE_AWAY_DOWN = "slide-away-down"
    VIBRATO = "vibrato"
    WIDE_VIBRATO = "wide-vibrato"
    BEND = "bend"
    VIBRATO_BAR = "vibrato-bar"
    NATURAL_HARMONIC = "natural-harmonic"
    PINCH_HARMONIC = "pinch-harmonic"
    ARTIFICIAL_HARMONIC = "artificial-harmonic"
    TAPPED_HARMONIC = "tapped-harmonic"
    TOUCHED_HARMONIC = "touched-harmonic"
    PLUCK = "pluck"
    FINGER = "finger"
    GHOST = "ghost"
    DEAD = "dead"
    STACCATO = "staccato"
    STACCATISSIMO = "staccatissimo"
    TENUTO = "tenuto"
    ACCENT = "accent"
    STRONG_ACCENT = "strong-accent"
    SOFT_ACCENT = "soft-accent"
    FERMATA = "fermata"
    BREATH_MARK = "breath-mark"
    CAESURA = "caesura"
    PICK_DOWN = "pick-down"
    PICK_UP = "pick-up"
    STRUM_DOWN = "strum-down"
    STRUM_UP = "strum-up"
    ARPEGGIATE = "arpeggiate"
    ARPEGGIATE_UP = "arpeggiate-up"
    ARPEGGIATE_DOWN = "arpeggiate-down"
    NON_ARPEGGIATE = "non-arpeggiate"
    RAKE = "rake"
    TREMOLO = "tremolo"
    TREMOLO_EIGHTHS = "tremolo-eighths"
    TREMOLO_SIXTEENTHS = "tremolo-sixteenths"
    TAP = "tap"
    SLAP = "slap"
    POP = "pop"
    FINGERNAILS = "fingernails"
    SNAP = "snap"
    GOLPE = "golpe"
    LEFT_HAND_TAP = "left-hand-tap"
    STRING_NUMBER = "string-number"
    TRILL = "trill"
    MORDENT = "mordent"
    INVERTED_MORDENT = "inverted-mordent"
    TURN = "turn"
    INVERTED_TURN = "inverted-turn"
    DELAYED_TURN = "delayed-turn"
    DELAYED_INVERTED_TURN = "delayed-inverted-turn"
    ACCIDENTAL_MARK = "accidental-mark"
    FADE_IN = "fade-in"
    FADE_OUT = "fade-out"
    VOLUME_SWELL = "volume-swell"
    SLUR = "slur"
    END_SLUR = "end-slur"
    PHRASE = "phrase"
    END_PHRASE = "end-phrase"
    PALM_MUTE = "palm-mute"
    LET_RING = "let-ring"
    POSITION = "position"
    BARRE = "barre"
    HALF_BARRE = "half-barre"
    OCTAVE_HIGHER = "8va"
    OCTAVE_LOWER = "8vb"
    TWO_OCTAVES_HIGHER = "15ma"
    TWO_OCTAVES_LOWER = "15mb"
    CRESCENDO = "crescendo"
    DIMINUENDO = "diminuendo"
    PITCH = "pitch"
    """No sign, but the word before the spelling of a note."""
    SLASH = "slash"
    """A rhythm slash, which stands in no list of signs: its head says it."""


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


def _signs(family: str, carrier: Carrier, rows: dict[SignName, str]) -> dict[SignName, Sign]:
    return {name: Sign(family, carrier, tuple(elements.split())) for name, elements in rows.items()}


SIGNS: dict[SignName, Sign] = {
    **_signs(
        "legato",
        Carrier.NOTE,
        {
            SignName.HAMMER_ON: "technical/hammer-on",
            SignName.PULL_OFF: "technical/pull-off",
            SignName.SLIDE: "notations/slide notations/glissando",
            SignName.SLURRED_SLIDE: "notations/slide",
            SignName.SLIDE_FROM_BELOW: "articulations/scoop",
            SignName.SLIDE_FROM_ABOVE: "articulations/plop",
            SignName.SLIDE_AWAY_UP: "articulations/doit",
            SignName.SLIDE_AWAY_DOWN: "articulations/falloff",
        },
    ),
    **_signs(
        "bends",
        Carrier.NOTE,
        {SignName.VIBRATO: "ornaments/wavy-line", SignName.WIDE_VIBRATO: "ornaments/wavy-line"},
    ),
    **_signs(
        "bends",
        Carrier.KEY,
        {SignName.BEND: "technical/bend", SignName.VIBRATO_BAR: "bend/with-bar"},
    ),
    **_signs(
        "harmonics",
        Carrier.NOTE,
        {
            SignName.NATURAL_HARMONIC: "technical/harmonic harmonic/natural",
            SignName.PINCH_HARMONIC: "technical/harmonic",
        },
    ),
    **_signs(
        "harmonics",
        Carrier.KEY,
        {
            SignName.ARTIFICIAL_HARMONIC: "technical/harmonic harmonic/artificial",
            SignName.TAPPED_HARMONIC: "technical/harmonic technical/tap",
            SignName.TOUCHED_HARMONIC: "technical/harmonic harmonic/touching-pitch",
        },
    ),
    **_signs("right hand", Carrier.KEY, {SignName.PLUCK: "technical/pluck"}),
    **_signs("left hand", Carrier.KEY, {SignName.FINGER: "technical/fingering"}),
    **_signs("notes", Carrier.NOTE, {SignName.GHOST: "notehead", SignName.DEAD: "notehead"}),
    **_signs(
        "articulation",
        Carrier.EVENT,
        {
            SignName.STACCATO: "articulations/staccato",
            SignName.STACCATISSIMO: "articulations/staccatissimo",
            SignName.TENUTO: "articulations/tenuto articulations/detached-legato",
            SignName.ACCENT: "articulations/accent",
            SignName.STRONG_ACCENT: "articulations/strong-accent",
            SignName.SOFT_ACCENT: "articulations/soft-accent",
            SignName.FERMATA: "notations/fermata",
            SignName.BREATH_MARK: "articulations/breath-mark",
            SignName.CAESURA: "articulations/caesura",
        },
    ),
    **_signs(
        "right hand",
        Carrier.EVENT,
        {
            SignName.PICK_DOWN: "technical/down-bow",
            SignName.PICK_UP: "technical/up-bow",
            SignName.STRUM_DOWN: "notations/arpeggiate",
            SignName.STRUM_UP: "notations/arpeggiate",
            SignName.ARPEGGIATE: "notations/arpeggiate",
            SignName.ARPEGGIATE_UP: "notations/arpeggiate",
            SignName.ARPEGGIATE_DOWN: "notations/arpeggiate",
            SignName.NON_ARPEGGIATE: "notations/non-arpeggiate",
            SignName.RAKE: "notations/arpeggiate",
            SignName.TREMOLO: "ornaments/tremolo",
            SignName.TREMOLO_EIGHTHS: "ornaments/tremolo",
            SignName.TREMOLO_SIXTEENTHS: "ornaments/tremolo",
            SignName.TAP: "technical/tap",
            SignName.SLAP: "technical/other-technical",
            SignName.POP: "technical/other-technical",
            SignName.FINGERNAILS: "technical/fingernails",
            SignName.SNAP: "technical/snap-pizzicato",
            SignName.GOLPE: "technical/golpe",
        },
    ),
    **_signs("left hand", Carrier.EVENT, {SignName.LEFT_HAND_TAP: "technical/tap"}),
    **_signs("left hand", Carrier.NOTE, {SignName.STRING_NUMBER: "technical/string"}),
    **_signs(
        "ornaments",
        Carrier.EVENT,
        {
            SignName.TRILL: "ornaments/trill-mark",
            SignName.MORDENT: "ornaments/mordent",
            SignName.INVERTED_MORDENT: "ornaments/inverted-mordent",
            SignName.TURN: "ornaments/turn",
            SignName.INVERTED_TURN: "ornaments/inverted-turn",
            SignName.DELAYED_TURN: "ornaments/delayed-turn",
            SignName.DELAYED_INVERTED_TURN: "ornaments/delayed-inverted-turn",
        },
    ),
    **_signs("ornaments", Carrier.KEY, {SignName.ACCIDENTAL_MARK: "ornaments/accidental-mark"}),
    **_signs(
        "loudness",
        Carrier.EVENT,
        {
            SignName.FADE_IN: "technical/other-technical",
            SignName.FADE_OUT: "technical/other-technical",
            SignName.VOLUME_SWELL: "technical/other-technical",
        },
    ),
    **_signs(
        "legato",
        Carrier.EVENT,
        {
            SignName.SLUR: "notations/slur",
            SignName.END_SLUR: "notations/slur",
            SignName.PHRASE: "notations/slur",
            SignName.END_PHRASE: "notations/slur",
        },
    ),
    **_signs(
        "muting",
        Carrier.SPAN,
        {SignName.PALM_MUTE: "technical/other-technical", SignName.LET_RING: "technical/other-technical"},
    ),
    **_signs(
        "left hand",
        Carrier.SPAN,
        {
            SignName.POSITION: "direction-type/words",
            SignName.BARRE: "direction-type/words",
            SignName.HALF_BARRE: "direction-type/words",
        },
    ),
    **_signs(
        "octaves",
        Carrier.SPAN,
        {
            SignName.OCTAVE_HIGHER: "direction-type/octave-shift",
            SignName.OCTAVE_LOWER: "direction-type/octave-shift",
            SignName.TWO_OCTAVES_HIGHER: "direction-type/octave-shift",
            SignName.TWO_OCTAVES_LOWER: "direction-type/octave-shift",
        },
    ),
    **_signs(
        "loudness",
        Carrier.SPAN,
        {SignName.CRESCENDO: "direction-type/wedge", SignName.DIMINUENDO: "direction-type/wedge"},
    ),
}
"""All signs by name."""

MARKS = tuple(name for name, sign in SIGNS.items() if sign.carrier in (Carrier.NOTE, Carrier.EVENT))
"""Signs written after a fret or under `marks`."""
TOUCHED_HARMONICS = (SignName.ARTIFICIAL_HARMONIC, SignName.TAPPED_HARMONIC, SignName.TOUCHED_HARMONIC)
"""Harmonics of a stopped string, which is touched over another fret."""
TREMOLO_STROKES = {SignName.TREMOLO_EIGHTHS: 1, SignName.TREMOLO_SIXTEENTHS: 2}
"""The strokes of each measured tremolo: beams or flags and strokes together say how fast a note is repeated."""
SLUR_ENDS = {SignName.SLUR: SignName.END_SLUR, SignName.PHRASE: SignName.END_PHRASE}
"""Where slurs start, and the word that ends each. Those of one kind lie in one another, never across."""
PARTS_OF_SLURS = (SignName.END_SLUR, SignName.PHRASE, SignName.END_PHRASE)
"""Words of slurs that have no sign of their own: all of them are drawn and explained as the slur."""
EXPLAINED_SIGNS = tuple(name for name in SIGNS if name not in PARTS_OF_SLURS)
"""Signs that have a name and an explanation."""
KEPT_BY_TIES = (SignName.DEAD, SignName.SLASH)
"""What a note is, so that it still is it where a tie holds it."""
OVER_RESTS = (SignName.FERMATA, SignName.BREATH_MARK, SignName.CAESURA)
"""Marks that a rest may carry."""
SPANS = tuple(name for name, sign in SIGNS.items() if sign.carrier is Carrier.SPAN)
"""Signs that last, written under `spans`."""
HAIRPINS = (SignName.CRESCENDO, SignName.DIMINUENDO)
"""Spans that are drawn as wedges."""
NUMBERED_SPANS = (SignName.POSITION, SignName.BARRE, SignName.HALF_BARRE)
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
