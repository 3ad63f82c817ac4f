"""The commands about moves and puzzles: `effect`, `draw` and `puzzle`."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from secrets import token_hex
from shutil import copymode

import click

from sitegen.commands.terminal import (
    JSON,
    MARKED,
    PUZZLE,
    NotDone,
    progress,
    puzzle_called,
    refusing,
    sequences_in,
    show_notes,
    told,
)
from sitegen.effects.effect import Effect
from sitegen.effects.words import say
from sitegen.figures.draw import draw_alone
from sitegen.figures.of_position import Palette, palette, picture
from sitegen.figures.picture import Picture
from sitegen.figures.raster import INSTALL, NoRaster, can_draw, png
from sitegen.figures.style import USUAL, Paints
from sitegen.figures.turning_frames import VIEW, Moment, frame_svg, moments
from sitegen.figures.views import available
from sitegen.guide.enclosing import Enclosing, enclosing
from sitegen.moves.metrics import length
from sitegen.moves.spoken import spelled, spoken_moves, without_links
from sitegen.moves.turning import expand, permutation
from sitegen.problems import Problem, Problems, written
from sitegen.puzzles.permutation import inverse
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.effect_report import effect_as_data, effect_in_words
from sitegen.reports.puzzle_report import puzzle_as_data, puzzle_in_a_line, puzzle_in_words
from sitegen.site import publish as site

ACROSS = 1080
"""Pixels: how wide and high pictures for a film are where nobody says; films want an even number."""
GROUND = "#ffffff"
"""What is behind the puzzle in these, since most films have no transparent parts."""


@click.command()
@click.argument("moves", nargs=-1, required=True)
@MARKED
@PUZZLE
@JSON
def effect(moves: tuple[str, ...], marked: bool, puzzle_name: str | None, as_json: bool) -> None:
    """Say what MOVES do; "-" reads one sequence a line.

    Inside a guide its puzzle is turned, and @NAME stands for its sequences.
    """
    around = enclosing(Path())
    puzzle = puzzle_called(around, puzzle_name)
    failed = 0
    notes: dict[str, None] = {}
    for source in sequences_in(moves):
        try:
            tree = around.tree(source.passage(), puzzle)
            notes |= dict.fromkeys(map(str, around.notes(source.passage(), puzzle)))
            done, long = Effect(puzzle, permutation(tree, puzzle), marked), length(tree, puzzle)
        except (Problem, Problems) as error:
            failed = told(error)
            continue
        text = " ".join(source.text.split())
        data, lines = effect_as_data(text, done, long), effect_in_words(text, done, long)
        click.echo(json.dumps(data) if as_json else "\n".join(lines))
    for note in notes:
        click.echo(note, err=True)
    if failed:
        raise SystemExit(failed)


@click.command()
@click.argument("moves", nargs=-1, required=True)
@click.option(
    "-o",
    "--output",
    "target",
    type=click.Path(dir_okay=False, path_type=Path),
    help="An .svg file, or a .png file.",
)
@click.option(
    "--frames",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    help="A new folder instead, for pictures of each turn in the order of their numbers.",
)
@click.option(
    "--frames-per-turn",
    "of_each",
    type=click.IntRange(1, 1000),
    help="How many of these show each turn under way, its end with them: 1 if not said.",
)
@click.option(
    "--transparent", is_flag=True, help="Leave the ground of these out too, as a single figure does."
)
@click.option("--view", default="corner", show_default=True, help="How the puzzle is seen.")
@click.option("--after", is_flag=True, help="Draw a solved puzzle after the moves instead.")
@click.option("--letters", is_flag=True, help="Write the letter of its face on every sticker.")
@click.option("--width", type=click.IntRange(16, 8192), help="How many pixels wide.")
@PUZZLE
def draw(
    moves: tuple[str, ...],
    target: Path | None,
    folder: Path | None,
    of_each: int | None,
    transparent: bool,
    view: str,
    after: bool,
    letters: bool,
    width: int | None,
    puzzle_name: str | None,
) -> None:
    """Draw the position that MOVES solve, with arrows that show what they do.

    Or with --frames the turns one by one, for a film.
    """
    if (target is None) == (folder is None):
        raise click.UsageError("say where to: -o FILE for a figure, or --frames FOLDER for each turn")
    if target and of_each:
        raise click.UsageError("--frames-per-turn is for pictures of each turn: name a folder by --frames")
    around = enclosing(Path())
    puzzle = puzzle_called(around, puzzle_name)
    if view not in available(puzzle):
        raise click.BadParameter(
            f"{puzzle.name} has the views {', '.join(available(puzzle))}", param_hint="--view"
        )
    if folder and view != VIEW:
        raise click.BadParameter(f"turns are seen in the view {VIEW}", param_hint="--view")
    if target and target.suffix.lower() not in (".svg", ".png"):
        raise click.BadParameter(
            f"figures are written as .svg or .png, not {target.suffix or 'without an ending'}",
            param_hint="-o",
        )
    text = " ".join(moves)
    try:
        tree = around.tree(written(text), puzzle)
        turned, turns = permutation(tree, puzzle), expand(tree) if folder else ()
        show_notes(around.notes(written(text), puzzle))
    except (Problem, Problems) as error:
        raise SystemExit(told(error)) from None
    if folder:
        start = puzzle.identity if after else inverse(turned)
        found = [*moments(puzzle, start, turns, of_each or 1)]
        ground = None if transparent else GROUND
        _write_frames(folder, found, puzzle, _palette(around, puzzle), letters, width or ACROSS, ground, text)
        return
    assert target is not None
    drawn = _picture(text, Effect(puzzle, turned), after, letters, _palette(around, puzzle))
    figure = draw_alone(drawn, view, width)
    with refusing(target):
        try:
            _write(target, png(figure) if target.suffix.lower() == ".png" else figure.encode())
        except NoRaster as error:
            raise NotDone(str(error)) from None


def _write_frames(
    folder: Path,
    found: Sequence[Moment],
    puzzle: Puzzle,
    colours: Palette,
    letters: bool,
    width: int,
    ground: str | None,
    title: str,
) -> None:
    """A picture of each moment in a new folder, or in one with nothing in it."""
    if not can_draw():
        raise NotDone(f"PNG files are made by the library resvg-py, which is not installed: {INSTALL}")
    with refusing(folder):
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise NotDone(f"there is something in {folder} already: name a new folder for the pictures")
        for number, moment in progress(enumerate(found), len(found), "Drawing"):
            svg = frame_svg(puzzle, moment, colours, letters, width, title)
            _write(folder / f"{number:05}.png", png(svg, ground))


def _write(target: Path, content: bytes) -> None:
    """A file, whole: where that cannot be, an older one of this name stays as it was."""
    if target.exists() and (target.is_symlink() or not target.is_file()):
        target.write_bytes(content)
        return
    beside = target.with_name(f".{target.name}-{token_hex(4)}")
    try:
        beside.write_bytes(content)
        if target.exists():
            copymode(target, beside)
        beside.replace(target)
    except PermissionError:
        # A folder in which nobody makes files may have one that may be written.
        beside.unlink(missing_ok=True)
        target.write_bytes(content)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise OSError(error.errno, error.strerror, str(target)) from None


def _palette(around: Enclosing, puzzle: Puzzle) -> Palette:
    """The colours of figures, in the guide that a command stands in if there is one."""
    if around.folder is None:
        return palette(puzzle, paints=Paints(USUAL.light, on_paper=False))
    with refusing(around.folder):
        return site.palette_of(around.folder, puzzle)


def _picture(moves: str, effect: Effect, after: bool, letters: bool, colours: Palette) -> Picture:
    position = effect.permutation if after else inverse(effect.permutation)
    said = without_links(spoken_moves(moves, effect.puzzle))
    return picture(
        effect.puzzle,
        position,
        colours,
        said,
        f"The moves do this: {spelled(say(effect), effect.puzzle)}",
        moves=None if after else effect.permutation,
        letters_shown=letters,
    )


@click.command()
@click.argument("name", required=False)
@JSON
def puzzle(name: str | None, as_json: bool) -> None:
    """List the puzzles, or describe the one called NAME."""
    around = enclosing(Path())
    for each in [name] if name else around.puzzles.names():
        found = puzzle_called(around, each)
        if as_json:
            click.echo(json.dumps(puzzle_as_data(found)))
        else:
            click.echo("\n".join(puzzle_in_words(found)) if name else puzzle_in_a_line(found))
    if not name and around.puzzles.problems:
        raise SystemExit(told(Problems(around.puzzles.problems)))
