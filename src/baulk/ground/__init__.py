"""The ground as it lies: the colour of soils and, later, surfaces, volumes and walls cut through them."""

from baulk.ground.colour import colour_difference, lab_of, luminance_of, srgb_of

__all__ = ["colour_difference", "lab_of", "luminance_of", "srgb_of"]
