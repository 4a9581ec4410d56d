//! Whether a pressure has settled: steady, settling, drifting or hunting, and why that is said.
