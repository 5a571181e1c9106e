"""The order of a site: loops, redundant relations, ranks, phases, gaps and likely orders."""
