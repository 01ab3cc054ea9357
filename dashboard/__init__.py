"""The dashboard: Streamlit pages over bodymap."""
