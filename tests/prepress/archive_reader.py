"""What the tests of archival files read back with pikepdf."""

from io import BytesIO
from itertools import pairwise
from typing import NamedTuple

import pytest

pikepdf = pytest.importorskip("pikepdf")
ttlib = pytest.importorskip("fontTools.ttLib")

SHOWING = ("Tj", "TJ", "'", '"')


class UsedFont(NamedTuple):
    """A font of the file, the program in it, and the codes that the pages show with it."""

    dictionary: object
    program: object
    codes: frozenset

    def glyph_of(self, code):
        """The glyph of a simple symbolic TrueType font with one (1,0) table (ISO 32000-1, 9.6.6.4)."""
        (table,) = self.program["cmap"].tables
        return table.cmap.get(code, ".notdef")


def opened(data):
    return pikepdf.open(BytesIO(data))


def operators(pdf):
    """(operands, operator) of every page, in order."""
    for page in pdf.pages:
        for instruction in pikepdf.parse_content_stream(page):
            yield page, list(instruction.operands), str(instruction.operator)


def used_fonts(pdf):
    """Every font that shows text, by its object number."""
    shown, fonts, current = {}, {}, None
    for page, operands, operator in operators(pdf):
        if operator == "Tf":
            current = page.obj.Resources.Font[str(operands[0])]
            fonts[current.objgen] = current
        elif operator in SHOWING:
            strings = operands[-1] if operator == "TJ" else operands[-1:]
            codes = [code for text in strings if isinstance(text, pikepdf.String) for code in bytes(text)]
            shown.setdefault(current.objgen, set()).update(codes)
    return [UsedFont(fonts[key], program(fonts[key]), frozenset(codes)) for key, codes in shown.items()]


def program(font):
    return ttlib.TTFont(BytesIO(font.FontDescriptor.FontFile2.read_bytes()))


def strings_and_names(thing):
    """All strings and names inside a direct object, those of nested ones too."""
    if isinstance(thing, pikepdf.String):
        yield bytes(thing)
    elif isinstance(thing, pikepdf.Name):
        yield str(thing).encode()
    elif isinstance(thing, pikepdf.Array):
        for part in thing:
            if not getattr(part, "is_indirect", False):
                yield from strings_and_names(part)
    elif isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
        for key in thing:
            yield str(key).encode()
            if not getattr(thing[key], "is_indirect", False):
                yield from strings_and_names(thing[key])


def deepest_nesting(pdf):
    """The greatest depth of q inside q on any page."""
    depth = deepest = 0
    for _, _, operator in operators(pdf):
        depth += {"q": 1, "Q": -1}.get(operator, 0)
        deepest = max(deepest, depth)
    return deepest


def object_spans(data):
    """The bytes of each object as the cross-reference table places them."""
    starts = [
        int(line[:10]) for line in data[data.rindex(b"\nxref\n") :].split(b"\n") if line.endswith(b" n ")
    ]
    for start, end in pairwise([*sorted(starts), data.rindex(b"xref\n", 0, data.rindex(b"startxref"))]):
        yield data[start:end]
