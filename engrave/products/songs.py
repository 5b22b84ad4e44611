"""One song of a book: read, laid out and drawn by itself, in whatever process that happens."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, NamedTuple

from engrave.documents.songbook import NO_STRINGS, Side, Song, SongFacts, Strings
from engrave.drawing.pdf.drawn import DrawnPages
from engrave.layout.characters import check_characters, check_title
from engrave.layout.document import place_score
from engrave.layout.music_setter import MusicTooWide
from engrave.layout.neck_room import check_neck_room
from engrave.layout.pages.turns import find_bad_turns
from engrave.layout.songbook.chord_sheet import NoWords, place_chord_sheet
from engrave.layout.songbook.sheet_lines import first_sung_line
from engrave.marks.mark import PlacedDocument
from engrave.problems import NOWHERE, Problem
from engrave.products.lay_out import check_printable
from engrave.reading.check import check_view
from engrave.reading.load import file_log, load_score, load_tree, read_score_tree
from engrave.reading.settle import USUAL_HAND
from engrave.reading.sign_examples import read_sign_examples
from engrave.score.excerpt import excerpt
from engrave.score.seen import seen_in
from engrave.score.structure import ExplainSigns, Score
from engrave.score.used_signs import used_signs
from engrave.source.inputs import InputFile, recording_inputs
from engrave.style.load import Changes, load_style
from engrave.style.paper_fit import on_sheet
from engrave.style.sections import Style
from engrave.theory.instrument import TUNINGS, Instrument


class SongJob(NamedTuple):
    """What a process needs to make a song. `known` are the signs that earlier songs have explained."""

    song: Song
    style: str
    beside: str
    changes: Any
    known: frozenset[str] = frozenset()
    rated: bool = False
    """An index wants to know how hard the song is."""
    sheet: tuple[float, float] | None = None
    """Width and height of the book's sheet in millimetres, which the song cannot change; None for the style's."""
    language: str = ""
    """That of the book, for songs that name none."""
    draws: bool = True
    """The song is drawn too, not only placed."""


class SongResult(NamedTuple):
    """What became of a song. `pages` are laid out as right-hand pages; `turns` says on which of them a turn is awkward.

    `page_count` is None when something is wrong, `pages` also where nothing was to be drawn.
    """

    problems: tuple[Problem, ...]
    page_count: int | None = None
    pages: DrawnPages | None = None
    facts: SongFacts | None = None
    turns: tuple[tuple[int, int], ...] = ()
    opened: tuple[tuple[InputFile, str], ...] = ()
    """The files that were read for it, with their paths, in whatever process that was."""


def make_song(job: SongJob) -> SongResult:
    """Read, lay out and draw one song."""
    with recording_inputs() as opened:
        return _make(job)._replace(opened=tuple(opened.items()))


def _make(job: SongJob) -> SongResult:
    log = file_log(job.song.path)
    tree, lines = load_tree(job.song.path, log)
    read = None if tree is None else read_score_tree(tree, lines, log)
    if read is None:
        return SongResult(tuple(log.in_order()))
    whole = _outrank(read, job)
    score = _as_shown(whole, job.song)
    style, problems = _style(job, score)
    if style is None:
        return SongResult((*log.in_order(), *problems))
    book = file_log(job.beside)
    check_characters(replace(score, title="") if job.song.title else score, style, log, lines)
    check_neck_room(score, style, log)
    check_title(job.song.title, style, job.song.location, book)
    if not job.song.chord_sheet:
        check_view(whole, None, job.song.location, book)
    facts = _facts(score, whole, job)
    document = None
    if not log.has_errors and not book.has_errors:
        try:
            document = _place(job, score, style)
        except NoWords as error:
            book.error(job.song.location, str(error), hint="remove as: chord-sheet")
        except MusicTooWide as wide:
            wide.tell(log)
    if document is not None and not check_printable(document, lines, log):
        document = None
    found = (*log.in_order(), *book.in_order(), *problems)
    if document is None:
        return SongResult(found, facts=facts)
    rest = style.breaking.turn_rest
    turns = () if job.song.chord_sheet else tuple(find_bad_turns(score, document, rest))
    pages = _draw(document) if job.draws else None
    laid_out = facts._replace(
        first_line=first_sung_line(score, style),
        sign_pages=_find_signs(score, document) if facts.signs else (),
    )
    return SongResult(found, len(document.pages), pages, laid_out, turns)


def _find_signs(score: Score, document: PlacedDocument) -> tuple[tuple[str, int], ...]:
    """Each sign of the score with the first page of the document on which its measure stands."""
    found: dict[str, int] = {}
    for number, page in enumerate(document.pages, start=1):
        measures = [
            mark.source.measure for group in page.groups for mark in group.marks if mark.source.measure
        ]
        if measures:
            for sign in used_signs(excerpt(score, min(measures) - 1, max(measures))):
                found.setdefault(sign, number)
    return tuple(found.items())


def _draw(document: PlacedDocument) -> DrawnPages:
    from engrave.drawing.pdf.draw import draw_pages

    return draw_pages(document)


def read_facts(job: SongJob) -> SongFacts | None:
    """What contents and indexes say of a song, without laying it out; None when it cannot be read."""
    score, _ = load_score(job.song.path)
    if score is None:
        return None
    whole = _outrank(score, job)
    return _facts(_as_shown(whole, job.song), whole, job._replace(rated=False))


def _facts(score: Score, whole: Score, job: SongJob) -> SongFacts:
    """The facts of a song as the book shows it: a chord sheet shows no signs."""
    facts = gather_facts(score, whole if job.rated else None)
    return facts._replace(signs=()) if job.song.chord_sheet else facts


def _outrank(score: Score, job: SongJob) -> Score:
    """The score with what the book says of it."""
    song = job.song
    return score.with_book(song.title, song.view, song.explain_signs, job.language)


def _as_shown(score: Score, song: Song) -> Score:
    """What of a score its pages show: all of it, or the tune."""
    return score if song.chord_sheet else seen_in(score, None)


def _style(job: SongJob, score: Score) -> tuple[Style | None, tuple[Problem, ...]]:
    """The book's style, with the book's changes, the score's own, and those for this song in the book."""
    from_song = job.song.changes if job.song.changes is not None else score.house_style
    owner = job.beside if job.song.changes is not None else score.file
    found = [Changes(job.changes, job.beside), Changes(from_song, owner)]
    changes = [change for change in found if change.content is not None]
    style, log = load_style(job.style, job.beside, changes or None, score.language)
    if style is not None and job.sheet is not None:
        try:
            style = on_sheet(style, *job.sheet)
        except ValueError as error:
            log.error(NOWHERE, str(error))
            style = None
    return style, tuple(log.in_order())


def _place(job: SongJob, score: Score, style: Style) -> PlacedDocument:
    if job.song.chord_sheet:
        return place_chord_sheet(score, style)
    examples = None
    if score.explain_signs is not ExplainSigns.NONE:
        signs = used_signs(score)
        if score.explain_signs is ExplainSigns.NEW:
            signs = tuple(sign for sign in signs if sign not in job.known)
        examples = read_sign_examples(signs)
    turned = {Side.LEFT: 2, Side.RIGHT: 1, Side.NEXT: 0}[job.song.side]
    return place_score(score, style, None, examples, in_book=True, first_turned=turned)


def gather_facts(score: Score, rated: Score | None = None) -> SongFacts:
    """What contents and indexes say of `score`, and how hard the score `rated` is to play."""
    credits = score.credits
    writers = tuple(dict.fromkeys(name for name in (credits.music, credits.words) if name))
    fretted = next((part.instrument for part in score.parts if part.is_fretted), None)
    tuning = NO_STRINGS if fretted is None else _tuning(fretted)
    key = score.measures[0].key.name if score.measures else ""
    hard = _rate(rated) if rated is not None else 0.0
    signs = used_signs(score)
    return SongFacts(
        title=score.title,
        writers=writers,
        first_line="",
        key=key,
        tuning=tuning,
        signs=signs,
        difficulty=hard,
        language=score.language,
    )


def _rate(score: Score) -> float:
    """How hard a piece is, 0 to 10."""
    from engrave.fingering.difficulty import rate_piece, rate_score
    from engrave.fingering.hand import load_hand

    return rate_piece(rate_score(score, load_hand(USUAL_HAND)))


def _tuning(instrument: Instrument) -> Strings:
    """An instrument's strings from the thickest, with the name of the tuning if it has one."""
    pitches = tuple(pitch.name for pitch in reversed(instrument.tuning))
    known = next((name for name, strings in TUNINGS.items() if strings == pitches), "")
    return Strings(instrument.name, pitches, known)
