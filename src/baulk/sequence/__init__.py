"""The order of a site: loops, redundant and missed relations, ranks, phases, gaps and likely orders."""
