"""How the insects on a plant come on: whether its finds rise, and when its eggs hatch."""
