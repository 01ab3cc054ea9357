"""Shapely in and out: validity, areas and surface ratio, boundaries and offsets, bands and margins."""
