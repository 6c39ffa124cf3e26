"""``kitgen demo``: the main job on the invented school's material."""

from pathlib import Path

import click

from kitgen.cli.options import OUTPUT_OPTIONS, with_options
from kitgen.cli.output import deliver


@click.command("demo")
@with_options(*OUTPUT_OPTIONS)
def command(*, to: str, out: str | None, show: bool, force: bool, as_json: bool) -> None:
    """The main job on the invented school's material: a small series, from first claps to a horn part on the kit.

    \b
    Example:
      kitgen demo --out out/demo
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen import __version__
    from kitgen.make.applied import elements_in, following_feel, ladder_of, pickup_of
    from kitgen.make.demo import TITLE, demo_files, demo_pages
    from kitgen.write.manifest import Folder, kinds_of
    from kitgen.write.midi import PlayAlong

    made = demo_pages()
    deliver(
        Folder(
            TITLE,
            f"kitgen demo  # kitgen {__version__}",
            [page for page, _, _ in made],
            [elements_in(page) for page, _, _ in made],
            plays=[
                PlayAlong(None, ladder_of(recipe.tempo), following_feel(recipe, page), pickup_of(line, page))
                for page, recipe, line in made
            ],
            kinds=kinds_of(to),
            more=demo_files(),
        ),
        Path(out or "out/demo"),
        show=show,
        force=force,
        as_json=as_json,
    )
