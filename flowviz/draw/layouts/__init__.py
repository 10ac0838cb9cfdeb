"""Layouts of a tank beside each other: what a change brings, what it costs, and one opening on its way."""
