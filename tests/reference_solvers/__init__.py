"""Independent solvers that the package's own solver is held against; used by tests only."""
