"""Turnfolio: guides to twisty puzzles, every claim about moves checked by turning."""
