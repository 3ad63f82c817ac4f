"""Links lead to any block that has a name, and say its title where they have no text of their own."""

from __future__ import annotations

import pytest

from sitegen.blocks.kinds import KINDS
from sitegen.guide.links import address_of
from sitegen.problems import written

LIFT = "```moves lift\ntitle: A lift\nmoves: R U\n```\n"
WAY = "```method way\ncount: 5\nstages:\n- stage: A\n  goal: UF placed\n  using: any turns up to 4\n```\n"
BLOCKS = {
    "derivation": "```derivation it\ntitle: That\nsteps:\n- turn: R\n```\n",
    "position": "```position it\ntitle: That\npieces: flips UF and UR\n```\n",
    "find": "```find it\ntitle: That\nclaims: same as @lift\nmost: 1\n```\n",
    "derive": "```derive it\ntitle: That\nclaims: flips UF\nguard: U except UF\nslices: yes\nmost: 1\n```\n",
    "practice": "```practice it\ntitle: That\nfrom: @lift\ncount: 1\n```\n",
    "example": f"{WAY}\n```worked example it\ntitle: That\nseed: 1\n```\n",
    "method": WAY.replace("method way\n", "method it\ntitle: That\n"),
    "sequence": LIFT.replace("lift\ntitle: A lift", "it\ntitle: That"),
}


def test_every_kind_can_be_linked_to() -> None:
    assert {kind.gives.LINK for kind in KINDS.values()} == BLOCKS.keys()


@pytest.mark.usefixtures("kept_in_module")
@pytest.mark.parametrize("scheme", BLOCKS)
def test_a_link_leads_to_the_block_and_says_its_title(published, scheme) -> None:
    blocks = f"# Blocks\n\n{LIFT}\n{BLOCKS[scheme]}"
    home = f"Of []({scheme}:it), <{scheme}:it> and [there]({scheme}:it).\n"
    texts = published({"content/index.md": home, "content/deep/blocks.md": blocks})
    address = {"sequence": "sequences/it.html", "method": "methods/it.html"}
    there = address.get(scheme, f"deep/blocks.html#{scheme}-it")
    link = f'<a href="{there}">'
    assert f"<p>Of {link}That</a>, {link}That</a> and {link}there</a>.</p>" in texts["index.html"]
    page, _, anchor = there.partition("#")
    assert f'id="{anchor}"' in texts[page] if anchor else page in texts


def test_a_derivation_is_linked_to_beside_the_sequence_that_it_names(guide_at) -> None:
    text = BLOCKS["derivation"].replace("title: That", "title: That\nnames: turned")
    guide = guide_at(index=f"# See [](derivation:it)\n\n## And [](sequence:turned)\n\n{text}")
    assert not guide.problems
    assert guide.pages[0].title == "See That"
    assert [heading.text for heading in guide.pages[0].headings] == ["And That"]
    assert address_of("derivation:it", "index", "x.html", guide.targets, written("")) == (
        "index.html#derivation-it"
    )


def test_a_name_that_no_such_block_has_is_told(problems_of) -> None:
    (problem,) = problems_of(index=f"[](derivation:lift)\n\n{LIFT}")
    assert problem.message == "no derivation is named lift"
    assert problem.hint == "no block of the guide is a derivation with a name"
    (problem,) = problems_of(index=f"[](derivation:that)\n\n{BLOCKS['derivation']}")
    assert problem.hint == "there are it"


def test_of_a_link_to_a_block_that_fails_only_the_block_is_told(headlines) -> None:
    failing = BLOCKS["position"].replace("flips UF and UR", "flips UF")
    (told,) = headlines(index=f"[](position:it)\n\n{failing}")
    assert "nowhere" not in told
    assert told.startswith("content/index.md:5")
