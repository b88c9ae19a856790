"""What happens after the build. Pure: standard library only, no Django, no database, no clock."""

from .caretime import CareTime, care_time

__all__ = ["CareTime", "care_time"]
