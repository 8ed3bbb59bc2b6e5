"""The benchmark: one engine and general solvers on the same generated jobs."""
