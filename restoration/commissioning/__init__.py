"""Gates, standing and readiness."""
