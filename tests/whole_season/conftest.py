"""The demo season for the season that is played."""

from tests.shared_demo import demo_folder

__all__ = ["demo_folder"]
