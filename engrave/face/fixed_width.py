"""Makes the fixed-width face for what is typed: DejaVu Sans Mono, its Latin, Greek and Cyrillic letters, a little smaller.

python -m engrave.face.fixed_width DejaVuSansMono.ttf

The letters are set at `SIZE` of their height, so that typed words beside the serif face have its x-height. Hinting and
layout tables are left out: pages are printed.
"""

from __future__ import annotations

import sys

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.ttLib.scaleUpem import scale_upem

from engrave.fonts.face_files import FIXED_FONT_FILE

SIZE = 0.87
"""The x-height of Source Serif over that of DejaVu Sans Mono (fact: 475/1000 over 1120/2048)."""
_EM = 1000
"""Units of an em, as in the other faces."""
_CHARACTERS = {
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),  # Latin-1 and Latin Extended-A
    *range(0x370, 0x400),  # Greek
    *range(0x400, 0x460),  # Cyrillic
    *range(0x2010, 0x203B),  # dashes, quotation marks, dots
    0x203F,  # the tie between syllables
    0x20AC,
    *range(0x2190, 0x2194),  # arrows
    0x2212,
    *range(0x2500, 0x2580),  # lines of drawn tab
}


def make(source: str) -> None:
    """Write the face made of the file `source` to where the program finds it."""
    options = subset.Options()
    options.hinting = options.glyph_names = False
    options.layout_features = []
    options.notdef_outline = True
    options.name_IDs = ["*"]
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "FFTM", "kern"]
    font = TTFont(source)
    chosen = subset.Subsetter(options)
    chosen.populate(unicodes=_CHARACTERS)
    chosen.subset(font)
    scale_upem(font, round(_EM * SIZE))
    font["head"].unitsPerEm = _EM
    font.save(FIXED_FONT_FILE)


if __name__ == "__main__":
    make(sys.argv[1])
