"""What there is to say of the photos of a habitat sheet."""

from __future__ import annotations

from planner.domain.field.habitat_sheet import Photo, SheetKey
from planner.domain.season import Season
from planner.travel import geodesic_metres


def photo_metres(season: Season, key: SheetKey, photo: Photo) -> float | None:
    """Return how far from its point a photo was taken (geodesic, WGS84); None where the one or the other is not known.

    Args:
        season: its routes and points.
        key: of the sheet that the photo belongs to.
        photo: the photo.
    """
    place = photo.place
    spots = (
        point.place
        for route in season.routes
        if route.code == key.route
        for point in route.points
        if point.number == key.point
    )
    spot = next(spots, None)
    if spot is None or place is None:
        return None
    return geodesic_metres((spot.latitude, spot.longitude), (place.latitude, place.longitude))
