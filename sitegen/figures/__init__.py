"""Figures: a puzzle's polygons, projected and marked, as SVG.

Knows stickers and colours; knows nothing of Markdown or pages.
"""
