"""The window: a coordinator's whole season on one screen."""
