"""Pure figures: a view in, a Plotly figure out."""

# Plotly looks at pandas as soon as any thread has begun to load it; loaded here, it is whole before a figure is made.
import pandas as pd  # noqa: F401
