"""Dimpsy plans volunteer roadside wildlife surveys that must happen in twilight."""
