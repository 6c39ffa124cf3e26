"""A score as a compressed MusicXML file (``.mxl``).

Source: W3C Music Notation Community Group, MusicXML 4.0, 2021, "Compressed .MXL files": a zip whose first file, stored,
is the media type, and whose ``META-INF/container.xml`` names the score. Its dates are those a zip starts to count at,
so that the same score has the same bytes.
"""

_MEDIA_TYPE = "application/vnd.recordare.musicxml"
_SCORE = "score.musicxml"
_CONTAINER = f"""<?xml version="1.0" encoding="UTF-8"?>
<container><rootfiles>
<rootfile full-path="{_SCORE}" media-type="{_MEDIA_TYPE}+xml"/>
</rootfiles></container>
"""
_FIRST_DATE = (1980, 1, 1, 0, 0, 0)


def compressed(score: bytes) -> bytes:
    """The bytes of a ``.mxl`` file that holds a score.

    Args:
        score: the bytes of a ``.musicxml`` file.
    """
    from io import BytesIO
    from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo  # where it is asked for

    out = BytesIO()
    with ZipFile(out, "w") as archive:
        for name, data, how in (
            ("mimetype", _MEDIA_TYPE.encode(), ZIP_STORED),
            ("META-INF/container.xml", _CONTAINER.encode(), ZIP_DEFLATED),
            (_SCORE, score, ZIP_DEFLATED),
        ):
            entry = ZipInfo(name, _FIRST_DATE)
            entry.create_system = 3  # the same on every system
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data, how)
    return out.getvalue()
