"""``kitgen demo``: the main job on the invented school's material."""

from pathlib import Path

import click

from kitgen.cli.options import OUTPUT_OPTIONS, with_options
from kitgen.cli.output import deliver


@click.command("demo")
@with_options(*OUTPUT_OPTIONS)
def command(*, to: str, out: str | None, show: bool, force: bool, as_json: bool) -> None:
    r"""The main job on the invented school's material: a small series, from first claps to a horn part on the kit.

    \b
    Example:
      kitgen demo --out out/demo
    """
    from kitgen import __version__
    from kitgen.make.applied import elements_in, ladder_of
    from kitgen.make.demo import TITLE, demo_pages
    from kitgen.write.manifest import Folder, kinds_of
    from kitgen.write.midi import PlayAlong

    pages, tempi = demo_pages()
    deliver(
        Folder(
            TITLE,
            f"kitgen {__version__} demo",
            pages,
            [elements_in(page) for page in pages],
            plays=[PlayAlong(tempi=ladder_of(words)) for words in tempi],
            kinds=kinds_of(to),
        ),
        Path(out or "out/demo"),
        show=show,
        force=force,
        as_json=as_json,
    )
