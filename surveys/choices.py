"""What can be chosen in a survey, where more than one room asks."""

OBSTRUCTIONS = ("step", "downpipe", "gully", "radiator", "worktop", "plant", "wall", "light")
