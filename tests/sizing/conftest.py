"""Settings for the property tests: no deadline (a busy machine is no bug), nothing written to disk, same examples."""

from hypothesis import settings

settings.register_profile("sizing", deadline=None, database=None, derandomize=True, print_blob=False)
settings.load_profile("sizing")
