"""The signs of braille music as cells of Unicode, and their ASCII form (facts of the manual)."""

from __future__ import annotations

from engrave.score.sign_list import SignName
from engrave.theory.repeats import GoBack

_FIRST_CELL = 0x2800
_ASCII = " A1B'K2L@CIF/MSP\"E3H9O6R^DJG>NTQ,*5<-U8V.%[$+X!&;:4\\0Z7(_?W]#Y)="
"""North American ASCII Braille, cell by cell (BRF: common practice; the order is that of Unicode)."""
_LEFT_DOTS = 0b111
"""Dots 1, 2 and 3 in the number of a cell."""


def cells(dots: str) -> str:
    """Cells from the numbers of their dots: "126 345"."""
    return "".join(
        chr(_FIRST_CELL + sum(1 << (int(dot) - 1) for dot in cell if dot != "0")) for cell in dots.split()
    )


def as_ascii(text: str) -> str:
    """Cells as ASCII Braille; all else stays."""
    return "".join(
        _ASCII[ord(c) - _FIRST_CELL] if _FIRST_CELL <= ord(c) < _FIRST_CELL + 64 else c for c in text
    )


def has_left_dots(text: str) -> bool:
    """True where the first cell has dot 1, 2 or 3, and so would be read as a letter after a word."""
    return bool(text) and bool((ord(text[0]) - _FIRST_CELL) & _LEFT_DOTS)


STEPS = ("145", "15", "124", "1245", "125", "24", "245")
"""C to B as eighths."""
VALUE_DOTS = {1: "36", 16: "36", 2: "3", 32: "3", 4: "6", 64: "6", 8: ""}
"""What a value adds to the cell of an eighth, by its lower number; large and small values share their cells."""
RESTS = {1: "134", 16: "134", 2: "136", 32: "136", 4: "1236", 64: "1236", 8: "1346"}
WHOLE_REST = cells("134")
LARGER_VALUES, SMALLER_VALUES = cells("45 126 2"), cells("6 126 2")
LEAST_SMALL = 16
"""From the sixteenth on a value is small."""
DOT = cells("3")
OCTAVES = {0: "4 4", 1: "4", 2: "45", 3: "456", 4: "5", 5: "46", 6: "56", 7: "6", 8: "6 6"}
"""Octave marks; the fourth octave begins at middle C."""
LOWEST_OCTAVE, HIGHEST_OCTAVE = 0, 8
ACCIDENTALS = {-2: "126 126", -1: "126", 0: "16", 1: "146", 2: "146 146"}
INTERVALS = {2: "34", 3: "346", 4: "3456", 5: "35", 6: "356", 7: "25", 8: "36"}
TIE, CHORD_TIE = cells("4 14"), cells("46 14")
SLUR = cells("14")
OPEN_SLUR, CLOSE_SLUR = cells("56 12"), cells("45 23")
"""The bracket slur, for more than four notes."""
MOST_SLURRED = 4
"""Notes that the simple slur joins at most."""
TRIPLET = cells("23")
TUPLET = cells("456")
EIGHTH = 8
"""The value whose cells stand for the notes of a group after its first."""
LEAST_GROUPED = 3
"""Equal small notes of a beat that are written as a group: the first by its value, the others as eighths."""
GRACE, APPOGGIATURA = cells("26"), cells("5 26")
FINGERS = {"1": "1", "2": "12", "3": "123", "4": "2", "0": "13"}
STRINGS = ("1", "12", "123", "2", "13", "23", "3", "4")
"""What follows the sharp in a string sign, string 1 first; an eighth string goes beyond the manual."""
STRING_PREFIX = cells("146")
FRETS = ("345", "34", "346", "3456", "35", "356", "25", "36", "36 34", "36 346", "36 3456", "36 35")
"""What follows the sign of a position or barre, the first fret first (from memory)."""
POSITION, BARRE, HALF_BARRE = cells("345"), cells("456 345"), cells("45 345")
IN_ACCORD = cells("126 345")
FINAL_BAR, DOUBLE_BAR = cells("126 13"), cells("126 13 3")
DASHED_BAR = cells("13")
REPEAT_START, REPEAT_END = cells("126 2356"), cells("126 23")
MEASURE_REPEAT = cells("2356")
SEGNO, CODA = cells("5 346"), cells("5 346 346")
NUMBER, WORD = cells("3456"), cells("345")
HYPHEN = cells("5")
"""The music hyphen, where a measure goes on in the next line; before a sign, that print does not have it."""
GUIDE = cells("3")
EQUALS = cells("2356")
CONTINUED, CONTINUED_END = cells("36 36"), cells("6 3")
"""The line of continuation after a word, and its end."""
PARENTHESIS = cells("6 3")
UPPER_DIGITS = ("245", "1", "12", "14", "145", "15", "124", "1245", "125", "24")
LOWER_DIGITS = ("356", "2", "23", "25", "256", "26", "235", "2356", "236", "35")
COMMON_TIME, CUT_TIME = cells("46 14"), cells("456 14")

BEFORE = {
    SignName.GHOST: PARENTHESIS,
    SignName.PICK_DOWN: cells("126 12"),
    SignName.PICK_UP: cells("126 3"),
    SignName.ARPEGGIATE: cells("345 13"),
    SignName.ARPEGGIATE_UP: cells("345 13"),
    SignName.ARPEGGIATE_DOWN: cells("345 13 13"),
    SignName.TRILL: cells("235"),
    SignName.TURN: cells("256"),
    SignName.INVERTED_TURN: cells("256 123"),
    SignName.MORDENT: cells("5 235 123"),
    SignName.INVERTED_MORDENT: cells("5 235"),
    SignName.DELAYED_TURN: cells("6 256"),
    SignName.DELAYED_INVERTED_TURN: cells("6 256 123"),
    SignName.STACCATISSIMO: cells("6 236"),
    SignName.STACCATO: cells("236"),
    SignName.STRONG_ACCENT: cells("56 236"),
    SignName.ACCENT: cells("46 236"),
    SignName.TENUTO: cells("456 236"),
}
"""Signs before a note, in the order in which they are written (accent before tenuto: De Garmo, example 14-8)."""
AFTER = {
    SignName.FERMATA: cells("126 123"),
    SignName.BREATH_MARK: cells("345 2"),
    SignName.CAESURA: cells("345 34"),
    SignName.TREMOLO: cells("45 2"),
    SignName.TREMOLO_EIGHTHS: cells("45 12"),
    SignName.TREMOLO_SIXTEENTHS: cells("45 123"),
    SignName.GHOST: PARENTHESIS,
}
"""Signs after a note. An unmeasured tremolo is that of thirty-seconds, as in print."""
SLIDE = cells("4 1")
"""A line from note to note, after the first."""
HAIRPINS = {SignName.CRESCENDO: ("345 14", "345 25"), SignName.DIMINUENDO: ("345 145", "345 256")}
"""Where each begins and ends."""
GOING_BACK = {
    GoBack.DA_CAPO: "d.c.",
    GoBack.DA_CAPO_AL_FINE: "d.c. al fine",
    GoBack.DA_CAPO_AL_CODA: "d.c. al coda",
    GoBack.DAL_SEGNO: "d.s.",
    GoBack.DAL_SEGNO_AL_FINE: "d.s. al fine",
    GoBack.DAL_SEGNO_AL_CODA: "d.s. al coda",
}


def upper_number(number: int) -> str:
    """A number in the upper part of the cell, without its sign."""
    return "".join(cells(UPPER_DIGITS[int(digit)]) for digit in str(number))


def lower_number(number: int) -> str:
    """A number in the lower part of the cell, without its sign."""
    return "".join(cells(LOWER_DIGITS[int(digit)]) for digit in str(number))
