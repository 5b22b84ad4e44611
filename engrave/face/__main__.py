"""`python -m engrave.face`: rebuild the music face; with `--specimen FILE` draw a sheet of it."""

from __future__ import annotations

import argparse
from pathlib import Path

from engrave.face.compile import build_face
from engrave.face.specimen import draw_specimen
from engrave.fonts.face_files import MUSIC_FONT_FILE, MUSIC_METRICS_FILE


def main() -> None:
    """Rebuild the face, or draw the specimen sheet."""
    parser = argparse.ArgumentParser(prog="python -m engrave.face", description="Rebuilds the music face.")
    parser.add_argument("--specimen", type=Path, metavar="FILE.png", help="draw a specimen sheet instead")
    options = parser.parse_args()
    if options.specimen:
        draw_specimen(options.specimen)
    else:
        build_face(MUSIC_FONT_FILE, MUSIC_METRICS_FILE)


main()
