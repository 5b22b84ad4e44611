"""What counts as a failure: told from what the steps of a case did, and from the folder that they leave."""

from __future__ import annotations

import base64
import contextlib
import io
import re
import unicodedata
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from engrave.parser import build_parser
from tests.fuzz.case import Case, Step

DONE, WRONG_INPUT, WRONG_USE = 0, 1, 2
"""The exit statuses that a command may have."""
SLOW = 5.0
"""Seconds of the processor from which a command is noted as slow (house rule)."""
MUCH = 400_000_000
"""Bytes of memory from which a case is noted (house rule)."""


class Ran(NamedTuple):
    """What one step did; None in the list of them for a step that was not run."""

    status: int
    out: str
    err: str
    seconds: float
    kind: str = ""
    """Of an exception that came out: its class; "hang" when it was stopped; "" for none."""
    place: str = ""
    """File and function where it was raised."""
    detail: str = ""
    """The whole of it."""
    changed: frozenset[str] = frozenset()
    """Files that are there since, or have other contents."""


class Failure(NamedTuple):
    """Something that must not be. Failures with one key have one cause, as far as can be told."""

    kind: str
    place: str
    detail: str
    step: int = 0

    @property
    def key(self) -> str:
        """By what two failures are known as one."""
        return f"{self.kind} {self.place}".strip()


def judge(case: Case, ran: list[Ran | None], work: Path) -> list[Failure]:
    """Everything that is wrong with what the steps did and left in the folder `work`."""
    found: list[Failure] = []
    for number, (step, done) in enumerate(zip(case.steps, ran, strict=True)):
        if done is None:
            continue
        if done.kind:
            found.append(Failure(done.kind, done.place, done.detail, number))
            continue
        wrong = [*_judge_run(step, done), *_judge_answer(case, number, ran)]
        found += [failure._replace(step=number) for failure in wrong]
    return found + _judge_folder(case, work)


def _judge_run(step: Step, done: Ran) -> Iterator[Failure]:
    """What is wrong with a run by itself: its exit, its words, what it leaves."""
    command = step.arguments[0] if step.arguments else ""
    if done.status not in (DONE, WRONG_INPUT, WRONG_USE):
        yield Failure("status", f"{command} {done.status}", done.err)
    if done.status and not done.err.strip():
        yield Failure("silent", command, "it fails and says nothing")
    told = done.err if streams(step.arguments) else done.out + done.err
    sign = next(filter(is_unsafe, told), "")
    if sign:
        yield Failure("terminal", command, f"U+{ord(sign):04X} in a message: {told!r}")
    if done.status and done.changed and not many_results(step.arguments):
        yield Failure("left-over", command, f"it fails and leaves {sorted(done.changed)}")


def _judge_answer(case: Case, number: int, ran: list[Ran | None]) -> Iterator[Failure]:
    """What is wrong with a run beside the others: a refusal that should not be, check and make that disagree."""
    step, done = case.steps[number], ran[number]
    if done is None:
        return
    if step.must and done.status and not (step.after is not None and _lacks_signs_only(done.err)):
        yield Failure("refused", refusal_place(case, number, done.err), done.err)
    other = ran[step.agrees] if step.agrees is not None else None
    if other is not None and not other.kind and bool(other.status) != bool(done.status):
        told = other.err if other.status else done.err
        yield Failure("disagree", f"{step.arguments[0]}: {mask(told)}", told)


def streams(arguments: tuple[str, ...]) -> bool:
    """True for a command whose result may go to standard output: that is nobody's message."""
    return "-" in arguments or arguments[:1] == ("schema",)


def many_results(arguments: tuple[str, ...]) -> bool:
    """True where several things are made, each for itself: one may be wrong and the others right; so with kept songs."""
    if arguments[:1] != ("make",):
        return False
    with _nothing_said():
        options = build_parser("make").parse_args(arguments)
        return bool(options.cache) or len(options.files) > 1
    return False


@contextlib.contextmanager
def _nothing_said() -> Iterator[None]:
    """A parser may say what it likes, and give up."""
    silence = io.StringIO()
    printing = contextlib.redirect_stdout(silence), contextlib.redirect_stderr(silence)
    with printing[0], printing[1], contextlib.suppress(SystemExit):
        yield


def replaced(arguments: tuple[str, ...]) -> str:
    """The file that a command may write over though it reads it: `place` puts its places into the score itself where asked to."""
    if arguments[:1] != ("place",):
        return ""
    with _nothing_said():
        options = build_parser("place").parse_args(arguments)
        return options.file if Path(options.file) == Path(options.output) else ""
    return ""


_ALLOWED = "\n\t"
_OVERRIDES = frozenset(map(chr, (*range(0x202A, 0x202F), *range(0x2066, 0x206A))))
"""Characters that turn the direction of what follows (UAX #9, explicit directional formatting)."""


def is_unsafe(character: str) -> bool:
    """True for what does something to a terminal, or makes a message look like another."""
    if character in _OVERRIDES:
        return True
    return unicodedata.category(character) in ("Cc", "Cs") and character not in _ALLOWED


def _lacks_signs_only(told: str) -> bool:
    """True when nothing is wrong with a score but characters that no face has: those are kept as they were read."""
    errors = [line for line in told.splitlines() if "warning:" not in line]
    return bool(errors) and all("cannot be printed" in line for line in errors)


def refusal_place(case: Case, number: int, told: str) -> str:
    """By what refusals are told apart: the commands, and the message without its names and numbers."""
    step = case.steps[number]
    maker = case.steps[step.after].arguments if step.after is not None else ()
    form = maker[maker.index("--as") + 1] if "--as" in maker else ""
    return f"{' '.join(filter(None, (*maker[:1], form)))} > {step.arguments[0]}: {mask(told)}"


def mask(told: str) -> str:
    """The first error without what differs from file to file."""
    lines = [line for line in told.splitlines() if "warning:" not in line] or [""]
    text = re.sub(r"^\S+?:(\d+:\d+: )?", "", lines[0])
    return re.sub(r'"[^"]*"|\d+|\([^)]*\)', "_", text)[:80]


def _judge_folder(case: Case, work: Path) -> list[Failure]:
    """What is wrong with the files that are left."""
    found = []
    own = {Path(replaced(step.arguments)) for step in case.steps}
    for name, data in case.files.items():
        path = work / name
        if Path(name) in own:
            continue
        if not path.is_file() or path.read_bytes() != data:
            found.append(
                Failure("overwritten", case.steps[-1].arguments[0], f"{name} is no longer what it was")
            )
    for path in sorted(work.parent.rglob("*")):
        name = path.relative_to(work).as_posix() if path.is_relative_to(work) else path.name
        if name in case.files or not path.is_file():
            continue
        if path.name.startswith(".engrave-") or path.suffix == ".tmp":
            found.append(Failure("left-over", "temporary file", name))
        else:
            wrong = judge_result(path.suffix.lower(), path.read_bytes())
            if wrong:
                found.append(Failure("result", f"{path.suffix} {wrong.split(':')[0]}", f"{name}: {wrong}"))
    return found


_ENDS = {".pdf": b"%%EOF", ".svg": b"</svg>", ".png": b"IEND\xaeB`\x82", ".musicxml": b"</score-partwise>"}
"""How whole files end."""
_NO_NUMBER = re.compile(rb"(?<![\w#./-])[-+]?(?:nan|inf|infinity)(?![\w-])", re.IGNORECASE)


def judge_result(ending: str, data: bytes) -> str:
    """What is wrong with a finished file; "" when nothing is."""
    end = _ENDS.get(ending)
    if end is not None and not data.rstrip().endswith(end):
        return "not whole: it does not end as such files do"
    if ending == ".svg":
        values = b" ".join(
            re.findall(
                rb'(?:[\s](?:d|x|y|x1|x2|y1|y2|width|height|transform|viewBox|points|font-size|stroke-width|r|cx|cy)=")([^"]*)',
                data,
            )
        )
        match = re.search(rb"\b(nan|inf)\b", values, re.IGNORECASE)
        return f"no number: {match.group().decode()}" if match else ""
    if ending == ".pdf":
        return _judge_pdf(data)
    return ""


_STREAM = re.compile(rb"<<((?:(?!endobj).){0,900}?)>>\s*stream\r?\n(.*?)\s*endstream", re.DOTALL)
_WORDS = re.compile(rb"\((?:\\.|[^\\)])*\)|<[0-9A-Fa-f\s]*>|/\S+", re.DOTALL)
"""Strings and names (ISO 32000-1, 7.3.4 and 7.3.5), which may hold any letters."""
_BOXES = re.compile(rb"/(?:MediaBox|TrimBox|BleedBox|CropBox|Rect)\s*\[([^\]]*)\]")


def _judge_pdf(data: bytes) -> str:
    """Numbers that are none in what a PDF file draws, or among its boxes."""
    for head, content in _STREAM.findall(data):
        if (
            b"/Length1" in head
            or b"/Image" in head
            or b"/XML" in head
            or b"/ObjStm" in head
            or b"/XRef" in head
        ):
            continue
        bad = _NO_NUMBER.search(_WORDS.sub(b" ", _unpacked(head, content)))
        if bad:
            return f"no number: {bad.group().decode()}"
    bad = _NO_NUMBER.search(b" ".join(_BOXES.findall(data)))
    return f"no number: {bad.group().decode()} in a box" if bad else ""


def _unpacked(head: bytes, content: bytes) -> bytes:
    """What a stream holds; nothing where it is packed in another way."""
    try:
        if b"/ASCII85Decode" in head:
            content = base64.a85decode(content.removesuffix(b"~>"))
        return zlib.decompressobj().decompress(content) if b"/FlateDecode" in head else content
    except (ValueError, zlib.error):
        return b""
