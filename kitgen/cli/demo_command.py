"""``kitgen demo``: the main job on the invented school's material."""

from typing import Any

import click

from kitgen.cli.options import OUTPUT_OPTIONS, with_options
from kitgen.cli.output import check_output, deliver


@click.command("demo")
@with_options(*OUTPUT_OPTIONS)
def command(**options: Any) -> None:
    """The main job on the invented school's material: a small series, from first claps to a horn part on the kit.

    \b
    Example:
      kitgen demo --out out/demo
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen import __version__
    from kitgen.make.applied import elements_in, following_feel, ladder_of, pickup_of
    from kitgen.make.demo import TITLE, demo_files, demo_pages
    from kitgen.write.manifest import Folder
    from kitgen.write.midi import PlayAlong

    kinds = check_output(options)
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
            kinds=kinds,
            more=demo_files(),
        ),
        options,
        usual="out/demo",
    )
