"""How far two shades are apart for those who read one on the other."""

from __future__ import annotations


def channels(shade: str) -> tuple[int, int, int]:
    return int(shade[1:3], 16), int(shade[3:5], 16), int(shade[5:7], 16)


def contrast(one: str, other: str) -> float:
    """WCAG 2.2: contrast ratio by relative luminance."""

    def linear(value: int) -> float:
        v = value / 255
        return v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4

    lights = []
    for shade in (one, other):
        red, green, blue = map(linear, channels(shade))
        lights.append(0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)
    return max(lights) / min(lights)
