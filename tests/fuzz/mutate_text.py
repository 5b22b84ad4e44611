"""Damage to bytes and to lines of text, and the odd words that are put wherever a word may stand."""

from __future__ import annotations

import random

ESCAPE = "\x1b[2J\x1b]0;x\x07"
"""What clears a terminal and renames its window (ECMA-48, and common practice of terminals)."""
_SIGNS = [
    "\0", "\r", "\x1b", "\x07", "\x08", "\x7f", "\x85", "\x9b", "\u202e", "\u2066", "\u200f", "\u2028", "\u2029", "\ufeff",
    "\u00a0", "\u200b", "\u00ad", "\ufffd", "\uffff", "\U0001f3b8", "\U0001d11e", "\U0010ffff", "♭", "♯", "♮", "𝄫", "１２", "٣",
    "漢", "é", "e\u0301", "ß", "İ", "ŉ", "½", "²", "–", "‘", "“", "…", "\t", "\u0e33", "ﬁ", "\ud800", "\ud83c",
]  # fmt: skip
_WORDS = [
    "", " ", "-", "--", "=", ":", ": ", "#", "# x", "*x", "&x", "!!python/name:os.system", "!!binary x", "|", ">", "%", "@", "`",
    "{", "}", "[", "]", ",", "? ", "- ", "---", "...", "<<", "~", "null", "yes", "1/4", "0/4", "1/0", "-1/4", "3(1/8", "1/8:", "1:0",
    "1:99", "0:0", "7:1", "1:-1", "1:0+1:0", "nan", ".nan", ".inf", "1e400", "0x10", "0o7", "1_000", "2.0", "12:30:45", "2026-01-01",
    "string-number", "bend", "bend 99", "bend full then 0", "trill 0", "hammer-on slide tap", "x 3 2 0 1 0", "x x x x x x", "0 0",
    "C", "C/H", "Cmaj7#11b9", "N.C.", "H##", "1-4", "4-1", "0-0", "1-", "-9", "9999999999999999999999", "A4", "0x0", "1x1", "9e9x9",
    "[](#one)", "[](#gone)", "![x](y)", "<b>", "**", "| a |\n|---|", "```\n", "$HOME", "../x", "/dev/null", "document.yaml", "song.yaml",
    "..", ".", "con", "a\nb", "\n", "\n\n\n", "a" * 300, "a" * 5000, "ab " * 2000, "(" * 500, "-" * 400, "1" * 5000, "é" * 260,
    ESCAPE, "\u202egnp.exe", "drop D", "D2 A2 D3 G3 B3 E4", "E major", "Z minor", "D.S. al Coda", "de", "xx", "en-GB-oed",
]  # fmt: skip


def odd_word(rng: random.Random) -> str:
    """A word that a reader may not expect."""
    return rng.choice(
        [rng.choice(_SIGNS), rng.choice(_WORDS), "".join(rng.choices(_SIGNS, k=rng.randint(1, 4)))]
    )


def mutate_text(text: str, rng: random.Random) -> bytes:
    """A text damaged in its lines, then perhaps in its bytes."""
    lines = text.splitlines(keepends=True) or [""]
    for _ in range(rng.choice([1, 1, 2, 3])):
        lines = rng.choice(_LINE_WAYS)(lines, rng) or [""]
    data = encode("".join(lines))
    return mutate_bytes(data, rng) if rng.random() < 0.25 else data


def encode(text: str) -> bytes:
    """UTF-8; lone surrogates as the bytes that they would be, which UTF-8 forbids."""
    return text.encode("utf-8", "surrogatepass")


def _drop_line(lines: list[str], rng: random.Random) -> list[str]:
    at = rng.randrange(len(lines))
    return lines[:at] + lines[at + rng.choice([1, 1, 3]) :]


def _repeat_line(lines: list[str], rng: random.Random) -> list[str]:
    at = rng.randrange(len(lines))
    return lines[:at] + [lines[at]] * rng.choice([2, 3, 50]) + lines[at + 1 :]


def _swap_lines(lines: list[str], rng: random.Random) -> list[str]:
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return lines


def _join_line(lines: list[str], rng: random.Random) -> list[str]:
    at = rng.randrange(len(lines))
    lines[at] = lines[at].rstrip("\n") + rng.choice(["", " "])
    return lines


def _word_in_line(lines: list[str], rng: random.Random) -> list[str]:
    at = rng.randrange(len(lines))
    line = lines[at]
    start = rng.randint(0, len(line))
    lines[at] = line[:start] + odd_word(rng) + line[start + rng.choice([0, 0, 1, 4]) :]
    return lines


def _indent(lines: list[str], rng: random.Random) -> list[str]:
    at = rng.randrange(len(lines))
    lines[at] = (
        rng.choice([" ", "  ", "\t", "      "]) + lines[at] if rng.random() < 0.6 else lines[at].lstrip()
    )
    return lines


def _ends(lines: list[str], rng: random.Random) -> list[str]:
    end = rng.choice(["\r\n", "\r", "\u2028", "\x85", "\n\n", "\n\r"])
    return [line.replace("\n", end) for line in lines]


def _mark(lines: list[str], rng: random.Random) -> list[str]:
    return (
        ["\ufeff" + lines[0], *lines[1:]]
        if rng.random() < 0.5
        else [*lines, rng.choice(["\x1a", "\ufeff", "...\n", "---\n"])]
    )


def _wide_digits(lines: list[str], rng: random.Random) -> list[str]:
    """Digits of another script, which `str.isdigit` and `int` take for digits too."""
    zero = rng.choice([0xFF10, 0x0660, 0x1D7CE, 0x0966])
    at = rng.randrange(len(lines))
    lines[at] = "".join(
        chr(zero + int(c)) if c in "0123456789" and rng.random() < 0.5 else c for c in lines[at]
    )
    return lines


def _digit(lines: list[str], rng: random.Random) -> list[str]:
    """Another number where a digit stands."""
    places = [(i, j) for i, line in enumerate(lines) for j, c in enumerate(line) if c in "0123456789"]
    if places:
        i, j = rng.choice(places)
        new = rng.choice(
            ["0", "-1", "1", "9", "24", "37", "100", "1.0", "2.5", "1e9", "99999999999999999999", "x", ""]
        )
        lines[i] = lines[i][:j] + new + lines[i][j + 1 :]
    return lines


_LINE_WAYS = [
    _drop_line, _repeat_line, _swap_lines, _join_line, _word_in_line, _word_in_line, _word_in_line, _indent, _ends, _mark,
    _wide_digits, _digit, _digit, _digit,
]  # fmt: skip


def mutate_bytes(data: bytes, rng: random.Random, times: int = 3) -> bytes:
    """Bytes dropped, put in, repeated, changed; cut short; wrong UTF-8."""
    for _ in range(rng.randint(1, times)):
        at = rng.randint(0, max(len(data) - 1, 0))
        stop = at + rng.choice([1, 1, 2, 4, 16, 200])
        way = rng.randrange(7)
        if way == 0:
            data = data[:at] + data[stop:]
        elif way == 1:
            data = data[:at] + rng.randbytes(rng.choice([1, 2, 4])) + data[at:]
        elif way == 2:
            data = data[:stop] + data[at:stop] * rng.choice([1, 10, 300]) + data[stop:]
        elif way == 3:
            data = data[:at] + bytes([rng.randrange(256)]) + data[at + 1 :]
        elif way == 4:
            data = (
                data[:at]
                + rng.choice([b"\xff", b"\xc3", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\xc0\x80", b"\0"])
                + data[at:]
            )
        elif way == 5:
            data = data[:at]
        else:
            size = rng.choice([1, 2, 4])
            data = data[:at] + rng.choice([b"\xff" * size, b"\0" * size, b"\x7f" * size]) + data[at + size :]
    return data
