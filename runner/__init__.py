"""benchhand: a step-by-step procedure runner for the bench."""
