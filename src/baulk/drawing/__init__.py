"""Drawings of the record as plain shapes at print scale, and as SVG: plans, walls and the site, in our own look."""

from baulk.drawing.order import order_drawing
from baulk.drawing.plan import plan_drawing, sequence_of_plans
from baulk.drawing.scene import Area, Group, Line, Mark, Scene, Shape, Spot, Stroke, Text
from baulk.drawing.site import site_drawing
from baulk.drawing.svg import to_svg
from baulk.drawing.wall import wall_drawing

__all__ = [
    "Area", "Group", "Line", "Mark", "Scene", "Shape", "Spot", "Stroke", "Text",
    "order_drawing", "plan_drawing", "sequence_of_plans", "site_drawing", "to_svg", "wall_drawing",
]  # fmt: skip
