"""Which TOML files are charts, told without reading them whole."""

from pathlib import Path


def is_chart(path: Path) -> bool:
    """True for a TOML file that is meant as a chart, having sections."""
    try:
        return "[[section]]" in path.read_text("utf-8-sig").replace(" ", "")
    except (OSError, ValueError):
        return False
