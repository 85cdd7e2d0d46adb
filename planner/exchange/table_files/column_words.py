"""How columns are commonly headed: words whose meaning is certain, of several languages.

Collected from common practice, no published source. Words are written as
:mod:`planner.exchange.table_files.headings` leaves them: small letters and figures alone, accents taken off.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

Words: TypeAlias = Mapping[str, frozenset[str]]
"""By what a column holds: what may stand above it."""


def _words(**spellings: str) -> Words:
    return {meaning: frozenset(words.split()) for meaning, words in spellings.items()}


PLACE_WORDS = _words(
    latitude=(
        "latitude lat latit breite breitengrad geographischebreite geogrbreite latitud latitudine breedte breedtegraad"
        " breddegrad breddgrad leveysaste szerokosc szerokoscgeograficzna pointlat pointlatitude stoplat stoplatitude"
        " homelat"
        " homelatitude zemepisnasirka szelesseg foldrajziszelesseg enlem широта γεωγραφικοπλατοσ 緯度 纬度"
    ),
    longitude=(
        "longitude lon long lng longit lange laenge langengrad laengengrad geographischelange geogrlange longitud"
        " longitudine lengte lengtegraad laengdegrad lengdegrad langdgrad pituusaste dlugosc dlugoscgeograficzna"
        " pointlon pointlong pointlongitude stoplon stoplong stoplongitude homelon homelong homelongitude"
        " zemepisnadelka hosszusag foldrajzihosszusag boylam долгота γεωγραφικομηκοσ"
        " 経度 经度"
    ),
    place=(
        "coordinates coordinate coords coord latlon latlong latlng latitudelongitude latlonwgs84 position gpsposition"
        " gps wgs84 koordinaten koordinate coordonnees coordenadas coordinate coordinaten koordinater utm"
    ),
    easting="easting eastings utme utmeast utmeasting utmx ostwert",
    northing="northing northings utmn utmnorth utmnorthing utmy nordwert",
    utm_zone="utmzone zone zoneutm utmzonenumber",
    latitude_minutes="latmin latmins latminute latminutes latitudemin latitudeminute latitudeminutes",
    latitude_seconds="latsec latsecs latsecond latseconds latitudesec latitudesecond latitudeseconds",
    latitude_side="latdir latref lathemisphere latitudedir latitudedirection latituderef latitudehemisphere"
    " gpslatituderef",
    longitude_minutes="lonmin lonmins lonminutes longmin longmins longminutes longitudemin longitudeminute"
    " longitudeminutes",
    longitude_seconds="lonsec lonsecs lonseconds longsec longsecs longseconds longitudesec longitudesecond"
    " longitudeseconds",
    longitude_side="londir lonref lonhemisphere longdir longref longitudedir longitudedirection longituderef"
    " longitudehemisphere gpslongituderef",
)
"""Of every table with places."""

AXIS_WORDS = _words(latitude="y pointy ycoord n north", longitude="x pointx xcoord e east")
"""Places as the axes of a map, in degrees or metres: taken where nothing surer is there, both together, and said."""

POINT_WORDS = _words(
    route=(
        "routecode routeid routeno routenr routenumber surveyroute transect transectcode transectid strecke"
        " streckennummer ruta rute rutt reitti trasa percorso itineraire parcours"
    ),
    point=(
        "pointno pointnr pointnumber pointnum stop stopno stopnr stopnumber station stationno stationnumber number no"
        " nr num seq sequence punkt punktnr punktnummer punto numero nummer halt haltepunkt stoppunkt arret"
        " parada fermata"
    ),
    label="name label waypoint wpt pointname pointcode pointlabel pointid stopid stopname code id",
    note=(
        "notes remark remarks comment comments description desc bemerkung bemerkungen notiz notizen anmerkung"
        " remarque remarques commentaire nota notas observaciones opmerking opmerkingen kommentar uwagi huomautus"
    ),
)
ROUTE_WORDS = _words(
    route="routecode routeid code id transect strecke",
    name="routename title bezeichnung",
    area="areaname region county district patch",
)
VOLUNTEER_WORDS = _words(
    code="volunteercode volunteerid id kurzel kennung",
    name="fullname volunteer volunteername surveyor observer nom nombre nome naam navn namn",
    telephone="phone tel phonenumber telephonenumber mobile mobilephone telefon handy telefono tlf puhelin telefoon",
    email="mail emailaddress mailaddress",
    drive_limit_min="drivelimit drivelimitminutes maxdrive maxdriveminutes maxdrivemin",
    visits_limit="maxvisits visitslimit",
    training="trainings qualifications",
)
