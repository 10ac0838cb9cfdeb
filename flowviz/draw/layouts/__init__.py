"""Layouts of a tank: what a change brings, what it costs, and one opening on its way."""
