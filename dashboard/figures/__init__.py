"""Pure figures: a view in, a Plotly figure out."""
