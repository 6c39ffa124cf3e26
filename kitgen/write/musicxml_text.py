"""Words inside XML, set literally, and the frame of a document.

Conventions: characters XML 1.0 does not have (control characters, halves of surrogate pairs, U+FFFE and U+FFFF) are
left out; markup is escaped, so that a title is read back as it was given. Source: W3C, Extensible Markup Language
(XML) 1.0, fifth edition, 2008, production 2.
"""

import re
from collections.abc import Iterable

_NO_CHARACTER = re.compile("[^\t\n\r\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_MARKUP = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})


def xml_words(words: str) -> str:
    """Words as the text of an element or the value of an attribute.

    >>> xml_words('Rock <b>&</b> "roll"' + chr(7))
    'Rock &lt;b&gt;&amp;&lt;/b&gt; &quot;roll&quot;'
    """
    return _NO_CHARACTER.sub("", words).translate(_MARKUP)


_START = """<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="4.0">
"""


def document(part: str, head: Iterable[str], measures: Iterable[str]) -> bytes:
    """A MusicXML document of one part.

    Args:
        part: the part's id.
        head: what stands before the part, the list of parts last.
        measures: what stands in it.
    """
    return "".join((_START, *head, f'<part id="{part}">\n', *measures, "</part>\n</score-partwise>\n")).encode()
