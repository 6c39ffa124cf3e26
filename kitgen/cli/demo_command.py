"""``kitgen demo``: the main job on the invented school's material."""

from typing import Any

import click

from kitgen.cli.options import OUTPUT_OPTIONS, PAGE_OPTIONS, with_options
from kitgen.cli.output import check_output, deliver


@click.command("demo")
@with_options(*PAGE_OPTIONS, *OUTPUT_OPTIONS)
def command(**options: Any) -> None:
    """The main job on the invented school's material: a small series, from first claps to a horn part on the kit.

    \b
    Examples:
      kitgen demo
      kitgen demo --to book --paper a4 --stickings all --out out/demo-book
    """  # noqa: D301  click leaves the text after \b as it stands
    from kitgen.make.applied import elements_in, following_feel, ladder_of, pickup_of
    from kitgen.make.demo import TITLE, DemoRecipe, demo_files, demo_pages
    from kitgen.write.chosen import FLAGS, WORDS, chosen
    from kitgen.write.manifest import Folder
    from kitgen.write.midi import PlayAlong

    kinds, look = check_output(options), chosen(options)
    looks = DemoRecipe(**{name: options[name] for name in (*WORDS, *FLAGS)})
    made = demo_pages(looks)
    deliver(
        Folder(
            TITLE,
            str(looks),
            [page for page, _, _ in made],
            [elements_in(page) for page, _, _ in made],
            plays=[
                PlayAlong(None, ladder_of(recipe.tempo), following_feel(recipe, page), pickup_of(line, page))
                for page, recipe, line in made
            ],
            kinds=kinds,
            more=demo_files(),
            **look._asdict(),
        ),
        options,
        usual="out/demo",
    )
