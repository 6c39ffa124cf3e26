"""Score files opened with care: bytes in, a parsed tree out, nothing fetched and nothing unpacked to disk.

Conventions: errors say what is wrong with the file, and the caller puts its name in front. A document type
declaration is accepted and never followed; entity declarations are refused. Sizes are limited, also after
decompression. Compressed MusicXML: W3C MusicXML 4.0, "Compressed .MXL files" (a zip whose META-INF/container.xml
names the score).
"""

from pathlib import Path
from typing import TYPE_CHECKING

from kitgen.errors import ReadError

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element
    from zipfile import ZipFile

MOST_BYTES = 64 * 2**20
_CONTAINER = "META-INF/container.xml"
_ZIP_START = b"PK\x03\x04"


def read_score_bytes(path: Path) -> bytes:
    """What is in a score file, unpacked where it is compressed.

    Raises:
        ReadError: it cannot be read, is empty, too large, or a ``.mxl`` that is no sound zip of a score.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise ReadError(f"cannot be read: {error.strerror or error}") from None
    if not data.strip():
        raise ReadError("is empty; give a score with notes")
    if len(data) > MOST_BYTES:
        raise ReadError(_too_large("is"))
    if path.suffix.lower() == ".mxl" or data.startswith(_ZIP_START):
        return _unpacked(data)
    return data


def parsed(data: bytes) -> "Element":
    """The tree of an XML document, without following anything it refers to.

    Raises:
        ReadError: it is not well-formed, or declares entities.
    """
    from xml.etree.ElementTree import ParseError

    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    try:
        root: Element = fromstring(data)
    except DefusedXmlException:
        raise ReadError("declares XML entities, which are not read; remove its <!ENTITY> declarations") from None
    except (ParseError, ValueError, LookupError) as error:
        raise ReadError(f"is not well-formed XML ({error}); export the score again") from None
    return root


def _unpacked(data: bytes) -> bytes:
    """The score inside a compressed MusicXML file."""
    import zlib
    from io import BytesIO
    from zipfile import BadZipFile, ZipFile

    broken = (BadZipFile, RuntimeError, NotImplementedError, OSError, EOFError, ValueError, zlib.error)
    try:
        with ZipFile(BytesIO(data)) as archive:
            return _member(archive, _score_name(archive))
    except ReadError:
        raise
    except broken as error:
        raise ReadError(
            f"is no sound zip ({error}); compressed MusicXML is a zip with a score inside, "
            "and plain MusicXML ends in .musicxml"
        ) from None


def _score_name(archive: "ZipFile") -> str:
    """The name of the score inside, as the container says, else the only XML file there."""
    names = archive.namelist()
    if _CONTAINER in names:
        container = parsed(_member(archive, _CONTAINER))
        given = [element.get("full-path", "") for element in container.iter() if element.tag.endswith("rootfile")]
    else:
        given = [name for name in names if name.lower().endswith((".xml", ".musicxml")) and "/" not in name]
    name = given[0] if given else ""
    if name.startswith(("/", "\\")) or ".." in name.replace("\\", "/").split("/"):
        raise ReadError(f"names a score outside itself ({name!r}); the score must be inside the zip")
    if name not in names:
        raise ReadError(f"is a zip without a score: {f'{name!r} is not in it' if name else 'it names none'}")
    return name


def _member(archive: "ZipFile", name: str) -> bytes:
    with archive.open(name) as member:
        data = member.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise ReadError(_too_large("unpacks to"))
    return data


def _too_large(verb: str) -> str:
    return f"{verb} more than {MOST_BYTES // 2**20} MB, the most that is read; split the score"
