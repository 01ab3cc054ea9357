"""The repaint plan run over the polygons, tinted coats, quantities, spraying climate."""
