"""A layered layout for an order: latest on top, few crossings, right-angled lines."""

from baulk.drawing.layered.layout import Layout, lay_out_layers

__all__ = ["Layout", "lay_out_layers"]
