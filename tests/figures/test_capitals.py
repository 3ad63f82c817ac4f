"""What drawn capitals promise: they stand where they should, and are read as what they are."""

from __future__ import annotations

from functools import cache
from itertools import combinations, pairwise
from math import hypot
from operator import mul
from string import ascii_uppercase

import pytest
from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont
from reading_paths import outlines
from sample_rendering import needs

from sitegen.figures.capitals import CAPITALS, HEIGHT, THICKNESS, WIDTH, lettering
from sitegen.figures.path_text import Command, path_text

SIZE = 500
"""Of a font; by hand, 0.72 of it is the height of a capital letter, and 4 sixths of that its width."""
TALL, WIDE, THICK = 360, 240, 65
MIDDLE, BASE = 220, 460
SHEET = (440, 600)
"""Wide and high enough for a letter, its lines' thickness, and what hangs below the base line."""


def drawn(word: str) -> list[list[tuple[int, int]]]:
    """The corners of each line; nothing but lines on whole numbers may be written."""
    lines = outlines(path_text(lettering(word, MIDDLE, BASE, SIZE)))
    assert not any(line.closed for line in lines)
    assert all(n == round(n) for line in lines for corner in line.corners for n in corner)
    return [[(round(x), round(y)) for x, y in line.corners] for line in lines]


def spread(letter: str) -> tuple[int, int, int, int]:
    """From the least x to the greatest, and from the least y to the greatest."""
    xs, ys = zip(*(corner for line in drawn(letter) for corner in line), strict=True)
    return min(xs), max(xs), min(ys), max(ys)


def picture(letter: str) -> Image.Image:
    """A letter as a figure shows it, white on black, its lines with round ends."""
    image = Image.new("L", SHEET)
    pen = ImageDraw.Draw(image)
    for line in drawn(letter):
        pen.line(line, fill=255, width=THICK)
        for x, y in line:
            pen.ellipse((x - THICK / 2, y - THICK / 2, x + THICK / 2, y + THICK / 2), fill=255)
    return image


def test_the_measures_are_those_of_the_module() -> None:
    assert (WIDE / TALL, THICK / SIZE) == (WIDTH / HEIGHT, THICKNESS)


def test_there_are_all_letters_from_a_to_z() -> None:
    assert "".join(CAPITALS) == ascii_uppercase


@pytest.mark.parametrize("letter", ascii_uppercase)
def test_a_letter_stands_in_its_box_from_the_base_line_to_the_top(letter: str) -> None:
    left, right, top, bottom = spread(letter)
    assert MIDDLE - WIDE / 2 <= left < right <= MIDDLE + WIDE / 2
    assert top == BASE - TALL
    # As in many fonts, only the tail of a Q hangs below the line, by less than a sixth of the height.
    assert bottom == BASE or (letter == "Q" and BASE < bottom < BASE + TALL / 6)


@pytest.mark.parametrize("word", [*"AHIMOTUVWXY", "AHA", "TOOT", "MUUM"])
def test_what_is_its_own_mirror_image_has_its_middle_above_the_point(word: str) -> None:
    mirrored = [[(2 * MIDDLE - x, y) for x, y in line] for line in drawn(word)]
    assert _strokes(mirrored) == _strokes(drawn(word))


def _strokes(drawn: list[list[tuple[int, int]]]) -> set[frozenset[tuple[int, int]]]:
    return {frozenset(ends) for line in drawn for ends in pairwise(line)}


def test_no_two_letters_are_alike() -> None:
    pictures = {letter: picture(letter) for letter in ascii_uppercase}
    for one, other in combinations(ascii_uppercase, 2):
        # At least by a line half as long as a letter is wide, as the tail of a Q.
        apart = ImageChops.difference(pictures[one], pictures[other]).histogram()[255]
        assert apart > THICK * WIDE / 2, f"{one} and {other}"


def test_a_word_is_its_letters_half_a_width_apart_about_its_middle() -> None:
    def at(letter: str, steps: float) -> list[Command]:
        return lettering(letter, MIDDLE + steps * 1.5 * WIDE, BASE, SIZE)

    assert lettering("BR", MIDDLE, BASE, SIZE) == at("B", -0.5) + at("R", 0.5)
    assert lettering("UFR", MIDDLE, BASE, SIZE) == at("U", -1) + at("F", 0) + at("R", 1)
    assert WIDE / 2 > 1.5 * THICK, "the lines of two letters do not touch"


def test_what_is_no_capital_letter_is_refused() -> None:
    for word in ("a", "A1", "Ä"):
        with pytest.raises(KeyError):
            lettering(word, MIDDLE, BASE, SIZE)


def _font(name: str) -> ImageFont.FreeTypeFont | None:
    """A font by its file's name, as high as the letters here with their lines' thickness; None without."""
    try:
        _, top, _, base = ImageFont.truetype(name, 1000).getbbox("H", anchor="ls")
        return ImageFont.truetype(name, 1000 * (TALL + THICK) / (base - top))
    except OSError:
        return None


BOLD, EVEN = _font("DejaVuSans-Bold.ttf"), _font("DejaVuSansMono-Bold.ttf")


def printed(letter: str) -> Image.Image:
    """A letter of the font where a figure would show it, narrower where it is wider than the box."""
    # The J of the first hangs below the base line and has hardly a hook, as few do; that of the other stands.
    font = EVEN if letter == "J" else BOLD
    assert font, "a build server must have DejaVu Sans"
    wide = Image.new("L", (3 * SHEET[0], SHEET[1]))
    ImageDraw.Draw(wide).text((SHEET[0], BASE + THICK // 2), letter, fill=255, font=font, anchor="ls")
    left, _, right, _ = wide.getbbox() or (0, 0, 0, 0)
    glyph = wide.crop((left, 0, right, SHEET[1])).resize((min(right - left, WIDE + THICK), SHEET[1]))
    image = Image.new("L", SHEET)
    image.paste(glyph, (MIDDLE - glyph.width // 2, 0))
    return image


def seen(image: Image.Image) -> list[float]:
    """Lightness out of focus, so that exact places matter less, as a vector of length 1."""
    small = image.filter(ImageFilter.GaussianBlur(TALL / 15)).resize((SHEET[0] // 10, SHEET[1] // 10))
    length = hypot(*small.tobytes())
    return [value / length for value in small.tobytes()]


@cache
def alphabet() -> dict[str, list[float]]:
    return {letter: seen(printed(letter)) for letter in ascii_uppercase}


def read(letter: str) -> str:
    """The letter of the font that a drawn one is most like: the angle between them is least."""
    own = seen(picture(letter))
    return max(ascii_uppercase, key=lambda other: sum(map(mul, own, alphabet()[other])))


@needs(**{"DejaVu Sans": BOLD and EVEN})
@pytest.mark.parametrize("letter", ascii_uppercase)
def test_a_letter_is_most_like_the_same_letter_of_a_font(letter: str) -> None:
    assert read(letter) == letter


@needs(**{"DejaVu Sans": BOLD and EVEN})
@pytest.mark.parametrize(("letter", "without_its_last_line"), ["QO", "RP"])
def test_a_letter_that_lacks_a_line_is_another(
    monkeypatch: pytest.MonkeyPatch, letter: str, without_its_last_line: str
) -> None:
    # A control of the reading above.
    monkeypatch.setitem(CAPITALS, letter, CAPITALS[letter][:-1])
    assert read(letter) == without_its_last_line
