"""Plain records that say what is to be drawn; figures and prints both draw these."""
