"""What all sheets share: how they look, their letters, labels, keys and bars, and how things are put in words."""
