"""The verbs of the command line, one file each, and the exit codes."""
