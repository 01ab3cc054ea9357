"""Drawings of the demo vehicle, one module a view."""
