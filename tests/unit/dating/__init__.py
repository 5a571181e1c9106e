"""Dating, file by file."""
