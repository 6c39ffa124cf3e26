"""What was typed, looked at before click does and after it gave up: slips that deserve better words than its own."""

import re
from collections.abc import Iterator, Sequence
from unicodedata import category

import click

from kitgen.errors import OptionError

_WORDS = re.compile(r"[a-z0-9-]+(\|[a-z0-9-]+)+")
_TEXTS = ("--title", "--heading")


def checked_words(command: click.Command, words: Sequence[str], ctx: click.Context) -> list[str]:
    """The words after a command's name, once every option that takes a value has one.

    Where an option is one of a few plain words, or kinds of file, capitals do not matter: A4 is a4, PDF is pdf.

    Args:
        command: the command.
        words: as they were typed.
        ctx: where help is.

    Raises:
        click.UsageError: an option without its value.
        OptionError: a title or heading that is no line of text.
    """
    taking = {name: option for option in _options(command) if not option.is_flag for name in option.opts}
    names = {name for option in _options(command) for name in option.opts} | set(ctx.help_option_names)
    checked: list[str] = []
    rest = list(words)
    while rest:
        word = rest.pop(0)
        if word == "--":
            return [*checked, word, *rest]
        name, equals, value = word.partition("=")
        option = taking.get(name)
        if option is None:
            checked.append(word)
        elif equals:
            checked.append(f"{name}={_value(name, option, value)}")
        elif not rest or rest[0] in names:
            what = f"not {rest[0]}" if rest else "and there is nothing"
            raise click.UsageError(f"{name} needs {option.metavar or 'a value'} after it, {what}", ctx)
        else:
            checked += [name, _value(name, option, rest.pop(0))]
    return checked


def usage_words(error: click.UsageError) -> str:
    """What is wrong with how a command was used, with a way out where click names none."""
    said = error.format_message()
    if isinstance(error, click.NoSuchOption) and error.ctx and (meant := _meant(error.option_name, error.ctx.command)):
        return f"No such option {error.option_name!r}; write {meant}"
    if said.startswith("Got unexpected extra argument"):
        return (
            f'{said}; options begin with --, a line or title of several words goes in quotes ("1 & 2"), a list has '
            "commas (mid,pdf)"
        )
    return said


def _options(command: click.Command) -> Iterator[click.Option]:
    return (parameter for parameter in command.params if isinstance(parameter, click.Option))


def _value(name: str, option: click.Option, value: str) -> str:
    """A value as it is meant."""
    if name in _TEXTS:
        return _line_of_text(name, value)
    if name == "--to" or _WORDS.fullmatch(option.metavar or ""):
        return value.strip().lower()
    return value


def _line_of_text(name: str, value: str) -> str:
    """A title or heading, which is to be printed on paper and written into XML."""
    if any(category(letter) in ("Cc", "Cs", "Zl", "Zp") for letter in value):
        raise OptionError(
            f"{name} {value!r} is no line of plain text; leave out line breaks, tabs and other control characters"
        )
    if name == "--title" and not value.strip():
        raise OptionError("--title is empty; leave it out, and each page has its own title")
    return value


def _meant(typed: str, command: click.Command) -> str | None:
    """The option and value that somebody typed as one word, such as --pdf or --a4."""
    word = typed.lstrip("-")
    for option in _options(command):
        name = option.opts[0]
        if _WORDS.fullmatch(option.metavar or "") and word in (option.metavar or "").split("|"):
            return f"{name} {word}"
        if name == "--to" and word in _kinds():
            return f"{name} {word}"
    return None


def _kinds() -> tuple[str, ...]:
    from kitgen.write.manifest import KINDS  # loaded for a slip only

    return tuple(KINDS)
