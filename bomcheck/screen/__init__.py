"""Many corners times many kits: the checks of one job, run on arrays."""
