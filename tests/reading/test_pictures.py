"""Pictures of strangers: turned as the camera was held, without what they tell of their maker, whole, and bounded."""

import base64
import io
import re
import struct
import subprocess
import sys
import zlib

import pypdfium2
import pytest
from PIL import Image

from engrave.marks.turn import turn_matrix
from engrave.reading.picture_bytes import PNG
from engrave.reading.pictures import read_picture
from tests.made import make

CORNERS = {"top left": 230, "top right": 160, "bottom left": 90, "bottom right": 20}
"""Greys of the four quarters of a picture as it is looked at."""


def quarters(size=(64, 32), mode="L"):
    """A picture with four greys."""
    width, height = size
    picture = Image.new("L", size)
    for number, grey in enumerate(CORNERS.values()):
        x, y = number % 2 * width // 2, number // 2 * height // 2
        picture.paste(grey, (x, y, x + width // 2, y + height // 2))
    return picture.convert(mode)


_STORED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
"""What a camera does to a picture that is to be looked at as it is, by the orientation that it notes (EXIF 2.32, table 6)."""


def write(path, picture, turn=1, **more):
    """Write the picture as a camera would that was held so, with the place in its notes."""
    stored = picture if _STORED[turn] is None else picture.transpose(_STORED[turn])
    exif = Image.Exif()
    exif[0x0112] = turn
    exif[0x010F] = "Secret maker"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (47.0, 22.0, 1.5)
    stored.save(path, exif=exif, **more)
    return path


def page(tmp_path, name, **values):
    """The page of a handout with the picture, as a file."""
    handout = tmp_path / "h.yaml"
    handout.write_text(f"handout: 1\ncontent:\n  - {{picture: {name}, alt: a}}\n", "utf-8")
    target = tmp_path / "h.out"
    outcome = make(handout, output=str(target), **values)
    assert [str(problem) for problem in outcome.problems] == []
    return target.read_bytes()


@pytest.mark.parametrize("ending", ["jpg", "png"])
@pytest.mark.parametrize("turn", range(1, 9))
def test_a_photo_stands_upright_however_the_camera_was_held(tmp_path, turn, ending):
    write(tmp_path / f"a.{ending}", quarters(), turn)
    assert read_picture(tmp_path / f"a.{ending}").size == (64, 32)
    drawn = pypdfium2.PdfDocument(page(tmp_path, f"a.{ending}"))[0].render(scale=1).to_pil().convert("L")
    box = drawn.point(lambda value: 255 * (value < 250)).getbbox()
    left, top, right, bottom = box
    assert (right - left) / (bottom - top) == pytest.approx(2, rel=0.03)
    for index, (where, grey) in enumerate(CORNERS.items()):
        x = left + (right - left) * (1 + 2 * (index % 2)) // 4
        y = top + (bottom - top) * (1 + 2 * (index // 2)) // 4
        assert drawn.getpixel((x, y)) == pytest.approx(grey, abs=6), where


@pytest.mark.parametrize("turn", range(1, 9))
def test_the_matrix_of_a_turn_keeps_the_unit_square(turn):
    a, b, c, d, e, f = turn_matrix(turn)
    corners = {(a * u + c * v + e, b * u + d * v + f) for u in (0, 1) for v in (0, 1)}
    assert corners == {(0, 0), (0, 1), (1, 0), (1, 1)}


@pytest.mark.parametrize("turn", [1, 3, 6, 8])
def test_a_drawing_turns_a_photo_as_the_pdf_does(tmp_path, turn):
    from engrave.requests.pages import Format

    write(tmp_path / "a.jpg", quarters(), turn)
    drawn = page(tmp_path, "a.jpg", form=Format.SVG).decode()
    numbers = re.search(
        r'width="1" height="1" preserveAspectRatio="none" transform="matrix\(([^)]*)\)"', drawn
    )[1]
    a, b, c, d, _, _ = (float(number) for number in numbers.split())
    wide, tall = (abs(c), abs(b)) if turn in (6, 8) else (abs(a), abs(d))
    assert wide / tall == pytest.approx(2, rel=0.01)


@pytest.mark.parametrize("ending", ["jpg", "png"])
def test_nothing_is_told_of_place_and_maker(tmp_path, ending):
    write(tmp_path / f"a.{ending}", quarters(), comment=b"Secret words") if ending == "jpg" else write(
        tmp_path / "a.png", quarters()
    )
    data = read_picture(tmp_path / f"a.{ending}").data
    assert b"Secret" in (tmp_path / f"a.{ending}").read_bytes()
    assert b"Secret" not in data
    assert b"Exif" not in data
    assert b"eXIf" not in data
    with Image.open(io.BytesIO(data)) as cleaned, Image.open(tmp_path / f"a.{ending}") as before:
        assert cleaned.tobytes() == before.tobytes()
    from engrave.requests.pages import Format

    assert b"Secret" not in page(tmp_path, f"a.{ending}")
    drawn = page(tmp_path, f"a.{ending}", form=Format.SVG).decode()
    assert b"Secret" not in base64.b64decode(re.search('base64,([^"]*)', drawn)[1])


def test_a_jpeg_goes_into_the_pdf_as_it_was_stored(tmp_path):
    write(tmp_path / "a.jpg", quarters((640, 320), "RGB"), 6)
    data = read_picture(tmp_path / "a.jpg").data
    assert data in page(tmp_path, "a.jpg")


def test_a_second_picture_behind_the_first_is_left_out(tmp_path):
    quarters().save(tmp_path / "a.jpg")
    once = read_picture(tmp_path / "a.jpg").data
    (tmp_path / "a.jpg").write_bytes((tmp_path / "a.jpg").read_bytes() * 2)
    assert read_picture(tmp_path / "a.jpg").data == once


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_kind_of_png_is_printed_in_its_greys(tmp_path, mode):
    if mode == "I;16":
        picture = Image.new("I;16", (64, 32))
        picture.frombytes(b"".join(struct.pack("<H", grey * 257) for grey in quarters().tobytes()))
    else:
        picture = quarters(mode=mode)
    picture.save(tmp_path / "a.png")
    drawn = pypdfium2.PdfDocument(page(tmp_path, "a.png"))[0].render(scale=1).to_pil().convert("L")
    left, top, right, bottom = drawn.point(lambda value: 255 * (value < 250)).getbbox()
    grey = drawn.getpixel((left + (right - left) * 3 // 4, top + (bottom - top) * 3 // 4))
    assert grey == (pytest.approx(20, abs=6) if mode != "1" else pytest.approx(grey))


def test_what_shows_through_is_the_paper(tmp_path):
    picture = Image.new("RGBA", (32, 32), (0, 0, 0, 0))
    picture.paste((0, 0, 0, 255), (0, 0, 16, 32))
    picture.save(tmp_path / "a.png")
    drawn = pypdfium2.PdfDocument(page(tmp_path, "a.png"))[0].render(scale=1).to_pil().convert("L")
    left, _, right, _ = drawn.point(lambda value: 255 * (value < 128)).getbbox()
    assert right - left == pytest.approx(drawn.width * 0.4, rel=0.2)


def test_ink_for_presses_stays_as_dark_as_it_was(tmp_path):
    quarters().convert("RGB").convert("CMYK").save(tmp_path / "a.jpg")
    drawn = pypdfium2.PdfDocument(page(tmp_path, "a.jpg"))[0].render(scale=1).to_pil().convert("L")
    left, top, right, bottom = drawn.point(lambda value: 255 * (value < 250)).getbbox()
    shades = [
        drawn.getpixel((left + (right - left) * x // 4, top + (bottom - top) * y // 4))
        for y in (1, 3)
        for x in (1, 3)
    ]
    assert shades == sorted(shades, reverse=True)


def test_of_an_animation_the_first_picture_is_printed(tmp_path):
    frames = [quarters(), Image.new("L", (64, 32), 255)]
    frames[0].save(tmp_path / "a.png", save_all=True, append_images=frames[1:])
    data = read_picture(tmp_path / "a.png").data
    assert b"acTL" not in data
    assert b"fdAT" not in data
    with Image.open(io.BytesIO(data)) as picture:
        assert picture.tobytes() == frames[0].tobytes()


def png(width, height, rows, kind=0):
    """A PNG of 8 bits whose header and pixels may disagree."""
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, kind, 0, 0, 0)),
        (b"IDAT", zlib.compress(rows, 9)),
        (b"IEND", b""),
    )
    return PNG + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )


def _whole(ending):
    buffer = io.BytesIO()
    quarters().save(buffer, {"jpg": "JPEG", "png": "PNG"}[ending])
    return buffer.getvalue()


@pytest.mark.parametrize("ending", ["jpg", "png"])
@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.7, 0.9, 0.99])
def test_a_picture_that_breaks_off_is_damaged(tmp_path, ending, share):
    data = _whole(ending)
    (tmp_path / f"a.{ending}").write_bytes(data[: int(len(data) * share)])
    with pytest.raises(ValueError, match=r'the picture "a\.(png|jpg)" is damaged; save it again'):
        read_picture(tmp_path / f"a.{ending}")


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (png(64, 32, b"\0" * 100), "damaged"),
        (png(0, 32, b"\0" * 100), "damaged"),
        (png(60_000, 60_000, b"\0" * 1000), "too many pixels"),
        (png(8_000, 8_000, b"\0" * 1000, 2), "too many pixels"),
        (_whole("png").replace(b"IDAT", b"IDAT", 1)[:-20] + b"\0" + _whole("png")[-19:], "damaged"),
        (PNG + b"\xff\xff\xff\xffIHDR" + b"\0" * 40, "damaged"),
        (b"\xff\xd8" + b"\xff" * 1000, "damaged"),
        (b"\xff\xd8\xff\xda\x00\x02" * 1000, "damaged"),
        (
            re.sub(b"(\xff\xc0\x00.\x08)....", b"\\g<1>\xff\xff\xff\xff", _whole("jpg"), flags=re.DOTALL),
            "too many pixels",
        ),
        (b"GIF89a", "is not a PNG or JPEG picture"),
        (b"", "is not a PNG or JPEG picture"),
    ],
)
def test_a_picture_that_lies_has_one_message(tmp_path, data, what):
    (tmp_path / "a.png").write_bytes(data)
    with pytest.raises(ValueError, match=what):
        read_picture(tmp_path / "a.png")


@pytest.mark.parametrize("seed", range(60))
def test_changed_bytes_end_as_a_picture_or_as_a_message(tmp_path, seed):
    import random

    chosen = random.Random(seed)
    data = bytearray(_whole(chosen.choice(["jpg", "png"])))
    for _ in range(chosen.randint(1, 8)):
        data[chosen.randrange(2, len(data))] = chosen.randrange(256)
    (tmp_path / "a.png").write_bytes(data)
    try:
        assert all(read_picture(tmp_path / "a.png").size)
    except ValueError as error:
        assert '"a.png"' in str(error)  # noqa: PT017


_MEASURE = """
import resource, sys
from pathlib import Path
from engrave.cli import main
status = main(["make", sys.argv[1], "-o", sys.argv[2], "--quiet"])
peak = Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0]
print(status, int(peak) // 1024, resource.getrusage(resource.RUSAGE_SELF).ru_utime)
"""


@pytest.mark.parametrize("kind", ["grey png", "clear png", "jpeg", "bomb"])
def test_the_largest_pictures_need_bounded_memory(tmp_path, kind):
    if kind == "bomb":
        (tmp_path / "a.png").write_bytes(png(30_000, 30_000, b"\0" * 50_000_000))
    elif kind == "jpeg":
        Image.new("RGB", (7_700, 7_700), "grey").save(tmp_path / "a.png", "JPEG")
    else:
        size, mode = ((7_700, 7_700), "L") if kind == "grey png" else ((3_900, 4_000), "RGBA")
        Image.new(mode, size, 128 if mode == "L" else (1, 2, 3, 4)).save(tmp_path / "a.png")
    (tmp_path / "h.yaml").write_text("handout: 1\ncontent:\n  - {picture: a.png, alt: a}\n", "utf-8")
    done = subprocess.run([sys.executable, "-c", _MEASURE, str(tmp_path / "h.yaml"), str(tmp_path / "h.pdf")], capture_output=True, text=True, check=True)  # fmt: skip
    status, megabytes, seconds = done.stdout.split()
    assert int(status) == (1 if kind == "bomb" else 0), done.stderr
    assert int(megabytes) < 400
    assert float(seconds) < 10
