"""The flat pictures of a study: sections, the view from above, the cycle, and computed against measured speeds."""
