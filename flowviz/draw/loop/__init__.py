"""Pictures of the loop outside the tank: diagram, grade line, pump, strainers, holes."""
