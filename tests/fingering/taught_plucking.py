"""What is taught of the right hand: studies and patterns, each with where it comes from.

The studies are short figures over plain chords; where a printed one could not be looked at, it is cited from memory.
"""

from typing import NamedTuple

GIULIANI = "Giuliani, op. 1 (1812), part 1, a figure of the 120 studies over C and G7; from memory"
CARCASSI = "Carcassi, Méthode op. 59 (1836), right-hand exercises; from memory"
AGUADO = "Aguado, Nuevo método (1843), arpeggios; from memory"
SOR = "Sor, Méthode (1830), the thumb for the lower voice; from memory"
TREMOLO = "Tárrega, tremolo studies; from memory"
COMMON = "common practice, no source"
TRAVIS = "methods of fingerstyle guitar, alternating bass; from memory"
UKE = "ukulele methods, thumb on strings 4 and 3; common practice, no source"
BASS = "bass guitar methods, alternation of i and m; common practice, no source"
BANJO = "five-string banjo methods, rolls of p i m; from memory"
PICK = "flatpicking methods, down on the beat; from memory"
JIG = "mandolin and flatpicking methods, jigs; from memory"
STRUM = "methods of rhythm guitar, the hand swings with the beat; from memory"
ECONOMY = "common practice of economy picking, no source"


class Figure(NamedTuple):
    """`notes` as in a score; `taught` the fingers or strokes (d, u) of each moment; `lower` a second voice.

    Where alternation is taught, whichever finger begins, both ways stand in `taught` with | between.
    """

    name: str
    notes: str
    taught: str
    source: str
    value: str = "1/8"
    instrument: str = "guitar"
    lower: str = ""
    time: str = "16/4"
    hand: str = "fingers"
    tuplet: bool = False

    @property
    def ways(self):
        """Every way that is taught."""
        return self.taught.strip().split("|")


_SIX = "1/16"

FINGERS = (
    Figure("chords of four", "5:3+3:0+2:1+1:0 5:3+3:0+2:1+1:0", "p+i+m+a p+i+m+a", GIULIANI, "1/4"),
    Figure("rising", "5:3 3:0 2:1 1:0 5:3 3:0 2:1 1:0 6:3 3:0 2:0 1:1", "p i m a p i m a p i m a", GIULIANI, _SIX),
    Figure("falling", "5:3 1:0 2:1 3:0 6:3 1:1 2:0 3:0", "p a m i p a m i", GIULIANI, _SIX),
    Figure("up and down", "5:3 3:0 2:1 1:0 2:1 3:0", "p i m a m i", GIULIANI),
    Figure("inner last", "5:3 3:0 1:0 2:1 6:3 3:0 1:1 2:0", "p i a m p i a m", GIULIANI, _SIX),
    Figure("outer first", "5:3 1:0 3:0 2:1 6:3 1:1 3:0 2:0", "p a i m p a i m", GIULIANI, _SIX),
    Figure("middle first", "5:3 2:1 1:0 3:0 6:3 2:0 1:1 3:0", "p m a i p m a i", GIULIANI, _SIX),
    Figure("two inner strings", "5:3 3:0 2:1 3:0 6:3 3:0 2:0 3:0", "p i m i p i m i", GIULIANI),
    Figure("two inner strings turned", "5:3 2:1 3:0 2:1 6:3 2:0 3:0 2:0", "p m i m p m i m", GIULIANI),
    Figure("bass and pairs", "5:3 3:0+2:1 4:2 3:0+2:1 6:3 3:0+2:0", "p i+m p i+m p i+m", GIULIANI),
    Figure("bass and three", "5:3 3:0+2:1+1:0 6:3 3:0+2:0+1:1", "p i+m+a p i+m+a", GIULIANI),
    Figure("moving bass", "5:3 3:0 2:1 4:2 3:0 2:1 6:3 3:0 2:0 4:0 3:0 2:0", "p i m " * 4, GIULIANI),
    Figure("tune on string 1", "5:3+1:0 3:0 2:1 3:0 6:3+1:1 3:0 2:0 3:0", "p+a i m i p+a i m i", GIULIANI),
    Figure("tune on string 1 turned", "5:3+1:0 2:1 3:0 2:1 6:3+1:1 2:0 3:0 2:0", "p+a m i m p+a m i m", GIULIANI),
    Figure("bass between", "5:3 3:0 4:2 2:1 5:3 3:0 4:2 1:0", "p i p m p i p a", GIULIANI),
    Figure("pair and one", "5:3 3:0+2:1 1:0 3:0+2:1", "p i+m a i+m", GIULIANI),
    Figure("one and pair", "5:3 3:0 2:1+1:0 3:0", "p i m+a i", GIULIANI),
    Figure("two of the thumb", "5:0 4:2 3:2 2:1 1:0 2:1 3:2", "p p i m a m i", CARCASSI),
    Figure("D chord", "4:0 3:2 2:3 1:2 4:0 3:2 2:3 1:2", "p i m a p i m a", CARCASSI, _SIX),
    Figure("triplets up", "6:0 3:1 2:0 5:2 3:2 2:0", "p i m p i m", CARCASSI),
    Figure("triplets down", "6:0 2:0 3:1 6:0 2:0 3:1", "p m i p m i", CARCASSI),
    Figure("long arpeggio", "6:3 5:2 4:0 3:0 2:0 1:3 2:0 3:0", "p p p i m a m i", AGUADO),
    Figure("tune over thumb", "2:1 2:3 1:0 2:1", "p+i m i m|p+m i m i", CARCASSI, "1/4", lower="1/1: 5:3"),
    Figure("scale on thin strings", "3:0 3:2 2:0 2:1 2:3 1:0 1:1 1:3", "i m i m i m i m|m i m i m i m i", CARCASSI),
    Figure("scale down", "1:3 1:1 1:0 2:3 2:1 2:0 3:2 3:0", "i m i m i m i m|m i m i m i m i", CARCASSI, _SIX),
    Figure("scale over all strings", "5:3 4:0 4:2 4:3 3:0 3:2 2:0 2:1 2:3 1:0 1:1 1:3", "i m " * 6, COMMON, _SIX),
    Figure("repeated note", "1:0 1:0 1:0 1:0 2:1 2:1 2:1 2:1", "i m i m i m i m|m i m i m i m i", AGUADO),
    Figure("slow bass", "6:0 6:3 5:0 5:2 5:3", "p p p p p", CARCASSI, "1/4"),
    Figure("lower voice on string 3", "1:0 2:3 2:1 2:0", "p+a m i m|p+m i m i", SOR, "1/4", lower="1/1: 3:0"),
    Figure("tremolo", "5:0 1:0 1:0 1:0 4:2 1:0 1:0 1:0", "p a m i p a m i", TREMOLO, "1/32"),
    Figure("tremolo over string 3", "4:2 1:0 1:0 1:0 3:2 1:0 1:0 1:0 4:2 1:0 1:0 1:0", "p a m i p a m i p a m i", TREMOLO, "1/32"),
    Figure("tremolo on string 2", "5:0 2:1 2:1 2:1 4:2 2:1 2:1 2:1", "p a m i p a m i", TREMOLO, "1/32"),
    Figure("triplets under a tune", "6:0+1:7 2:0 3:0 1:7 2:0 3:0 1:7 2:0 3:0", "p+a m i a m i a m i", COMMON),
    Figure("alternating bass", "5:3 2:1 4:2 3:0 5:3 1:0 4:2 2:1", "p m p i p m p i", TRAVIS),
    Figure("alternating bass inside", "6:3 3:0 4:0 2:0 6:3 3:0 4:0 2:0", "p i p m p i p m", TRAVIS),
    Figure("six strings at once", "6:3+5:2+4:0+3:0+2:0+1:3", "p+p+p+i+m+a", COMMON, "1/2"),
    Figure("outer strings", "6:0+1:0 3:1+2:0 6:0+1:0 3:1+2:0", "p+a i+m p+a i+m", COMMON, "1/4"),
    Figure("ukulele arpeggio", "4:0 3:0 2:0 1:3 4:0 3:0 2:0 1:3", "p p i m p p i m", UKE, instrument="ukulele"),
    Figure("ukulele inside out", "4:0 2:0 3:0 1:3 4:0 2:0 3:0 1:3", "p i p m p i p m", UKE, instrument="ukulele"),
    Figure("ukulele pinch", "4:0+1:3 2:0 3:0 2:0", "p+m i p i", UKE, instrument="ukulele"),
    Figure("ukulele chord", "4:0+3:0+2:0+1:3 4:0+3:0+2:0+1:3", "p+p+i+m p+p+i+m", UKE, "1/4", "ukulele"),
    Figure("bass eighths", "4:0 4:0 4:3 4:3 3:0 3:0 3:2 3:2", "i m i m i m i m|m i m i m i m i", BASS, instrument="bass"),
    Figure("bass sixteenths", "3:3 3:3 3:3 3:3 3:3 3:3 3:3 3:3", "i m i m i m i m|m i m i m i m i", BASS, _SIX, "bass"),
    Figure("alternating roll", "3:0 2:0 5:0 1:0 4:0 2:0 5:0 1:0", "p i p m p i p m", BANJO, _SIX, "banjo"),
    Figure("forward roll", "3:0 2:0 1:0 5:0 2:0 1:0 5:0 1:0", "p i m p i m p m", BANJO, _SIX, "banjo"),
    Figure("forward and back", "3:0 2:0 1:0 5:0 1:0 2:0 3:0 1:0", "p i m p m i p m", BANJO, _SIX, "banjo"),
    Figure("backward roll", "1:0 2:0 5:0 1:0 2:0 5:0 1:0 2:0", "m i p m i p m i", BANJO, _SIX, "banjo"),
)  # fmt: skip
"""What fingers do."""


def _pick(name, notes, taught, source, value="1/8", **more):
    return Figure(name, notes, taught, source, value, hand=more.pop("hand", "pick"), **more)


STROKES = (
    _pick("eighths", "5:3 4:0 4:2 4:3 3:0 3:2 2:0 2:1", "d u d u d u d u", PICK, time="4/4"),
    _pick("quarters", "5:3 4:2 3:0 2:1", "d d d d", PICK, "1/4", time="4/4"),
    _pick("sixteenths", "3:0 3:2 2:0 2:1 2:3 1:0 1:1 1:3", "d u d u d u d u", PICK, "1/16", time="2/4"),
    _pick("eighth and sixteenths", "3:0, 1/16: 3:2 2:0, 1/8: 2:1, 1/16: 2:3 1:0", "d d u d d u", PICK, time="2/4"),
    _pick("sixteenths and eighth", "3:0 3:2, 1/8: 2:0, 1/16: 2:1 2:3, 1/8: 1:0", "d u d d u d", PICK, "1/16", time="2/4"),
    _pick("dotted", "3:0, 1/16: 3:2, 1/8.: 2:0, 1/16: 2:1", "d u d u", PICK, "1/8.", time="2/4"),
    _pick("syncopated", "3:0, 1/4: 3:2 2:0 2:1, 1/8: 2:3", "d u u u u", STRUM, time="4/4"),
    _pick("after a rest", "rest 3:0 rest 3:2 2:0 2:1 rest 2:3", "u u d u u", PICK, time="4/4"),
    _pick("reel", "3:0 3:2 2:0 2:1 2:3 1:0 1:1 1:3", "d u d u d u d u", JIG, time="cut C", instrument="mandolin"),
    _pick("jig", "3:0 3:2 2:0 2:1 2:3 1:0", "d u d d u d", JIG, time="6/8", instrument="mandolin"),
    _pick("slip jig", "3:0 3:2 2:0 2:1 2:3 1:0 1:1 1:3 1:0", "d u d d u d d u d", JIG, time="9/8", instrument="mandolin"),
    _pick("boom and strum", "6:3 4:0+3:0+2:0+1:3 5:2 4:0+3:0+2:0+1:3", "d d d d", STRUM, "1/4", time="4/4"),
    _pick("bass and two strums", "6:3, 1/8: 4:0+3:0+2:0+1:3 4:0+3:0+2:0+1:3", "d d u", STRUM, "1/4", time="2/4"),
    _pick("slashes", "slash, 1/8: slash slash rest slash slash slash", "d d u u d u", STRUM, "1/4", time="4/4"),
    _pick("waltz", "slash, 1/8: slash slash slash slash", "d d u d u", STRUM, "1/4", time="3/4"),
    _pick("slashes without a pick", "slash slash slash slash slash slash slash slash", "d u d u d u d u", STRUM, time="4/4", hand="fingers"),
    _pick("slurred notes swing on", "3:0, 1/8: [3:2 hammer-on], 1/8: 2:0 2:1", "d d u", PICK, time="2/4"),
    _pick("triplets", "3:0 3:2 3:4 2:0 2:1 2:3", "d u d u d u", COMMON, "1/8", time="2/4", tuplet=True),
    _pick("three on a string", "6:3 6:5 6:7 5:3 5:5 5:7 4:4 4:5, 1/2: 4:7", "d u d d u d d u d", ECONOMY, "1/16", time="4/4", hand="economy"),
    _pick("three on a string, down", "1:7 1:5 1:3 2:7 2:5 2:3 3:7 3:5, 1/2: 3:4", "u d u u d u u d u", ECONOMY, "1/16", time="4/4", hand="economy"),
    _pick("string after string", "5:3 4:2 3:0 2:1, 1/4: 1:0", "d d d d d", ECONOMY, "1/16", time="2/4", hand="economy"),
    _pick("string after string, back", "1:0 2:1 3:0 4:2, 1/4: 5:3", "u u u u u", ECONOMY, "1/16", time="2/4", hand="economy"),
    _pick("on one string", "3:0 3:2 3:4 3:2 3:0 3:2 3:4 3:2", "d u d u d u d u", ECONOMY, "1/16", time="2/4", hand="economy"),
)  # fmt: skip
"""What picks do, and hands that strum."""
