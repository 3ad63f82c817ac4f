"""The block `derive`: what it finds is checked as derivations are; mistakes are shown where they stand."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from running import run
from sample_guide import guide_of

import sitegen.blocks.derive_block as derive_block
from sitegen.blocks.derive_block import DerivedWays
from sitegen.puzzles.permutation import compose
from sitegen.site.publish import publish

FLIP = "claims: flips UF\nslices: yes"


def block(body: str, name: str = "d") -> str:
    return f"```derive {name}\n{body}\n```\n"


@pytest.fixture
def ways(checked) -> Callable[..., DerivedWays]:
    """What a block has found; its guide has no problems."""
    return lambda body, more="", **pages: checked(index=block(body) + more, **pages)


@pytest.fixture
def found(mistakes) -> Callable[..., list[tuple[int, int, str, str]]]:
    return lambda body, more="", **pages: mistakes(index=block(body) + more, **pages)


def test_each_way_does_what_was_asked_and_the_guard_is_home_after_each_of_its_steps(
    ways, cube3, turned
) -> None:
    result = ways(f"{FLIP}\nmost: 20")
    uf, fu = cube3.slots["UF"], cube3.slots["FU"]
    rest = [s.index for s in cube3.stickers if "U" in s.name and {*s.name} != {*"UF"}]
    assert len(result.ways) == 20
    for way in result.ways:
        done = turned(way.derivation.in_full, cube3)
        assert (done[uf], done[fu]) == (fu, uf)
        assert turned(way.steps, cube3) == done
        position = cube3.identity
        for step in re.findall(r"\[[^]]+\]|\S+", way.steps):
            position = compose(position, turned(step, cube3))
            assert [position[slot] for slot in rest] == rest
    assert result.claims == ("flips UF", "keeps U except UF")
    assert result.account.startswith("Asides of up to 2 turns: 154 ways of 2 steps; none has fewer; 522 ")


def test_it_finds_what_the_command_finds(ways) -> None:
    told = run("derive", "flips UF", "--slices", "--most", "4").stdout
    assert [way.steps for way in ways(FLIP).ways] == [
        line for line in told.splitlines() if line.startswith("[")
    ]


def test_a_body_without_keys_is_claims(ways) -> None:
    assert ways("twists UFR clockwise").claims == ("twists UFR clockwise", "keeps U except UFR")


def test_keys_mean_what_the_options_do(ways) -> None:
    guarded = ways("claims: twists UFR clockwise\nguard: UR, UB\nwatch: UFR, UF\nfaces: R, F, D")
    assert guarded.guarded == "UR, UB"
    one_turn = ways("claims: flips UF\nslices: yes\naside: 1\nmost: 20")
    assert {len(way.derivation.stages) for way in one_turn.ways} == {6}
    short = ways("claims: twists UFR clockwise\nlongest: 6\nmost: 20")
    assert {way.derivation.length for way in short.ways} == {"6 OBTM"}
    assert "none with up to 6 turns has fewer; " in short.account
    assert "ways have more turns" in short.account
    more = ways("claims: twists UFR clockwise\nfaces: R, F, D\naside: 1\nsteps: 3\nmost: 20")
    assert "looked at up to 3 steps" in more.account


def test_what_is_copied_from_it_can_be_published(ways, checked) -> None:
    way = ways(FLIP).ways[0]
    assert way.source.count("```derivation ") == 2
    derivation = checked(index=way.source.split("\n\n")[1])
    assert derivation.named.name == "flips-uf"


def test_names_that_the_guide_has_are_not_proposed(ways) -> None:
    result = ways(FLIP, more="\n```moves flips-uf\nmoves: F E F2 E2 F\n```\n")
    assert "names: flips-uf-2\n" in result.ways[0].source


@pytest.mark.parametrize(
    ("body", "place", "message"),
    [
        ("claims: flips UF\nguard: U", (3, 8), "the goal changes UF"),
        ("claims: flips UF\nwatch: UB", (3, 8), "the guard keeps UB"),
        ("claims: order 3\nguard: U", (2, 9), "this changes no piece, so that there is nothing to derive"),
        ("claims: flips UF\naside: 1", (2, 9), "no clean steps of these turns do this, however many"),
        ("claims: flips UF\nsteps: 9", (3, 8), "6"),
        ("claims: swaps UF with DB", (2, 9), "no layer has all of"),
        ("claims: flips UF\nguard: Q", (3, 8), "Q"),
        ("title: T", (1, 4), "the block does not say what to derive"),
    ],
)
def test_a_mistake_is_shown_where_it_stands(found, body: str, place: tuple[int, int], message: str) -> None:
    (mistake,) = found(body)
    assert mistake[:2] == place
    assert message in mistake[2]


def test_that_all_ways_are_longer_is_told_as_the_command_tells_it(found) -> None:
    [(_, _, message, hint)] = found("claims: twists UFR clockwise\nlongest: 4")
    assert hint == "allow more steps, or more turns"
    told = run("derive", "twists UFR clockwise", "--longest", "4").stdout
    assert f"{message}.\n" == told


def test_what_was_found_is_kept_until_something_changes_that_it_follows_from(tmp_path, monkeypatch) -> None:
    sought = []
    search = derive_block.derive
    monkeypatch.setattr(derive_block, "derive", lambda *a, **k: sought.append(a) or search(*a, **k))
    publish(guide_of(tmp_path, index=block(FLIP)))
    publish(guide_of(tmp_path, index=block(f"{FLIP}\ntitle: Other words\nsay: More.")))
    assert len(sought) == 1
    publish(guide_of(tmp_path, index=block(f"{FLIP}\nmost: 5")))
    assert len(sought) == 2
