"""What was it: competing readings of a question, weighed against what the record shows."""
