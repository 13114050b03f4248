"""The trial of a procedure on virtual jobs: what a walk of many of them reaches, and what none of them does. Pure."""
