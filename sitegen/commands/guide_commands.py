"""The commands about a whole guide: `start`, `publish`, `check`, `handout` and `trial`."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from shlex import quote
from shutil import which
from time import perf_counter

import click

from sitegen.blocks.method.method import Method
from sitegen.blocks.method.method_block import MOST_COUNT, MOST_SEED
from sitegen.blocks.practice.practice import VARIANTS
from sitegen.commands.terminal import (
    FOLDER,
    JSON,
    NO_CACHE,
    NotDone,
    counted,
    heard,
    progress,
    refusing,
    show,
    show_notes,
)
from sitegen.guide.guide import Guide
from sitegen.guide.printed import OUTPUT
from sitegen.methods.plan import Plan
from sitegen.methods.trial import Tried, position_of, solve, summed, tries
from sitegen.problems import Problems
from sitegen.reports.problem_report import NOTE, problem_as_data
from sitegen.reports.trial_report import (
    example_as_data,
    example_in_words,
    trial_as_data,
    trial_in_words,
)
from sitegen.site import publish as site
from sitegen.site.pdf import NoPdfRenderer
from sitegen.site.start import start as lay_out
from sitegen.statuses import INTERRUPTED, PROBLEMS


@click.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def start(folder: Path) -> None:
    """Lay out a new guide in FOLDER that publishes as it stands."""
    with refusing(folder):
        try:
            files = lay_out(folder)
        except FileExistsError as error:
            raise click.UsageError(f"{error} is there already; start a guide in a new folder") from None
    for file in files:
        click.echo(str(file))
    click.echo(f"next: {_called()} publish {quote(str(folder))}")


def _called() -> str:
    """The command, by its way where it is not on the path."""
    known = which("turnfolio") or Path(sys.argv[0]).stem != "turnfolio"
    return "turnfolio" if known else quote(sys.argv[0])


@click.command()
@FOLDER
@NO_CACHE
@click.option(
    "--draft", is_flag=True, help="Show drafts too, and mark what does not hold instead of refusing."
)
def publish(folder: Path, draft: bool) -> None:
    """Check the guide in FOLDER, then replace its output/ whole."""
    begun = perf_counter()
    with refusing(folder / OUTPUT):
        done = site.publish(folder, draft, progress)
    show(done.problems)
    show_notes(done.notes)
    what = f"{counted(done.pages, 'page')}, {counted(done.sequences, 'sequence')}"
    click.echo(f"{what}: {done.files} files in {folder / OUTPUT}/")
    if done.outdated:
        gone = counted(done.outdated, "PDF")
        click.echo(f"{gone} of pages that have changed or gone taken away; turnfolio handout prints anew")
    for name in done.own:
        click.echo(f"{folder / OUTPUT / name} was changed since it was published, and is kept")
    click.echo(f"{done.rendered:,} rendered, {done.kept:,} kept as they were; {perf_counter() - begun:.1f} s")


@click.command()
@FOLDER
@NO_CACHE
@JSON
def check(folder: Path, as_json: bool) -> None:
    """Check everything in the guide in FOLDER; write nothing."""
    if as_json:
        _check_as_data(folder)
        return
    guide = _checked(folder)
    show_notes(guide.notes)
    turned = str(guide.turned)
    told = f"with {turned}: all hold" if turned else "without claims or named sequences"
    click.echo(f"{counted(len(guide.pages), 'page')} {told}")


def _check_as_data(folder: Path) -> None:
    """Prints what does not hold, or else what may not be meant."""
    with refusing(folder):
        try:
            found = [problem_as_data(note, NOTE) for note in site.check(folder, progress).notes]
            status = 0
        except Problems as error:
            found = [problem_as_data(problem) for problem in error.problems]
            status = PROBLEMS
    for each in found:
        click.echo(json.dumps(each))
    raise SystemExit(status)


def _checked(folder: Path) -> Guide:
    with refusing(folder):
        return site.check(folder, progress)


@click.command("handout")
@FOLDER
@NO_CACHE
@click.option(
    "--variants",
    type=click.IntRange(1, len(VARIANTS)),
    help="Print so many variants of all exercises as well, each with its answers.",
)
def handout(folder: Path, variants: int | None) -> None:
    """Publish the guide in FOLDER with a PDF of every handout and every sheet of exercises.

    Answers go into answers/, beside output/, unless their page says that they are published.
    """
    try:
        with refusing(folder), heard() as stopping:
            made = site.handout(folder, VARIANTS[: variants or 0], stopping)
    except KeyboardInterrupt:
        click.echo("\nstopped; the site is as it was", err=True)
        raise SystemExit(INTERRUPTED) from None
    except site.NothingToPrint as error:
        raise click.UsageError(str(error)) from None
    except NoPdfRenderer as error:
        raise NotDone(str(error)) from None
    show_notes(made.guide.notes)
    for path, pages in made.pages.items():
        click.echo(f"{folder / path}: {counted(pages, 'page')}")


@click.command()
@FOLDER
@NO_CACHE
@click.option("--method", "name", help="Only the method of this name.")
@click.option(
    "--count", type=click.IntRange(1, MOST_COUNT), help="Try so many, not as many as its page says."
)
@click.option("--seed", type=click.IntRange(0, MOST_SEED), help="Which ones; else those of its page.")
@click.option(
    "--show",
    "shown",
    type=click.IntRange(1, MOST_COUNT),
    help="Show how the position of this number is solved.",
)
@JSON
def trial(
    folder: Path, name: str | None, count: int | None, seed: int | None, shown: int | None, as_json: bool
) -> None:
    """Solve random positions by the methods of the guide in FOLDER, each as likely as any other."""
    if shown and count:
        raise click.UsageError(
            "--show is about one position, and --count about how many are tried: leave one away"
        )
    for method in _methods(_checked(folder), name):
        plan, known = method.plan, method.trial
        seeded, title = known.seed if seed is None else seed, f"{method.title} ({method.name})"
        if shown:
            run = solve(plan, position_of(plan, shown, seeded), shown)
            data = {"method": method.name, "seed": seeded, **example_as_data(run, plan)}
            lines = example_in_words(f"{title}, seed {seeded}", run, plan)
        else:
            tried = summed(plan, seeded, list(_until_interrupted(plan, count or known.tried, seeded)))
            data, lines = trial_as_data(method.name, plan, tried), trial_in_words(title, plan, tried)
        click.echo(json.dumps(data) if as_json else "\n".join([*lines, ""]))
        if not shown and tried.tried < (count or known.tried):
            raise SystemExit(INTERRUPTED)


def _until_interrupted(plan: Plan, count: int, seed: int) -> Iterator[Tried]:
    """What was tried until then; that it was stopped is said."""
    try:
        yield from tries(plan, count, seed, progress)
    except KeyboardInterrupt:
        click.echo(f"\nstopped before all {count:,} were tried", err=True)


def _methods(guide: Guide, name: str | None) -> list[Method]:
    """The one of a name, or all."""
    known = guide.named(Method)
    if not known:
        raise click.UsageError("the guide has no method; write one in a block “method”")
    if name is not None and name not in known:
        there = f"there {'is' if len(known) == 1 else 'are'} {', '.join(known)}"
        raise click.BadParameter(f"no method is called {name}; {there}", param_hint="--method")
    return [known[name]] if name is not None else list(known.values())
