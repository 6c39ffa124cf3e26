"""The command line: parses, calls the library once, prints. The only room that prints.

Commands load when they are used, so that asking for help costs little more than importing click.
"""

import os
import sys
from contextlib import suppress

import click

from kitgen import __version__

_COMMANDS = {
    "apply": "One line onto the kit.",
    "grid": "Every cell for a moving limb, one new cell a page.",
    "tour": "The shortest exercise with every change of limbs.",
    "series": "A course, one new element a page.",
    "library": "Grooves and fills of styles, files that loop.",
    "chart": "A band chart: to read, and played out.",
    "show": "Anything readable, as box text.",
    "list": "What there is: applications, ostinatos, kits ...",
    "check": "Does it loop? Can two hands and two feet play it?",
    "demo": "The main job on the invented school's material.",
}


class _Commands(click.Group):
    """A group that imports a command's module only when that command runs."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  click's signature
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002  click's signature
        if cmd_name not in _COMMANDS:
            return None
        from importlib import import_module

        command: click.Command = getattr(import_module(f"kitgen.cli.{cmd_name}_command"), "command")  # noqa: B009
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in _COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0], _COMMANDS, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else f"there are: {', '.join(_COMMANDS)}"
            raise click.UsageError(f"no command is called {args[0]!r}; {hint}", ctx)
        name, command, rest = super().resolve_command(ctx, args)
        if name is None or command is None:
            return name, command, rest
        from kitgen.cli.usage import checked_words

        return name, command, checked_words(command, rest, click.Context(command, ctx, name))

    def invoke(self, ctx: click.Context) -> object:
        """Run the command; left to click, an interruption or a closed pipe would be told in other ways than ours."""
        from kitgen.errors import KitgenError

        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            raise KitgenError("interrupted; files are as they were before") from None
        except BrokenPipeError:
            return _reader_gone()

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002  click's
        with formatter.section("Commands"):
            formatter.write_dl(list(_COMMANDS.items()))


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="kitgen", message="%(prog)s %(version)s")
def cli() -> None:
    """Rhythm lines in, drum-set pages out.

    A line is typed as boxes, counts or note values, or read from a MIDI or score file; pages come out as MIDI that
    loops, a file to play along with, and box text.

    \b
    Example:
      kitgen apply "1 & 2 e & a 3 4 &" --as linear --tempo 96
    """  # noqa: D301  click leaves the text after \b as it stands


def main() -> None:
    """Run the command line; every error is one line on stderr."""
    import signal

    from kitgen.errors import KitgenError

    with suppress(ValueError):  # only the main thread may; told to end, leave files as an interruption does
        signal.signal(signal.SIGTERM, _interrupted)
    try:
        code = cli.main(_without_comment(sys.argv[1:]), prog_name="kitgen", standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.NoArgsIsHelpError as error:
        print(error.format_message(), file=sys.stderr)
        sys.exit(2)
    except click.UsageError as error:
        from kitgen.cli.usage import usage_words

        where = error.ctx.command_path if error.ctx else "kitgen"
        _say(f"Error: {usage_words(error)} (see {where} --help)")
        sys.exit(2)
    except click.ClickException as error:
        _say(f"Error: {error.format_message()}")
        sys.exit(1)
    except (KeyboardInterrupt, click.Abort):
        _say("Error: interrupted; files are as they were before")
        sys.exit(1)
    except KitgenError as error:
        _say(f"Error: {error}")
        sys.exit(1)
    except BrokenPipeError:
        sys.exit(_reader_gone())
    except Exception as error:
        if os.environ.get("KITGEN_DEBUG"):
            raise
        _say(f"Error: a fault inside kitgen ({type(error).__name__}: {error}); set KITGEN_DEBUG=1 to see where")
        sys.exit(1)
    sys.exit(code if isinstance(code, int) else 0)


def _without_comment(words: list[str]) -> list[str]:
    """The words before a comment, which not every shell takes out of a pasted recipe."""
    return words[: words.index("#")] if "#" in words else words


def _interrupted(_number: int, _frame: object) -> None:
    raise KeyboardInterrupt


def _reader_gone() -> int:
    """Nobody reads standard output any more: drop what is left of it, and end well."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    return 0


def _say(message: str) -> None:
    print(" ".join(message.split()), file=sys.stderr)
