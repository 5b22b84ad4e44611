"""The words at the head of a piece, decided in one place: for scores, songs of books, and sheets of shapes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.layout.text.apostrophes import printed_words
from engrave.marks.role import Role
from engrave.score.structure import Credits, Part, Score
from engrave.style.sections import Style
from engrave.style.wordbook import PageWords, fill
from engrave.style.words import TextStyle
from engrave.theory.instrument import Instrument, letter_name
from engrave.theory.key import Key
from engrave.theory.numbering import roman
from engrave.theory.transposition import interval_of, transpose_key


class HeadingPiece(NamedTuple):
    """Words on one line, at a share of its free width: 0 left, 0.5 centred, 1 right. Their size in staff spaces.

    `what` is what messages call them.
    """

    role: Role
    text: str
    style: TextStyle
    share: float
    what: str


def decide_heading(
    score: Score, style: Style, says_key: bool = False
) -> tuple[tuple[HeadingPiece, ...], ...]:
    """The lines at the head of a piece, from the top; those with nothing to say are left out.

    `says_key`: a capo comes with the key that sounds, for whoever sings.
    """
    words = style.words
    title = score.title.upper() if words.upper_case_titles else score.title
    left, right, arrangement = decide_credits(score.credits, style.wordbook.page)
    lines: list[list[HeadingPiece]] = [
        [HeadingPiece(Role.TITLE, title, words.title, 0.5, "title")],
        [HeadingPiece(Role.SUBTITLE, score.subtitle, words.subtitle, 0.5, "subtitle")],
        [
            HeadingPiece(Role.CREDIT, left, words.credit, 0.0, "credits"),
            HeadingPiece(Role.CREDIT, right, words.credit, 1.0, "credits"),
        ],
        [HeadingPiece(Role.CREDIT, arrangement, words.credit, 1.0, "credits")],
    ]
    lines.extend(
        [HeadingPiece(Role.TUNING_TEXT, line, words.tuning, 0.0, "tuning")]
        for line in decide_tuning_lines(
            score.parts, style, score.measures[0].key if says_key and score.measures else None
        )
    )
    shown = (
        tuple(piece._replace(text=printed_words(piece.text)) for piece in line if piece.text)
        for line in lines
    )
    return tuple(line for line in shown if line)


def decide_credits(credits: Credits, say: PageWords) -> tuple[str, str, str]:
    """What stands at the left and the right of one line, and under them at the right; "" for nothing.

    One name for words and music is said once; music alone needs no label (common practice, no source).
    """
    arrangement = fill(say.arranged_by, credits.arrangement) if credits.arrangement else ""
    if not credits.words:
        return "", credits.music, arrangement
    if credits.words == credits.music:
        return "", fill(say.words_and_music_by, credits.music), arrangement
    music = fill(say.music_by, credits.music) if credits.music else ""
    return fill(say.words_by, credits.words), music, arrangement


def decide_tuning_lines(parts: Sequence[Part], style: Style, key: Key | None = None) -> list[str]:
    """What players must know before they start, a line for each part that needs one; parts are named where there are several.

    With `key`, in which the chords are named, a capo says what sounds.
    """
    lines = []
    book = style.wordbook
    for part in parts:
        phrases = decide_instrument_phrases(
            part.instrument, style, part.is_fretted and style.words.show_tuning, key
        )
        if phrases:
            line = ",  ".join(phrases)
            lines.append(book.labelled(book.part_name(part), line) if len(parts) > 1 else line)
    return lines


def decide_instrument_phrases(
    instrument: Instrument, style: Style, show_tuning: bool = True, key: Key | None = None
) -> list[str]:
    """How an instrument is prepared: an unusual tuning (thickest string first) and the capo (common practice, no source).

    A key without signs is no news: it stands where nobody named one.
    """
    say, phrases = style.wordbook.page, []
    if show_tuning and instrument.names_its_strings:
        letters = (letter_name(pitch, style.words.says_h) for pitch in reversed(instrument.tuning))
        phrases.append(fill(say.tuning, " ".join(letters)))
    if instrument.capo:
        capo = fill(say.capo, roman(instrument.capo))
        if key is not None and key.fifths:
            sounding = transpose_key(key, interval_of(instrument.capo, key))
            capo += f" ({fill(say.sounds_in, style.wordbook.key_name(sounding))})"
        phrases.append(capo)
    return phrases
