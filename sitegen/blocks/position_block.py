"""The block `position`: where pieces are, said or reached by moves; drawn, and held to the puzzle's laws."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from markupsafe import Markup

from sitegen.blocks import keys
from sitegen.blocks.block import CheckedBlock, Head, Turned, WrittenBlock, named_in
from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.played import MOST_PLAYED, Played, tried
from sitegen.blocks.scope import Scope
from sitegen.effects.claims import PLACING, claim_words, parse_placing
from sitegen.effects.claims.claim import RULES, another, merged, placed, read_slot
from sitegen.effects.effect import Effect, holds
from sitegen.effects.laws import Broken, broken
from sitegen.effects.words import listed, where
from sitegen.figures import marks as of_marks
from sitegen.figures.best_view import best_view
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Picture
from sitegen.figures.trace import goes, in_focus, trace
from sitegen.figures.views import layout
from sitegen.moves.notation import on_one_line, write_all
from sitegen.moves.references import resolve_one
from sitegen.moves.spoken import spelled
from sitegen.moves.tree import Node
from sitegen.moves.turning import in_steps, permutation, turn_count
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Passage, Problem
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.settings import Setting
from sitegen.tokenizer import Tokenizer, stretches

GIVEN_BY = ("pieces", "moves", "stickers")
"""The keys that say what position it is: one of them."""
TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "pieces": keys.Meaning("claims that say where pieces are", claim_words, lambda puzzle: PLACING),
        "moves": keys.MOVES,
        "stickers": keys.Meaning("where stickers are", lambda puzzle: ["is at", *puzzle.slots]),
        "solve": keys.MOVES,
        "impossible": keys.YES,
        **keys.DRAWN,
        **keys.SAID,
    },
    plain="pieces",
    by_line=True,
)
STICKER_RULES = {"is at": r"is\s+at\b", **RULES}
STICKER_HINT = "as in UF is at FU: the sticker of UF is at FU"
HOME = "The arrows and marks lead home."
"""What is said of them, which the words beside them do not: these tell where pieces are."""
MOST_LAWS = 4
"""So many broken laws are told of one position."""

Moved = Mapping[int, int]
"""For stickers that are not home the slot that each is in."""


@dataclass(frozen=True, eq=False, kw_only=True)
class PositionBlock(WrittenBlock):
    """What was written, parsed but not turned yet."""

    moved: Moved
    """By claims' words or by stickers; empty where moves lead to the position."""
    moves: Node | None
    solve: Node | None
    impossible: bool


@dataclass(frozen=True, eq=False, kw_only=True)
class Position(CheckedBlock):
    """A position, with the laws that it breaks and what solves it."""

    ANCHOR = "position"
    LINK = "position"

    position: Permutation
    """Where the sticker of each slot is."""
    moves: str
    """The moves that lead to it, as written; empty where it was given otherwise."""
    effect: Effect
    """What is not home."""
    broken: tuple[Broken, ...]
    solve: str
    """The moves that solve it, as written; empty for none."""
    solved_hold: tuple[Turn, ...] | None
    """How the whole puzzle is to be turned after these moves; None where they do not solve it."""
    solving: tuple[tuple[Turn, ...], ...]
    """These moves written out step by step; none where they do not solve it, or are too many."""

    @property
    def played(self) -> Played:
        """Its solution as a page plays it."""
        return Played(
            puzzle=self.puzzle,
            parts=self.solving,
            before=self.position,
            focus=self.shown.focus,
            letters=self.shown.letters,
        )

    @property
    def tried(self) -> Markup:
        """It as a page lets it be tried; nothing where no turning solves it."""
        if self.broken or not self.effect.changed:
            return Markup()
        return tried(self.puzzle, self.position, self.solving)

    @property
    def words(self) -> str:
        """Where the pieces are, as a sentence."""
        return where(self.effect)

    @property
    def turning_back(self) -> str:
        """The turns of the whole puzzle that bring its centres home; empty where they are."""
        return write_all(self.effect.turning_back, self.puzzle)

    @property
    def words_turned_back(self) -> str:
        """Where the pieces are after that."""
        return where(self.effect.turned_back)

    @property
    def solved_after(self) -> str:
        """The turns of the whole puzzle that are left when it is solved; empty for none."""
        return write_all(self.solved_hold or (), self.puzzle)

    @property
    def laws(self) -> tuple[str, ...]:
        """The laws that it breaks, each as a sentence with its sums."""
        return tuple(f"{text[0].upper()}{text[1:]}." for text in map(str, self.broken))

    @property
    def turned(self) -> Turned:
        return Turned(positions=0 if self.solved_hold is None else 1)


def parse(fence: Fence, head: Head, findings: Findings) -> PositionBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    fields = TABLE.read(fence)
    given = _given(fields, fence)
    shown = keys.shown(fields, head, findings, view="")
    impossible = keys.value(fields, "impossible", Setting.as_yes, False, findings)
    if impossible and "solve" in fields:
        hint = "take away “solve”, or “impossible”"
        findings.add(Problem("no moves solve an impossible position", fields["solve"].key, hint))
    return PositionBlock(
        head=head,
        fields=fields,
        written=fields[given].passage,
        moved=_moved(fields, given, puzzle, findings),
        moves=keys.moves(fields, "moves", puzzle, findings),
        solve=keys.moves(fields, "solve", puzzle, findings),
        impossible=impossible,
        shown=replace(shown, arrows="arrows" in {**head.defaults, **fields} and shown.arrows),
    )


def _given(fields: Mapping[str, Setting], fence: Fence) -> str:
    """The key that says what position it is."""
    given = [key for key in GIVEN_BY if key in fields]
    if not given:
        hint = "write “pieces: flips UF and UR”, or where they are by moves or stickers"
        raise Problem("the block does not say where the pieces are", fence.info, hint)
    if len(given) > 1:
        first, second = sorted(given[:2], key=lambda key: fields[key].key.start)
        raise Problem(f"{first} and {second} exclude each other", fields[second].key, "keep one of the two")
    return given[0]


def _moved(fields: Mapping[str, Setting], given: str, puzzle: Puzzle, findings: Findings) -> Moved:
    if given == "moves":
        return {}
    read = _pieces if given == "pieces" else _stickers
    return findings.attempt({}, read, fields[given], puzzle)


def _pieces(setting: Setting, puzzle: Puzzle) -> Moved:
    """Claims, each about other pieces. Raises Problem or Problems."""
    findings = Findings()
    moved: dict[int, int] = {}
    for passage in [part for item in setting.as_lines() for part in stretches(item.said, findings)]:
        found = findings.attempt({}, _placing, passage, puzzle)
        twice = next((puzzle.piece_at(slot).name for slot in found if slot in moved), "")
        if twice:
            message = f"{twice} is named here twice"
            findings.add(Problem(message, passage, "say once where each piece goes"))
        moved.update(found)
    findings.settle()
    return moved


def _placing(passage: Passage, puzzle: Puzzle) -> Moved:
    return parse_placing(passage, puzzle).moved()


def _stickers(setting: Setting, puzzle: Puzzle) -> Moved:
    """Where stickers are, with each piece and each place told once. Raises Problem or Problems."""
    findings = Findings()
    told = [step for item in setting.as_lines() for step in findings.attempt([], _told, item.said, puzzle)]
    findings.settle()
    at = puzzle.piece_at
    if twice := _twice(at(slot).name for slot, _ in told):
        raise Problem(f"{twice[0]} is named here twice", setting.passage, "say once where each piece goes")
    if twice := _twice(at(there).name for _, there in told):
        raise Problem(
            f"two pieces cannot be at {listed(twice)}", setting.passage, "say which of them is elsewhere"
        )
    left = sorted({at(slot).index for slot, _ in told} - {at(there).index for _, there in told})
    if left:
        names = listed([puzzle.pieces[index].name for index in left])
        raise Problem(f"no piece is said to be at {names}", setting.passage, "say what has come there")
    return merged(placed(at(slot), slot, at(there), there) for slot, there in told)


def _twice(names: Iterable[str]) -> list[str]:
    return [name for name, count in Counter(names).items() if count > 1]


def _told(passage: Passage, puzzle: Puzzle) -> list[tuple[int, int]]:
    """told := PLACE "is at" PLACE (("," | "and") PLACE "is at" PLACE)*    Raises Problem."""
    tokens = Tokenizer(passage, STICKER_RULES)
    told = [_is_at(tokens, puzzle)]
    while another(tokens):
        told.append(_is_at(tokens, puzzle))
    tokens.expect_end("a comma, “and” or the end", STICKER_HINT)
    return told


def _is_at(tokens: Tokenizer, puzzle: Puzzle) -> tuple[int, int]:
    start = tokens.position
    slot = read_slot(tokens, puzzle)
    tokens.expect("“is at” and a place", "is at", hint=STICKER_HINT)
    there = read_slot(tokens, puzzle)
    kinds = puzzle.piece_at(slot).kind, puzzle.piece_at(there).kind
    if kinds[0] != kinds[1]:
        message = f"a piece of the kind {kinds[0]} cannot be where one of the kind {kinds[1]} belongs"
        raise Problem(message, tokens.since(start), "name two places of one kind")
    return slot, there


def check(block: PositionBlock, scope: Scope, findings: Findings) -> Position:
    """The position, with the laws that it breaks; what is impossible or unsolved goes to the findings."""
    position = _position(block, scope)
    laws = () if block.moves else broken(scope.puzzle, position)[:MOST_LAWS]
    findings.problems += _misjudged(block, laws)
    solved_hold = findings.attempt(None, _solved, block, scope, position) if block.solve else None
    fields = block.fields
    return Position(
        head=block.head,
        shown=block.shown,
        position=position,
        moves=_as_written(fields, "moves"),
        effect=Effect(scope.puzzle, position),
        broken=laws,
        solve=_as_written(fields, "solve"),
        solved_hold=solved_hold,
        solving=() if solved_hold is None else _written_out(block, scope),
        refers_to=named_in([block.moves, block.solve]),
    )


def _position(block: PositionBlock, scope: Scope) -> Permutation:
    """Raises Problem for moves that refer to no sequence."""
    if block.moves:
        return permutation(resolve_one(block.moves, scope.trees), scope.puzzle)
    slots = range(len(scope.puzzle.stickers))
    return perm.from_images(block.moved.get(slot, slot) for slot in slots)


def _misjudged(block: PositionBlock, laws: tuple[Broken, ...]) -> list[Problem]:
    """Where the author takes an impossible position for possible, or the other way round."""
    if block.impossible and not laws:
        message, hint = "turning reaches this position, so it is possible", "take “impossible” away"
        return [Problem(message, block.fields["impossible"].passage, hint)]
    if block.impossible:
        return []
    draw_it = "to draw it all the same write impossible: yes"
    return [
        Problem(
            f"this position is impossible: {law.law}",
            block.written,
            f"{law.here or 'it stays so'}; {draw_it}",
        )
        for law in laws
    ]


def _solved(block: PositionBlock, scope: Scope, position: Permutation) -> tuple[Turn, ...]:
    """How the whole puzzle is turned once it is solved. Raises Problem where it is not."""
    assert block.solve is not None  # asked for only where it is written
    done = perm.compose(position, permutation(resolve_one(block.solve, scope.trees), scope.puzzle))
    for whole, turns in holds(scope.puzzle).items():
        if _looks_solved(perm.compose(done, whole), scope.puzzle):
            return turns
    left = Effect(scope.puzzle, done)
    after = f", after {write_all(left.turning_back, scope.puzzle)}" if left.turning_back else ""
    message = f"{_as_written(block.fields, 'solve')} does not solve this position"
    hint = f"what is left{after}: {where(left.turned_back)}"
    raise block.fields["solve"].problem(message, hint)


def _written_out(block: PositionBlock, scope: Scope) -> tuple[tuple[Turn, ...], ...]:
    """The turns that solve it, where they are not too many to be played."""
    assert block.solve is not None  # asked for only where it solves
    tree = resolve_one(block.solve, scope.trees)
    return tuple(in_steps(tree)) if turn_count(tree) <= MOST_PLAYED else ()


def _looks_solved(position: Permutation, puzzle: Puzzle) -> bool:
    """Whether every sticker is on its face: pieces that look alike may stand in each other's places."""
    return all(puzzle.stickers[position[s.index]].face == s.face for s in puzzle.stickers)


def _as_written(fields: Mapping[str, Setting], key: str) -> str:
    return on_one_line(fields[key].said.text) if key in fields else ""


def of_position(position: Position, colours: Palette) -> Views:
    """The position in each view that the author asked for, or in that which shows best what is not home."""
    return in_views(*_sight(position, colours))


def _sight(position: Position, colours: Palette) -> tuple[Picture, tuple[str, ...]]:
    """What is drawn, which is described where there are arrows or marks, and in which views."""
    shown, puzzle = position.shown, position.puzzle
    way = perm.inverse(position.position)
    sight = picture(
        position.puzzle,
        position.position,
        colours,
        spelled(position.title, position.puzzle) or "Position",
        "",
        focus=shown.focus,
        moves=way if shown.arrows else None,
        letters_shown=shown.letters,
    )
    slots = in_focus(puzzle, position.position, shown.focus, marked=False)
    away = trace(puzzle, goes(puzzle, position.position, way, marked=False), slots)
    views = shown.views or (best_view(puzzle, away),)
    if any(of_marks.drawn(layout(position.puzzle, views[0]), sight.marks)):
        sight = replace(sight, description=HOME)
    return sight, views


def show(position: Position, page: PageRenderer) -> Values:
    sight, views = _sight(position, page.colours(position.puzzle))
    return {"position": position, "drawn": in_views(sight, views), "arrows": sight.description}


KIND = Kind(Position, TABLE, parse, check, show, looks_about=False)
