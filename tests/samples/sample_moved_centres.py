"""Sequences that move centres or turn the whole puzzle, and others that are related to them."""

from __future__ import annotations


def listed(text: str) -> list[str]:
    return " ".join(text.split()).split(", ")


WHOLE = listed("R R', x, x', y, z, z2, x y, y' x', x2 y2 z2")
FACES = listed("R, R', L, U, U', R L', L R', R U R' U', U R U' R', L' U' L U, F U F' U'")
BOTH = listed("L x, x' L', R x', x R, R y, y' R', R' y', y R y', R L' x', z U z', x R U R' U' x'")
SLICES = listed("M, M', M2, E, S, M x, M x2, y M y', E y', (M U)2, M U M', Rw, Rw x', Rw L'")
INNER = listed("2R, 2R', 2L, Rw, Lw, 2R x', 2R U2 2R', 2R U 2R' U', U 2R U' 2R', x 2R, U 2R U")
LIKE = listed("(R U R' U)5, (U' R U' R')5, (R U R' U)5 2R, 2R (R U R' U)5, 2R' (R U R' U)5, 2R2 U")
FAMILIES = {
    "cube-2": [*WHOLE, *FACES, *BOTH],
    "cube-3": [*WHOLE, *FACES, *BOTH, *SLICES],
    "cube-4": [*WHOLE, *FACES[:8], *BOTH[:8], *INNER, *LIKE, "3Rw", "3Rw x'", "2-3R", "2-3R x'"],
    "cube-5": [*WHOLE, *FACES[:4], *BOTH[:8], *SLICES[:9], *INNER[:9], *LIKE, "3Rw", "3Rw x' M"],
    "pyraminx": listed("""
        U, U', u, u', R, R', r, 1-3U, 1-3U', 1-3R, 1-3U 1-3R, u u', 3U, 2U, U 1-3U', 1-3U' U,
        1-3U 3U', R 1-3U, 1-3U' R', 1-3U R 1-3U', R U R' U', U R U' R', 1-3U L 1-3U', L' U' L U,
        u 1-3U, R U R' U' 1-3B, 2U 1-3U, U', U' u
    """),
    "skewb": listed("""
        R, R', U, L, B, 2R, 2R', 1-2R, 1-2R', 1-2U, 1-2R 1-2U, R R', R 1-2R', 1-2R' R, R U R' U',
        U R U' R', R 1-2U, 1-2U' R', 1-2U R 1-2U', L' U' L U, B' R' B R, 2R 2U 2R' 2U',
        R U R' U' 1-2L, 1-2R 1-2R 1-2R, R' 1-2B
    """),
    "megaminx": listed("""
        R, R', R R', U, x, x', y, R++, R--, D++, R++ x2', R2 R', L x, x L, R U R' U', 2U, y2
    """),
}
