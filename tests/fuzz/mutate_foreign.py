"""Damage to scores in other forms: trees of XML, zip files, MIDI events, the chunks of pictures."""

from __future__ import annotations

import copy
import io
import random
import struct
import zipfile
import zlib
from xml.etree import ElementTree

import mido

from tests.fuzz.mutate_text import mutate_bytes, mutate_text, odd_word

_XML_WORDS = [
    "", "0", "-1", "1", "3", "7", "12", "64", "99", "255", "256", "1e9", "nan", "1/2", "0.5", "-0.5", "99999999999999999999", "x", "¼",
    "4+4", "start", "stop", "continue", "yes", "no", "quarter", "256th", "maxima", "up", "C", "H", "G", "TAB", "flat-flat", "\U0001d11e",
]  # fmt: skip
_TAGS = [
    "note", "chord", "rest", "grace", "tie", "backup", "forward", "attributes", "divisions", "time", "key", "transpose", "staves",
    "measure-repeat", "multiple-rest", "ending", "repeat", "tuplet", "slur", "bend", "bend-alter", "hammer-on", "harmonic", "unpitched",
    "time-modification", "normal-type", "dot", "voice", "staff", "string", "fret", "lyric", "extend", "harmony", "frame", "frame-note",
    "sound", "words", "dashes", "wedge", "octave-shift", "staff-tuning", "capo", "staff-lines", "measure", "part", "degree", "figured-bass",
]  # fmt: skip


def mutate_xml(data: bytes, rng: random.Random) -> bytes:
    """Elements removed, repeated, moved, renamed; attributes and texts changed; sometimes the text itself."""
    if rng.random() < 0.15:
        return mutate_text(data.decode("utf-8"), rng)
    root = ElementTree.fromstring(data)
    for _ in range(rng.choice([1, 1, 2, 4, 8])):
        parents = [(node, child) for node in root.iter() for child in node]
        if not parents:
            break
        node, child = rng.choice(parents)
        at = list(node).index(child)
        way = rng.randrange(9)
        if way == 0:
            node.remove(child)
        elif way == 1:
            for _ in range(rng.choice([1, 2, 30])):
                node.insert(at, copy.deepcopy(child))
        elif way == 2:
            other = rng.choice(parents)[0]
            if child is not other and other not in child.iter():
                other.insert(rng.randint(0, len(other)), copy.deepcopy(child))
        elif way in (3, 4, 5):
            texts = [found for found in root.iter() if found.text and found.text.strip()]
            (rng.choice(texts) if texts else child).text = rng.choice([*_XML_WORDS, odd_word(rng)])
        elif way == 6:
            child.tag = rng.choice(_TAGS)
        elif way == 7:
            key = rng.choice([*child.attrib, "number", "type", "id", "print-object", "string"])
            child.set(key, rng.choice([*_XML_WORDS, odd_word(rng)]))
        else:
            new = ElementTree.SubElement(
                child, rng.choice(_TAGS), {"type": rng.choice(["start", "stop", "x"])}
            )
            new.text = rng.choice(_XML_WORDS)
    text = ElementTree.tostring(root, encoding="unicode")
    if rng.random() < 0.05:
        head = '<!DOCTYPE a [<!ENTITY e "eeeeeeeeee"><!ENTITY f "&e;&e;&e;&e;"><!ENTITY g SYSTEM "file:///etc/hosts">]>'
        text = head + text.replace("</words>", "&f;&g;</words>", 1).replace(
            "</work-title>", "&f;</work-title>", 1
        )
    if rng.random() < 0.05:
        text = (
            rng.choice(
                ['<?xml version="1.0" encoding="UTF-16"?>', '<?xml version="1.1" encoding="x"?>', "\ufeff"]
            )
            + text
        )
    return text.encode(
        rng.choice(["utf-8", "utf-8", "utf-8", "utf-16", "latin-1"]),
        "xmlcharrefreplace" if rng.random() < 0.9 else "replace",
    )


def pack_mxl(data: bytes, rng: random.Random) -> bytes:
    """A compressed file of `data`, sometimes with a wrong container, odd names, several members; sometimes spoilt."""
    name = rng.choice(
        [
            "song.musicxml",
            "song.musicxml",
            "../song.musicxml",
            "a/b.xml",
            odd_word(rng)[:50].replace("\0", "") or "s.xml",
        ]
    )
    root = rng.choice([name, name, name, "other.xml", ""])
    container = f'<container><rootfiles><rootfile full-path="{root}"/></rootfiles></container>'
    stream = io.BytesIO()
    method = rng.choice([zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
    members: list[tuple[str, str | bytes]] = [(name, data)]
    if rng.random() < 0.9:
        members.insert(0, ("META-INF/container.xml", container if rng.random() < 0.9 else odd_word(rng)))
    if rng.random() < 0.1:
        members.append(("big.xml", b" " * 5_000_000))
    try:
        with zipfile.ZipFile(stream, "w") as archive:
            for member, content in members:  # a ZipInfo carries no time of day: the same case, the same bytes
                archive.writestr(zipfile.ZipInfo(member), content, method)
    except (UnicodeError, ValueError):
        return data
    packed = stream.getvalue()
    return mutate_bytes(packed, rng) if rng.random() < 0.3 else packed


def mutate_midi(data: bytes, rng: random.Random) -> bytes:
    """Events dropped, repeated, moved; many notes at once; missing ends of notes; odd tempi, metres, keys; then bytes."""
    if rng.random() < 0.12:
        return mutate_bytes(data, rng, 6)
    file = mido.MidiFile(file=io.BytesIO(data))
    if rng.random() < 0.2:
        file.ticks_per_beat = rng.choice([1, 2, 7, 24, 960, 32767])
    file.type = rng.choice([file.type] * 12 + [0, 2])
    for _ in range(rng.choice([1, 2, 4, 8])):
        track = rng.choice(file.tracks)
        if not track:
            continue
        at = rng.randrange(len(track))
        message = track[at]
        way = rng.randrange(10)
        if way == 0:
            del track[at]
        elif way == 1:
            track[at:at] = [message.copy() for _ in range(rng.choice([1, 5, 30]))]
        elif way == 2:
            track[at] = message.copy(time=rng.choice([0, 1, 7, 200, 961, 5_000, 2**27]))
        elif way == 3:
            tones = [
                mido.Message("note_on", note=n, velocity=rng.choice([0, 1, 64, 127]), time=0)
                for n in range(rng.choice([4, 12, 60]))
            ]
            track[at:at] = tones
        elif way == 4:
            track[:] = [m for m in track if m.type != "note_off" or rng.random() < 0.5]
        elif way == 5:
            track.insert(
                at,
                mido.MetaMessage(
                    "set_tempo", tempo=rng.choice([0, 1, 100, 500_000, 2**24 - 1]), time=rng.choice([0, 30])
                ),
            )
        elif way == 6:
            beats = {"numerator": rng.choice([1, 3, 4, 7, 13, 255]), "denominator": 2 ** rng.randint(0, 8)}
            track.insert(at, mido.MetaMessage("time_signature", time=rng.choice([0, 10, 480]), **beats))
        elif way == 7:
            track.insert(
                at, mido.MetaMessage("key_signature", key=rng.choice(["C", "C#", "Cb", "A#m", "Abm"]), time=0)
            )
        elif way == 8:
            name = odd_word(rng).encode("utf-8", "replace").decode("latin-1")
            kind = rng.choice(["track_name", "lyrics", "text", "marker"])
            word = {"name" if kind == "track_name" else "text": name}
            track.insert(at, mido.MetaMessage(kind, **word, time=rng.choice([0, 240])))
        else:
            bend = mido.Message(
                "pitchwheel",
                pitch=rng.choice([-8192, 0, 1, 4096, 8191]),
                channel=rng.randrange(16),
                time=rng.choice([0, 60]),
            )
            track.insert(
                at,
                rng.choice(
                    [
                        bend,
                        mido.Message("program_change", program=rng.randrange(128), channel=rng.randrange(16)),
                    ]
                ),
            )
    if rng.random() < 0.1:
        file.tracks.extend(copy.deepcopy(file.tracks[-1]) for _ in range(rng.choice([1, 20])))
    stream = io.BytesIO()
    try:
        file.save(file=stream)
    except (ValueError, TypeError, struct.error, AttributeError):
        return mutate_bytes(data, rng)
    return mutate_bytes(stream.getvalue(), rng) if rng.random() < 0.08 else stream.getvalue()


_SIZES = [0, 1, 2, 3, 65535, 65536, 20_000, 2**31 - 1, 2**31, 2**32 - 1]


def mutate_picture(name: str, data: bytes, rng: random.Random) -> bytes:
    """A picture with a wrong header (its checksum put right), chunks dropped or repeated, or spoilt bytes."""
    if not name.endswith(".png") or rng.random() < 0.3:
        return mutate_bytes(data, rng)
    chunks = []
    at = 8
    while at + 8 <= len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        chunks.append([data[at + 4 : at + 8], data[at + 8 : at + 8 + length]])
        at += 12 + length
    for _ in range(rng.choice([1, 1, 2])):
        number = rng.randrange(len(chunks))
        way = rng.randrange(6)
        if way in (0, 1) and len(chunks[0][1]) == 13:
            width, height, *rest = struct.unpack(">IIBBBBB", chunks[0][1])
            if way == 0:
                width, height = rng.choice([width, *_SIZES]), rng.choice([height, *_SIZES])
            else:
                rest[rng.randrange(5)] = rng.choice([0, 1, 2, 3, 4, 6, 7, 8, 16, 255])
            chunks[0][1] = struct.pack(">IIBBBBB", width, height, *rest)
        elif way == 2 and len(chunks) > 1:
            del chunks[number]
        elif way == 3:
            chunks.insert(number, list(chunks[number]))
        elif way == 4:
            chunks[number][1] = mutate_bytes(chunks[number][1], rng)
        else:
            physical = struct.pack(">IIB", rng.choice(_SIZES), rng.choice(_SIZES), rng.choice([0, 1, 2]))
            texts = (
                [b"tEXt", b"Title\0" + b"x" * 100],
                [b"pHYs", physical],
                [b"iCCP", b"a\0\0" + zlib.compress(b"no profile")],
            )
            chunks.insert(rng.randint(1, len(chunks)), list(rng.choice(texts)))
    body = b"".join(
        struct.pack(">I", len(c)) + k + c + struct.pack(">I", zlib.crc32(k + c)) for k, c in chunks
    )
    return data[:8] + body
