"""How hard the property tests try: `HYPOTHESIS_PROFILE=thorough pytest` tries many more cases."""

import os

from hypothesis import HealthCheck, settings

# A shared machine may be slow at any moment, so that a deadline would fail tests at random.
_COMMON = settings(deadline=None, derandomize=False, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("quick", _COMMON, max_examples=75)
settings.register_profile("thorough", _COMMON, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "quick"))
