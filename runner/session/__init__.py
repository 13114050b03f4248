"""Where disk, clock and job meet: one job at work, the shelf of all jobs, the clock, entries files."""
