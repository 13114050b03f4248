"""What is printed and handed over: the record of a job, as text and as JSON."""
