"""The command: arguments in, one call, problems out."""

from __future__ import annotations

import json
import re
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from shlex import quote
from signal import SIGINT, signal
from threading import Event
from types import FrameType
from typing import Any

import click

from sitegen import __version__
from sitegen.blocks.method.method import Method
from sitegen.blocks.method.method_block import MOST_COUNT, MOST_SEED
from sitegen.blocks.practice.practice import VARIANTS
from sitegen.blocks.source import found_blocks
from sitegen.effects.claims import Claim, parse_claims
from sitegen.effects.effect import Effect
from sitegen.effects.words import likeness, say
from sitegen.figures.cascade import SCREEN, Cascade
from sitegen.figures.draw import draw as draw_figure
from sitegen.figures.flat import alone
from sitegen.figures.of_position import palette, picture
from sitegen.figures.raster import NoRaster, png
from sitegen.figures.style import css
from sitegen.figures.views import available
from sitegen.guide.enclosing import Enclosing, enclosing
from sitegen.guide.guide import Guide
from sitegen.guide.printed import OUTPUT
from sitegen.guide.turned import turned
from sitegen.methods.plan import Plan
from sitegen.methods.trial import Run, position_of, runs, solve, summed
from sitegen.moves.metrics import METRICS, Length, length
from sitegen.moves.notation import layer_names, write_all
from sitegen.moves.turning import permutation
from sitegen.pages.config import Config
from sitegen.problems import Findings, Passage, Problem, Problems, Source, is_it, written
from sitegen.progress import Progress
from sitegen.puzzles.permutation import inverse
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.effect_report import effect_data
from sitegen.reports.search_report import account, answer_as_data, answer_in_words
from sitegen.reports.trial_report import example_as_data, example_in_words, trial_as_data, trial_in_words
from sitegen.search.find import LONGEST_SOUGHT, NEVER, OUT_OF_MEMORY, Found, find
from sitegen.search.query import query
from sitegen.search.turns import Allowed, read_faces, read_layer, turns
from sitegen.site import publish as site
from sitegen.site.output import OutputError
from sitegen.site.pdf import NoPdfRenderer
from sitegen.site.start import start as lay_out

PROBLEMS, MISUSE, INTERRUPTED = 1, 2, 130
"""Exit statuses, beside 0 for done."""

FOLDER = click.argument(
    "folder", type=click.Path(exists=True, file_okay=False, path_type=Path), default=Path(), required=False
)
PUZZLE = click.option(
    "--puzzle", "puzzle_name", help=f"Which puzzle to turn: if not said the guide's, or {Config.puzzle}."
)
MARKED = click.option(
    "--marked", is_flag=True, help="Tell pieces apart that look alike, as centres of one colour."
)
JSON = click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")


@click.group()
@click.version_option(__version__, prog_name="turnfolio")
def main() -> None:
    """Publish guides to twisty puzzles, every claim about moves checked by turning."""


@main.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def start(folder: Path) -> None:
    """Lay out a new guide in FOLDER that publishes as it stands."""
    try:
        files = lay_out(folder)
    except FileExistsError as error:
        raise click.UsageError(f"{error} is there already; start a guide in a new folder") from None
    except OSError as error:
        raise _unwritten(error, folder) from None
    for file in files:
        click.echo(str(file))
    click.echo(f"next: turnfolio publish {quote(str(folder))}")


@main.command()
@FOLDER
@click.option("--draft", is_flag=True, help="Mark what does not hold in the pages instead of refusing.")
def publish(folder: Path, draft: bool) -> None:
    """Check the guide in FOLDER, then replace its output/ whole."""
    try:
        done = site.publish(folder, draft, _progress)
    except Problems as found:
        _show(found.problems)
        raise SystemExit(PROBLEMS) from None
    except OutputError as error:
        raise click.ClickException(str(error)) from None
    except OSError as error:
        raise _unwritten(error, folder / OUTPUT) from None
    guide = done.guide
    _show(guide.problems)
    _tell(guide.notes)
    what = f"{_count(len(guide.pages), 'page')}, {_count(len(guide.sequences), 'sequence')}"
    click.echo(f"{what}: {done.files} files in {folder / OUTPUT}/")
    if done.outdated:
        gone = _count(done.outdated, "PDF")
        click.echo(f"{gone} of pages that have changed taken away; turnfolio handout prints them anew")


@main.command()
@FOLDER
def check(folder: Path) -> None:
    """Check everything in the guide in FOLDER; write nothing."""
    try:
        guide = site.check(folder, _progress)
    except Problems as found:
        _show(found.problems)
        raise SystemExit(PROBLEMS) from None
    _tell(guide.notes)
    told = str(turned(guide)) or "nothing to be turned"
    click.echo(f"{_count(len(guide.pages), 'page')} with {told}: all hold")


@main.command()
@click.argument("moves", nargs=-1, required=True)
@MARKED
@PUZZLE
@JSON
def effect(moves: tuple[str, ...], marked: bool, puzzle_name: str | None, as_json: bool) -> None:
    """Say what MOVES do; "-" reads one sequence a line.

    Inside a guide its puzzle is turned, and @NAME stands for its sequences.
    """
    around = _around()
    puzzle = _puzzle(around, puzzle_name)
    failed = 0
    notes: dict[str, None] = {}
    for source in _sources(moves):
        try:
            tree = around.tree(source.passage(), puzzle)
            notes |= dict.fromkeys(map(str, around.notes(source.passage(), puzzle)))
            done, long = Effect(puzzle, permutation(tree, puzzle), marked), length(tree, puzzle)
        except (Problem, Problems) as error:
            failed = _told(error)
            continue
        text = " ".join(source.text.split())
        click.echo(json.dumps(_as_json(text, done, long)) if as_json else _in_words(text, done, long))
    for note in notes:
        click.echo(note, err=True)
    if failed:
        raise SystemExit(failed)


@main.command()
@click.argument("moves", nargs=-1, required=True)
@click.option(
    "-o",
    "--output",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    required=True,
    help="An .svg file, or a .png file.",
)
@click.option("--view", default="corner", show_default=True, help="How the puzzle is seen.")
@click.option("--after", is_flag=True, help="Draw a solved puzzle after the moves instead.")
@click.option("--letters", is_flag=True, help="Write the letter of its face on every sticker.")
@click.option("--width", type=click.IntRange(16, 8192), help="How many pixels wide.")
@PUZZLE
def draw(
    moves: tuple[str, ...],
    target: Path,
    view: str,
    after: bool,
    letters: bool,
    width: int | None,
    puzzle_name: str | None,
) -> None:
    """Draw the position that MOVES solve, with arrows that show what they do."""
    around = _around()
    puzzle = _puzzle(around, puzzle_name)
    if view not in available(puzzle):
        raise click.BadParameter(
            f"{puzzle.name} has the views {', '.join(available(puzzle))}", param_hint="--view"
        )
    if target.suffix.lower() not in (".svg", ".png"):
        raise click.BadParameter(
            f"figures are written as .svg or .png, not {target.suffix or 'without an ending'}",
            param_hint="-o",
        )
    text = " ".join(moves)
    try:
        turned = permutation(around.tree(written(text), puzzle), puzzle)
        _tell(around.notes(written(text), puzzle))
    except (Problem, Problems) as error:
        raise SystemExit(_told(error)) from None
    own, cascade = _look(around, puzzle)
    figure = alone(_figure(puzzle, text, Effect(puzzle, turned), view, after, letters, own), cascade, width)
    try:
        target.write_bytes(png(figure) if target.suffix.lower() == ".png" else figure.encode())
    except NoRaster as error:
        raise click.ClickException(str(error)) from None
    except OSError as error:
        raise _unwritten(error, target) from None


def _look(around: Enclosing, puzzle: Puzzle) -> tuple[Mapping[str, str], Cascade]:
    """The colours of faces, and what sheets say of figures, in the guide that a command stands in, if any."""
    if around.folder is None:
        return {}, Cascade([css()], SCREEN)
    try:
        config, cascade = site.figure_look(around.folder, puzzle)
    except Problems as found:
        _show(found.problems)
        raise SystemExit(PROBLEMS) from None
    return config.colours, cascade


ADVICE = {
    OUT_OF_MEMORY: " Allow more with --memory, or fewer turns with --faces.",
    NEVER: " Allow more turns.",
}
"""What to do about a search that came to its end without having found all that was wanted."""


class Memory(click.ParamType[int]):
    """An amount of memory, in bytes."""

    name = "amount"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        if isinstance(value, int):
            return value
        found = re.fullmatch(r"([0-9]{1,6}(?:\.[0-9]{1,3})?) *(MB|GB)", value.strip().upper())
        if not found or not float(found[1]):
            self.fail(f"“{value}” is no amount of memory; write it as 500 MB or 2 GB", param, ctx)
        return int(float(found[1]) * {"MB": 10**6, "GB": 10**9}[found[2]])


@main.command("find")
@click.argument("claims", nargs=-1, required=True)
@click.option(
    "--longest", type=click.IntRange(0, LONGEST_SOUGHT), help="List all sequences of up to so many turns."
)
@click.option("--most", type=click.IntRange(1, 10_000), default=20, show_default=True, help="Show so many.")
@click.option("--faces", help="Turn only these, as in R,U,F.")
@click.option("--slices", is_flag=True, help="Turn inner layers too.")
@click.option("--wide", is_flag=True, help="Turn blocks of outer layers too.")
@click.option(
    "--metric",
    type=click.Choice(METRICS, case_sensitive=False),
    default="obtm",
    show_default=True,
    help="How turns are counted.",
)
@click.option("--then", "layer", help="Show each sequence A also as [A, T] for the turns T of this layer.")
@click.option("--memory", type=Memory(), default="1 GB", show_default=True, help="Take no more than this.")
@click.option("--block", "as_blocks", is_flag=True, help="Print blocks to paste into a page.")
@MARKED
@PUZZLE
@JSON
def find_command(
    claims: tuple[str, ...],
    longest: int | None,
    most: int,
    faces: str | None,
    slices: bool,
    wide: bool,
    metric: str,
    layer: str | None,
    memory: int,
    as_blocks: bool,
    marked: bool,
    puzzle_name: str | None,
    as_json: bool,
) -> None:
    """Find the shortest sequences that satisfy CLAIMS, as in "flips UF; keeps U except UF"."""
    if as_blocks and as_json:
        raise click.UsageError("--block and --json exclude each other")
    around = _around()
    puzzle = _puzzle(around, puzzle_name)
    findings = Findings()
    nothing: tuple[str, ...] = ()
    named = (
        findings.attempt(nothing, read_faces, written(faces, "--faces"), puzzle)
        if faces is not None
        else nothing
    )
    then = findings.attempt(None, read_layer, written(layer, "--then"), puzzle) if layer is not None else None
    passage = written(_joined(claims), "claims")
    asked = _claims(passage, puzzle, findings)
    try:
        findings.settle()
        allowed = turns(puzzle, Allowed(named, slices, wide), metric)
        sought = query(asked, allowed, around.scope(passage, puzzle).permutations, passage, marked)
        _tell(around.notes(passage, puzzle))
    except (Problem, Problems) as error:
        raise SystemExit(_told(error)) from None
    found = Found(most)
    try:
        find(sought, found, longest, memory, _progress)
    except KeyboardInterrupt:
        click.echo(err=True)
    if as_blocks and (blocks := list(found_blocks(sought, found, then))):
        click.echo("\n\n".join(blocks))
    for answer in () if as_blocks else found.answers:
        lines = (
            [json.dumps(answer_as_data(answer, then))] if as_json else [*answer_in_words(answer, then), ""]
        )
        click.echo("\n".join(lines))
    told = account(found, len(found.answers), sought) + ADVICE.get(found.ended, "")
    click.echo(told, err=as_blocks or as_json)
    if not found.ended:
        raise SystemExit(INTERRUPTED)


def _joined(claims: tuple[str, ...]) -> str:
    """Claims as one text: a claim in each argument, or one whose words are arguments."""
    if any(" " in claim for claim in claims):
        return "; ".join(claim.rstrip("; ") or claim for claim in claims).replace("\n", ";")
    return " ".join(claims).replace("\n", ";")


def _claims(passage: Passage, puzzle: Puzzle, findings: Findings) -> list[tuple[Passage, Claim]]:
    found = parse_claims(passage, puzzle, findings)
    if not found and not passage.text.strip(" ;"):
        findings.add(Problem("no claim is made", passage, "write for example flips UF; keeps U except UF"))
    return found


@main.command("handout")
@FOLDER
@click.option(
    "--variants",
    type=click.IntRange(1, len(VARIANTS)),
    help="Print so many variants of all exercises as well, each with its answers.",
)
def handout_command(folder: Path, variants: int | None) -> None:
    """Publish the guide in FOLDER with a PDF of every handout and every sheet of exercises.

    Answers go into answers/, beside output/, unless their page says that they are published.
    """
    try:
        with _heard() as progress:
            made = site.handout(folder, VARIANTS[: variants or 0], progress)
    except KeyboardInterrupt:
        click.echo("\nstopped; the site is as it was", err=True)
        raise SystemExit(INTERRUPTED) from None
    except Problems as found:
        _show(found.problems)
        raise SystemExit(PROBLEMS) from None
    except site.NothingToPrint as error:
        raise click.UsageError(str(error)) from None
    except (NoPdfRenderer, OutputError) as error:
        raise click.ClickException(str(error)) from None
    except OSError as error:
        raise _unwritten(error, folder) from None
    _tell(made.guide.notes)
    for path, pages in made.pages.items():
        click.echo(f"{folder / path}: {_count(pages, 'page')}")


@main.command("trial")
@FOLDER
@click.option("--method", "name", help="Only the method of this name.")
@click.option(
    "--count", type=click.IntRange(1, MOST_COUNT), help="Try so many, not as many as its page says."
)
@click.option("--seed", type=click.IntRange(0, MOST_SEED), help="Which ones; else those of its page.")
@click.option(
    "--show", type=click.IntRange(1, MOST_COUNT), help="Show how the position of this number is solved."
)
@JSON
def trial_command(
    folder: Path, name: str | None, count: int | None, seed: int | None, show: int | None, as_json: bool
) -> None:
    """Solve random positions by the methods of the guide in FOLDER, each as likely as any other."""
    try:
        guide = site.check(folder, _progress)
    except Problems as found:
        _show(found.problems)
        raise SystemExit(PROBLEMS) from None
    for method in _methods(guide, name):
        plan, known = method.plan, method.trial
        seeded, title = known.seed if seed is None else seed, f"{method.title} ({method.name})"
        if show:
            run = solve(plan, position_of(plan, show, seeded), show)
            data = {"method": method.name, "seed": seeded, **example_as_data(run, plan)}
            lines = example_in_words(f"{title}, seed {seeded}", run, plan)
        else:
            tried = summed(plan, seeded, list(_until_interrupted(plan, count or known.tried, seeded)))
            data, lines = trial_as_data(method.name, plan, tried), trial_in_words(title, plan, tried)
        click.echo(json.dumps(data) if as_json else "\n".join([*lines, ""]))
        if not show and tried.tried < (count or known.tried):
            raise SystemExit(INTERRUPTED)


def _until_interrupted(plan: Plan, count: int, seed: int) -> Iterator[Run]:
    """What was tried until then; that it was stopped is said."""
    try:
        yield from runs(plan, count, seed, _progress)
    except KeyboardInterrupt:
        click.echo(f"\nstopped before all {count:,} were tried", err=True)


def _methods(guide: Guide, name: str | None) -> list[Method]:
    """The one of a name, or all."""
    known = guide.methods
    if not known:
        raise click.UsageError("the guide has no method; write one in a block “method”")
    if name is not None and name not in known:
        raise click.BadParameter(
            f"no method is called {name}; there are {', '.join(known)}", param_hint="--method"
        )
    return [known[name]] if name is not None else list(known.values())


@main.command("puzzle")
@click.argument("name", required=False)
@JSON
def puzzle_command(name: str | None, as_json: bool) -> None:
    """List the puzzles, or describe the one called NAME."""
    around = _around()
    for each in [name] if name else around.puzzles.names():
        puzzle = _puzzle(around, each)
        about = _about(puzzle)
        if as_json:
            click.echo(json.dumps(about))
        elif not name:
            pieces = ", ".join(f"{count} {kind}s" for kind, count in about["pieces"].items())
            click.echo(f"{about['name']:9} {about['stickers']:4} stickers: {pieces}")
        else:
            _describe(puzzle, about)
    if not name and around.puzzles.problems:
        raise SystemExit(_told(Problems(around.puzzles.problems)))


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _unwritten(error: OSError, target: Path) -> click.ClickException:
    return click.ClickException(f"{error.filename or target} cannot be written: {error.strerror or error}")


def _around() -> Enclosing:
    """The guide around the present folder, if there is one."""
    return enclosing(Path())


def _puzzle(around: Enclosing, name: str | None) -> Puzzle:
    try:
        return around.puzzle(name)
    except Problems as found:
        raise SystemExit(_told(found)) from None
    except KeyError:
        known = around.puzzles.names()
        near = is_it((name or "").lower(), known)
        instead = f"{near} There" if near else "there"
        message = f"no puzzle is called {name}; {instead} are {', '.join(known)}"
        raise click.BadParameter(message) from None


def _told(error: Problem | Problems) -> int:
    """Shows what is wrong. The exit status: a guide with problems, or a command called wrongly."""
    problems = error.problems if isinstance(error, Problems) else (error,)
    _show(problems)
    in_guide = any(problem.passage.source.name.startswith("content/") for problem in problems)
    return PROBLEMS if in_guide else MISUSE


def _sources(moves: tuple[str, ...]) -> Iterator[Source]:
    if moves != ("-",):
        yield Source("moves", " ".join(moves))
        return
    for number, line in enumerate(sys.stdin, 1):
        if text := line.strip().removeprefix("\ufeff"):
            yield Source("-", text, first_line=number)


def _as_json(moves: str, effect: Effect, long: Length) -> dict[str, Any]:
    told: dict[str, Any] = {
        "puzzle": effect.puzzle.name,
        "moves": moves,
        "order": effect.order,
        "length": asdict(long),
        **effect_data(effect),
    }
    if back := effect.turning_back:
        told["centres home"] = {"turned": write_all(back, effect.puzzle), **effect_data(effect.turned_back)}
    return told


def _in_words(moves: str, effect: Effect, long: Length) -> str:
    lines = [moves, f"  does      {say(effect)}"]
    if back := effect.turning_back:
        lines.append(f"  centres   moved; {write_all(back, effect.puzzle)} at the end brings them home")
        lines.append(f"            Then: {say(effect.turned_back)}")
    if told := likeness(effect):
        lines.append(f"  note      {told}")
    lines += [
        f"  keeps     {', '.join(effect.keeps) or 'no whole layer'}",
        f"  order     {effect.order}",
        f"  parity    {', '.join(f'{kind}s {parity}' for kind, parity in effect.parity.items())}",
        f"  length    {long}",
    ]
    return "\n".join(lines)


def _figure(
    puzzle: Puzzle,
    moves: str,
    effect: Effect,
    view: str,
    after: bool,
    letters: bool,
    own: Mapping[str, str],
) -> str:
    position = effect.permutation if after else inverse(effect.permutation)
    drawn = picture(
        puzzle,
        position,
        palette(puzzle, own),
        moves,
        f"The moves {moves} do this: {say(effect)}",
        moves=None if after else effect.permutation,
        letters_shown=letters,
    )
    return draw_figure(drawn, view)


def _about(puzzle: Puzzle) -> dict[str, Any]:
    return {
        "name": puzzle.name,
        "stickers": len(puzzle.stickers),
        "pieces": dict(Counter(piece.kind for piece in puzzle.pieces)),
        "turns": list(layer_names(puzzle)),
    }


def _describe(puzzle: Puzzle, about: dict[str, Any]) -> None:
    click.echo(f"{puzzle.name}: {about['stickers']} stickers")
    click.echo(f"  turns     {' '.join(about['turns'])}")
    for kind in about["pieces"]:
        names = " ".join(piece.name for piece in puzzle.pieces if piece.kind == kind)
        click.echo(f"  {kind + 's':9} {names}")


def _show(problems: Iterable[Problem]) -> None:
    listed = list(problems)
    for problem in listed:
        click.echo(str(problem), err=True)
    if len(listed) > 1:
        click.echo(f"{len(listed)} problems", err=True)


def _tell(notes: Iterable[Problem]) -> None:
    """What stops nothing, and may not be meant."""
    for note in notes:
        click.echo(str(note), err=True)


def _progress(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
    """A bar while a long job goes on, where somebody watches."""
    if not sys.stderr.isatty():
        return items
    return _with_bar(items, total, what)


@contextmanager
def _heard() -> Iterator[Progress]:
    """Progress that stops for an interrupt even where a library has swallowed it."""
    asked = Event()

    def stop(number: int, frame: FrameType | None) -> None:
        asked.set()
        raise KeyboardInterrupt

    def progress(items: Iterable[Any], total: int, what: str) -> Iterator[Any]:
        for item in _progress(items, total, what):
            if asked.is_set():
                raise KeyboardInterrupt
            yield item

    usual = signal(SIGINT, stop)
    try:
        yield progress
    finally:
        signal(SIGINT, usual)


def _with_bar(items: Iterable[Any], total: int, what: str) -> Iterator[Any]:
    with click.progressbar(items, length=total, label=what, file=sys.stderr) as bar:
        yield from bar
