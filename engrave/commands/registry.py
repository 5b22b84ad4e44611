"""The commands: what each is asked, and what carries it out. Both are loaded when they are wanted: start-up counts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, Generic, NamedTuple, TypeVar

from engrave.commands.outcome import Outcome, carry_out
from engrave.products.product import Progress, silent
from engrave.source.files import is_folder

Request = TypeVar("Request")
Told = Sequence[tuple[str, Outcome]]
"""What became of each file, by the name under which it is told."""


class Command(NamedTuple, Generic[Request]):
    """One command: the class of its request, and what carries that out, telling how many songs of a book are done.

    `answers`: what it reports is what was asked for; `judges`: it says so when nothing is wrong.
    """

    request: type[Request]
    run: Callable[[Request, Progress], Told]
    answers: bool = False
    judges: bool = False


def _make() -> Command[Any]:
    from engrave.commands.make import make_document
    from engrave.requests.pages import MakeRequest

    def make(file: str, request: MakeRequest, progress: Progress) -> tuple[str, Outcome]:
        return carry_out(file, partial(make_document, file, request, progress))

    def run(request: MakeRequest, progress: Progress) -> Told:
        told: list[tuple[str, Outcome]] = []
        for file in request.files:
            if is_folder(file):
                from engrave.commands.folders import make_folder

                told.extend(
                    make_folder(file, request, partial(make, request=request, progress=silent), progress)
                )
            else:
                told.append(make(file, request, progress))
        return told

    return Command(MakeRequest, run)


def _paper() -> Command[Any]:
    from engrave.commands.paper import make_paper
    from engrave.requests.paper import PaperRequest

    def run(request: PaperRequest, progress: Progress) -> Told:
        return [carry_out("paper", partial(make_paper, request))]

    return Command(PaperRequest, run)


def _read() -> Command[Any]:
    from engrave.commands.exchange import read_document
    from engrave.requests.exchange import ReadRequest

    def run(request: ReadRequest, progress: Progress) -> Told:
        return [carry_out(request.file, partial(read_document, request))]

    return Command(ReadRequest, run)


def _write() -> Command[Any]:
    from engrave.commands.writing import write_document
    from engrave.requests.exchange import WriteRequest

    def run(request: WriteRequest, progress: Progress) -> Told:
        return [carry_out(request.file, partial(write_document, request))]

    return Command(WriteRequest, run)


def _place() -> Command[Any]:
    from engrave.commands.place import place_document
    from engrave.requests.fingering import PlaceRequest

    def run(request: PlaceRequest, progress: Progress) -> Told:
        return [carry_out(request.file, partial(place_document, request))]

    return Command(PlaceRequest, run)


def _shapes() -> Command[Any]:
    from engrave.commands.shapes import give_shapes
    from engrave.requests.fingering import ShapesRequest

    def run(request: ShapesRequest, progress: Progress) -> Told:
        return [carry_out("shapes", partial(give_shapes, request))]

    return Command(ShapesRequest, run, answers=True)


def _necks() -> Command[Any]:
    from engrave.commands.necks import give_necks
    from engrave.requests.necks import NecksRequest

    def run(request: NecksRequest, progress: Progress) -> Told:
        return [carry_out("necks", partial(give_necks, request))]

    return Command(NecksRequest, run, answers=True)


def _schema() -> Command[Any]:
    from engrave.commands.schemas import give_schemas
    from engrave.requests.schemas import SchemaRequest

    def run(request: SchemaRequest, progress: Progress) -> Told:
        return [carry_out("schema", partial(give_schemas, request))]

    return Command(SchemaRequest, run, answers=True)


def _new() -> Command[Any]:
    from engrave.commands.starts import start_document
    from engrave.requests.starts import NewRequest

    def run(request: NewRequest, progress: Progress) -> Told:
        return [carry_out(request.kind.value, partial(start_document, request))]

    return Command(NewRequest, run)


def _guide() -> Command[Any]:
    from engrave.commands.guide import make_guide
    from engrave.requests.guide import GuideRequest

    def run(request: GuideRequest, progress: Progress) -> Told:
        return [carry_out("guide", partial(make_guide, request, progress))]

    return Command(GuideRequest, run)


def _check() -> Command[Any]:
    from engrave.commands.check import check_document
    from engrave.requests.pages import CheckRequest

    def run(request: CheckRequest, progress: Progress) -> Told:
        return [carry_out(file, partial(check_document, file, request, progress)) for file in request.files]

    return Command(CheckRequest, run, judges=True)


class Listed(NamedTuple):
    """A command in the list of commands."""

    words: str
    load: Callable[[], Command[Any]]


COMMANDS = {
    "new": Listed("write a document to start from", _new),
    "make": Listed("check and draw documents", _make),
    "paper": Listed("draw blank paper", _paper),
    "read": Listed("read plain-text tab, MusicXML or MIDI", _read),
    "write": Listed("write MusicXML, MIDI, plain-text tab or sound", _write),
    "place": Listed("choose strings, frets and fingers", _place),
    "shapes": Listed("find shapes of chords, or names of shapes", _shapes),
    "necks": Listed("show scales, arpeggios and licks on a neck", _necks),
    "schema": Listed("copy the schemas for an editor", _schema),
    "guide": Listed("write the guide to Engrave", _guide),
    "check": Listed("check documents and draw nothing", _check),
}
"""The commands by name, in the order of the help."""
