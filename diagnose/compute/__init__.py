"""Pure functions of the physics and arithmetic behind findings and fixes."""
