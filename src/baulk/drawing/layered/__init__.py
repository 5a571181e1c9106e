"""A layered layout for an order: latest on top, few crossings, right-angled lines."""

from baulk.drawing.layered.layout import Layout, Spacing, lay_out_layers

__all__ = ["Layout", "Spacing", "lay_out_layers"]
