"""Box rows given on the command line: a name, the rows themselves, or a text file of rows."""

from pathlib import Path

from kitgen.errors import ReadError

_LONGEST = 100_000


def rows_given(under: str | None) -> str | None:
    """What ``--under`` says: a file's rows on one line, anything else as it is.

    Raises:
        ReadError: a file that is not there or is no text.
    """
    if under is None or not under.lower().endswith(".txt"):
        return under
    path = Path(under)
    try:
        text = path.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise ReadError(
            f"{under}: {getattr(error, 'strerror', None) or 'not a text file'}; box rows are read from a text file"
        ) from error
    if len(text) > _LONGEST:
        raise ReadError(f"{under}: {len(text)} characters are too long for an ostinato")
    return "; ".join(" ".join(line.split()) for line in text.splitlines() if line.strip())
