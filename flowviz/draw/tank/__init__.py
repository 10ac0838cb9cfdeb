"""The tank in three dimensions: the still, its page, and the program that renders it."""
