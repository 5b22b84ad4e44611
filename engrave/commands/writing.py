"""Scores written for others, and music to be heard: each form by its module, loaded when it is wanted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from engrave.commands.outcome import Outcome, beside, write_files, write_result
from engrave.documents.handout import Item, music_of
from engrave.documents.handout import Piece as MusicPiece
from engrave.documents.kind import Kind
from engrave.documents.songbook import Song, Songbook
from engrave.playing.left_out import is_silent, perform_without
from engrave.playing.practice import Practice, practise
from engrave.playing.sounding import Performance
from engrave.playing.unheard import UNHEARD, UNHEARD_IN_MIDI, find_unheard
from engrave.problems import Location, Problem, Severity
from engrave.products.product import Source, open_source
from engrave.products.registry import product_of
from engrave.reading.load import load_score, read_score_tree
from engrave.requests.exchange import ENDINGS, Foreign, WriteRequest
from engrave.requests.pages import Looks
from engrave.resources import data_folder
from engrave.score.excerpt import choose_parts, find_measures
from engrave.score.structure import Score


class Written(NamedTuple):
    """A score in another form, None when something is wrong; what it cannot carry as warnings; words about it."""

    data: bytes | None
    problems: tuple[Problem, ...]
    remarks: tuple[str, ...] = ()


class _Part(NamedTuple):
    """What is written: a score from measure index `first` up to `stop`, under a name."""

    score: Score
    first: int
    stop: int
    name: str


class _Piece(NamedTuple):
    """One piece of music of a document, and what it is called among them; "" where it is all of it."""

    score: Score
    path: str
    name: str = ""


_Losses = list[tuple[str, str]]
"""What a form cannot carry, and where in the music."""
_Form = tuple[bytes, _Losses, tuple[str, ...]]
"""A score in another form, what that cannot carry, words about it."""
_LONGEST_NAME = 40
"""Letters of a piece in the name of its file (house rule)."""


def write_document(request: WriteRequest) -> Outcome:
    """Write a document in another form, beside it unless the request says where: a score, or each piece of a handout or book."""
    path = request.file
    pieces, problems, is_score = _read_pieces(path)
    outcome = Outcome(problems)
    if outcome.failed:
        return outcome
    if not pieces:
        return outcome.with_error(path, "there is no music in it")
    usual = beside(path, ENDINGS[request.form])
    if is_score and request.practising.tour:
        return outcome.with_error(path, "this is one piece of music; --tour is for handouts and songbooks")
    if is_score:
        written = write_score(pieces[0].score, path, request)
        outcome = Outcome((*problems, *written.problems), remarks=written.remarks)
        if written.data is None:
            return outcome
        if request.form is Foreign.WAV:  # a sound is nothing that a score is read from, and may be replaced
            return write_files({request.output or usual: written.data}, outcome)
        return write_result(path, request.output, usual, written.data, outcome)
    return _write_pieces(pieces, request, Path(request.output or usual), outcome)


def _write_pieces(pieces: list[_Piece], request: WriteRequest, target: Path, outcome: Outcome) -> Outcome:
    """A file for each piece, numbered in their order, or one tour of all."""
    files: dict[str, bytes] = {}
    remarks: list[str] = []
    shared: tuple[str, ...] = ()
    for number, piece in enumerate(pieces, 1):
        written = write_score(piece.score, piece.path, request)
        outcome = outcome._replace(problems=(*outcome.problems, *written.problems))
        if written.data is not None:
            word = re.sub(r"[^a-z0-9]+", "-", piece.name.casefold())[:_LONGEST_NAME].strip("-")
            stem = "-".join(filter(None, (target.stem, f"{number:0{len(str(len(pieces)))}}", word)))
            name = str(target.with_name(stem + (target.suffix or ENDINGS[request.form])))
            files[name] = written.data
            remarks.extend(f"{name}: {remark}" for remark in written.remarks[:1])
            shared = written.remarks[1:]
    if outcome.failed:
        return outcome
    if request.practising.tour:
        try:
            tour, levels, caution = _join(list(files.values()))
        except ValueError as error:
            return outcome.with_error(request.file, str(error))
        return write_files({str(target): tour}, outcome._replace(remarks=(levels, caution)))
    outcome = outcome._replace(remarks=(*remarks, *shared))
    if request.form is Foreign.WAV or request.output:
        return write_files(files, outcome)
    there = [name for name in files if Path(name).exists()]
    if there:
        return outcome.with_error(request.file, f"{there[0]} already exists", "name the results with -o")
    return write_files(files, outcome)


def _join(sounds: list[bytes]) -> tuple[bytes, str, str]:
    """All sounds in one, its levels, and the caution."""
    from engrave.playing.levels import CAUTION, measure_levels
    from engrave.playing.sound_file import join_wavs
    from engrave.playing.taste import read_sound

    tour = join_wavs(sounds, read_sound().tour_pause)
    return tour, str(measure_levels(tour)), CAUTION


def _read_pieces(path: str) -> tuple[list[_Piece], tuple[Problem, ...], bool]:
    """The music of the document at `path`, what is wrong with it, and whether it is a score."""
    source, log = open_source(path)
    if source is None:
        return [], tuple(log.in_order()), True
    if source.kind in (Kind.SCORE, Kind.PAPER):
        score = read_score_tree(source.tree, source.lines, log)
        return [_Piece(score, path)] if score is not None else [], tuple(log.in_order()), True
    pieces = list(_pieces_of(source))
    return pieces, source.problems, False


def _pieces_of(source: Source) -> Iterator[_Piece]:
    """The music of a handout, a songbook or a method, in its order; problems go to the source."""
    document = product_of(source.kind).read(source, Looks())
    if source.kind is Kind.HANDOUT and document is not None:
        yield from _examples(document.handout.items, source.path)
    elif source.kind is Kind.METHOD and document is not None:
        for chapter in document.method.chapters:
            yield from _examples(chapter.items, chapter.file)
    elif source.kind is Kind.SONGBOOK and document is not None:
        yield from _songs(document.book, source)


def _examples(items: Iterable[Item], path: str) -> Iterator[_Piece]:
    for music in music_of(items):
        words = music.title if isinstance(music, MusicPiece) else music.caption
        yield _Piece(music.score, path, words or music.name or music.score.title)


def _songs(book: Songbook, source: Source) -> Iterator[_Piece]:
    for entry in book.entries:
        if isinstance(entry, Song):
            score, log = load_score(entry.path)
            source.elsewhere.extend(log.in_order())
            if score is not None:
                title = entry.title or score.title
                yield _Piece(replace(score, title=title), entry.path, title or Path(entry.path).stem)


def write_score(score: Score, path: str, request: WriteRequest) -> Written:
    """A score that was read from `path` in another form."""
    first, stop = 0, len(score.measures)
    try:
        score = choose_parts(score, request.parts)
        if request.measures:
            first, stop = find_measures(score, request.measures)
        data, lost, remarks = _write(_Part(score, first, stop, Path(path).stem), request)
    except (ValueError, ImportError) as error:
        return Written(None, (_error(path, str(error)),))
    return Written(data, tuple(_warning(path, what, where) for what, where in lost), remarks)


def _write(part: _Part, request: WriteRequest) -> _Form:
    score = part.score
    match request.form:
        case Foreign.MUSICXML | Foreign.MXL:
            from engrave.exchange.musicxml.writer import write_musicxml, write_mxl

            data = write_musicxml(score)
            if request.form is Foreign.MXL:
                data = write_mxl(data, f"{part.name}.musicxml")
            return data, [*_lost_strums(part), *_lost_necks(part)], ()
        case Foreign.MIDI:
            from engrave.exchange.midi.writer import write_performance

            performance = _perform(part, request)
            if is_silent(performance):
                raise ValueError("nothing sounds in this music, so that its MIDI file would have no notes")
            data = write_performance(score, performance, part.first, part.stop, request.repeats)
            return data, _unheard(part, UNHEARD_IN_MIDI), ()
        case Foreign.TEXT:
            from engrave.exchange.text_tab.writer import write_text_tab

            text, changes = write_text_tab(score, request.width)
            return text.encode("utf-8"), [(change, "") for change in changes], ()
        case Foreign.WAV:
            return _write_sound(part, request)
        case Foreign.WORDS | Foreign.HTML:
            from engrave.commands.unseen import write_words

            return *write_words(score, part.first, part.stop, request), ()
        case Foreign.BRAILLE | Foreign.BRF:
            from engrave.commands.unseen import write_in_braille

            return *write_in_braille(score, part.first, part.stop, request), ()


def _perform(part: _Part, request: WriteRequest) -> Performance:
    """What is heard. Raises ValueError for a part that is not there, or a tempo that cannot be played."""
    wish = request.practising
    performance = perform_without(part.score, part.first, part.stop, request.repeats, wish.without)
    practice = Practice(wish.count_in, wish.click, wish.loop, wish.rise, wish.tempo_scale)
    return practise(performance, part.score.measures[part.first], practice)


def _write_sound(part: _Part, request: WriteRequest) -> _Form:
    """A score as sound. Raises ImportError where what computes it is not installed."""
    try:
        from engrave.playing.levels import CAUTION, measure_levels
        from engrave.playing.sound_file import render_wav
    except ImportError as error:
        raise ImportError(f"sound needs numpy; install it with {_how_to_install()}") from error
    sound = render_wav(_perform(part, request), room=request.practising.room)
    return sound, _unheard(part, UNHEARD), (str(measure_levels(sound)), CAUTION)


def _how_to_install() -> str:
    """The command that installs what sound needs: in a checkout by its folder, else by the package's name."""
    is_checkout = (data_folder() / "pyproject.toml").is_file()
    return 'pip install ".[listen]"' if is_checkout else 'pip install "engrave[listen]"'


def _unheard(part: _Part, signs: frozenset[str]) -> _Losses:
    from engrave.theory.numbering import name_measures

    return [
        (what, f"{name}, {name_measures(numbers)}" if name else name_measures(numbers))
        for what, name, numbers in find_unheard(part.score, part.first, part.stop, signs)
    ]


def _lost_strums(part: _Part) -> _Losses:
    strummed = any(content.is_strummed for one in part.score.parts for content in one.measures)
    return [("strum patterns are written out as slashes", "")] if strummed else []


def _lost_necks(part: _Part) -> _Losses:
    """The neck diagrams, for which MusicXML 4.0 has no element, part by part."""
    from engrave.theory.numbering import name_measures

    lost = []
    for own in part.score.parts:
        pairs = zip(part.score.measures, own.measures, strict=True)
        numbers = [str(measure.number) for measure, content in pairs if content.neck is not None]
        if numbers:
            lost.append(("neck diagrams are lost", f"{own.name}, {name_measures(numbers)}"))
    return lost


def _error(path: str, what: str) -> Problem:
    return Problem(path, Location(0, 0), Severity.ERROR, what)


def _warning(path: str, what: str, where: str = "") -> Problem:
    return Problem(path, Location(0, 0), Severity.WARNING, what, where)
