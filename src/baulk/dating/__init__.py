"""Dates: what finds, documents and the order allow, and what each aid to dating says within its limits."""
