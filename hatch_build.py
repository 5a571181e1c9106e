"""Builds the workbench in the browser while the wheel is made, with the Node that a build requirement brings."""
