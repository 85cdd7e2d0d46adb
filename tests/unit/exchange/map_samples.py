"""Invented map files as different programs and receivers write them; structures after the published schemas only."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from pathlib import Path

from planner.exchange.importers import Choices, Reading
from planner.exchange.map_files.map_importers import MAP_IMPORTERS
from planner.exchange.reads import RoutesRead

GPX_1_1 = 'version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"'

RECEIVER = """<?xml version="1.0" encoding="UTF-8" standalone="no" ?>
<gpx xmlns="http://www.topografix.com/GPX/1/1" xmlns:x="urn:example:receiver:extensions:3"
  xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" creator="Receiver 7" version="1.1"
  xsi:schemaLocation="http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd">
  <metadata><link href="http://example.org"><text>Example</text></link><time>2026-05-14T19:02:11Z</time></metadata>
  <wpt lat="50.700100" lon="-1.990000"><ele>41.2</ele><time>2026-05-14T19:02:11Z</time><name>001</name>
    <cmt>14-MAY-26 20:02:11</cmt><desc>by the field gate</desc><sym>Flag, Blue</sym><type>user</type>
    <extensions><x:WaypointExtension><x:DisplayMode>SymbolAndName</x:DisplayMode></x:WaypointExtension></extensions>
  </wpt>
  <wpt lat="50.700200" lon="-1.977500"><ele>39.9</ele><name>002</name><sym>Flag, Blue</sym><type>user</type></wpt>
  <rte><name>R01 Fernhythe Common</name>
    <extensions><x:RouteExtension><x:IsAutoNamed>false</x:IsAutoNamed></x:RouteExtension></extensions>
    <rtept lat="50.700100" lon="-1.990000"><name>R01-01</name><sym>Waypoint</sym>
      <extensions><x:RoutePointExtension><x:Subclass>0600</x:Subclass>
        <x:rpt lat="50.700110" lon="-1.989000"/><x:rpt lat="50.700150" lon="-1.981000"/>
      </x:RoutePointExtension></extensions></rtept>
    <rtept lat="50.700200" lon="-1.977500"><name>R01-02</name></rtept>
  </rte>
</gpx>
"""
OLD_PLANNER = """<?xml version='1.0' encoding='ISO-8859-1'?>
<!-- written by a program of long ago -->
<gpx version="1.0" creator="Planner 3" xmlns="http://www.topografix.com/GPX/1/0">
<time>2026-05-14 yesterday</time><bounds minlat="50.7" minlon="-2.0" maxlat="50.9" maxlon="-1.9"/>
<wpt lat=" 50.7500 " lon="-1.9900"><ele>12</ele><speed>0.0</speed><course>13</course>
  <name><![CDATA[R02-01]]></name><desc><![CDATA[hedge & <lay-by>, M\xfchle]]></desc>
  <url>http://example.org/1</url><urlname>one</urlname></wpt>
<wpt lon="-1.9775" lat="50.7502"><name>R02<!-- a comment -->-02</name></wpt>
</gpx>
""".encode("latin-1")
ROUTE_PLANNER = f"""<gpx {GPX_1_1}><metadata><name>evening</name></metadata>
<rte><name>R03 Gallows Hill</name><type>car</type>
<rtept lat="50.80" lon="-1.90"><name>1</name></rtept>
<rtept lat="50.801" lon="-1.901"/><rtept lat="50.802" lon="-1.903"><name/></rtept>
<rtept lat="50.81" lon="-1.91"><name>2</name></rtept>
<rtept lat="50.811" lon="-1.912"/>
<rtept lat="50.82" lon="-1.92"><name>3</name></rtept></rte></gpx>
"""
NO_NAMESPACE = """\ufeff<gpx version="1.1" creator="web map">
<wpt lat="+50.8" lon="-1.9"><name>R04 1</name></wpt><wpt lat="50.81" lon="-1.9"><name>R04 2</name></wpt></gpx>
"""
TRACK_LOG = f"""<gpx {GPX_1_1}><trk><name>R05 14-MAY-26</name><trkseg>
<trkpt lat="50.7" lon="-1.9"><ele>30</ele><time>2026-05-14T20:00:00Z</time></trkpt>
<trkpt lat="50.7" lon="-1.90001"><time>2026-05-14T20:03:00.5+00:00</time></trkpt>
<trkpt lat="95" lon="-1.9"><time>2026-05-14T20:04:00Z</time></trkpt>
<trkpt lat="50.71" lon="-1.9"><time>yesterday</time></trkpt></trkseg><trkseg>
<trkpt lat="50.71" lon="-1.9"><time>2026-05-14T20:05:00</time></trkpt>
<trkpt lat="50.71001" lon="-1.9"><extensions><x:temp xmlns:x="urn:example:x">12</x:temp></extensions>
<time>2026-05-14T21:09:00+01:00</time></trkpt></trkseg></trk></gpx>
"""
DIALECTS: Mapping[str, bytes] = {
    "receiver": RECEIVER.encode(),
    "old planner": OLD_PLANNER,
    "route planner": ROUTE_PLANNER.encode(),
    "no namespace": NO_NAMESPACE.encode(),
    "track log": TRACK_LOG.encode(),
}

KML = """<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">
<Document><name>Survey 2026</name><Style id="s"><IconStyle><scale>1.1</scale></IconStyle></Style>
<Folder><name>R01 Fernhythe Common</name>
  <Placemark><name>1</name><description><![CDATA[by the <b>field</b> gate<br>&amp; oak]]></description>
    <styleUrl>#s</styleUrl><Point><coordinates> -1.99 , 50.7001 , 41
    </coordinates></Point></Placemark>
  <Placemark><name>2</name><Point><altitudeMode>clampToGround</altitudeMode>
    <coordinates>-1.9775,50.7002</coordinates></Point></Placemark>
  <Folder><name>more</name><Placemark><name>Point 3</name>
    <Point><coordinates>-1.965,50.7003,0</coordinates></Point></Placemark></Folder>
</Folder>
<Folder><name>Gallows Hill</name>
  <Placemark><name>1</name><Point><coordinates>-1.99,50.75,0</coordinates></Point></Placemark>
  <Placemark><name>2</name><Point><coordinates>-1.98,50.75,0</coordinates></Point></Placemark>
</Folder>
<Folder><name>Other things</name>
  <Placemark><name>Car park</name><Point><coordinates>-1.9,50.7,0</coordinates></Point></Placemark>
  <Placemark><name>R03-01</name><ExtendedData><Data name="note"><value>old milestone</value></Data></ExtendedData>
    <Point><coordinates>-1.90,50.80,0</coordinates></Point></Placemark>
  <Placemark><name>the ford</name><ExtendedData><SchemaData schemaUrl="#f"><SimpleData name="Route">R03</SimpleData>
    <SimpleData name="POINT">2</SimpleData><SimpleData name="colour">red</SimpleData></SchemaData></ExtendedData>
    <Point><coordinates>-1.91,50.81,0</coordinates></Point></Placemark>
  <Placemark><name>R04 Long Drove</name><MultiGeometry>
    <Point><coordinates>-1.8,50.9</coordinates></Point><Point><coordinates>-1.81,50.9</coordinates></Point>
    </MultiGeometry></Placemark>
  <Placemark><name>the lane</name><LineString><coordinates>-1.8,50.9,1 -1.81,50.9,1
    -1.82,50.91,1</coordinates></LineString></Placemark>
  <Placemark><name>the wood</name><Polygon><outerBoundaryIs><LinearRing><coordinates>-1.8,50.9 -1.81,50.9 -1.82,50.91
    -1.8,50.9</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark>
  <Placemark><name>evening</name><gx:Track>
    <when>2026-05-14T20:00:00Z</when><when>2026-05-14T20:05:00Z</when>
    <gx:coord>-1.7 50.7 30</gx:coord><gx:coord>-1.70001 50.7 30</gx:coord></gx:Track></Placemark>
</Folder>
<NetworkLink><name>elsewhere</name><Link><href>http://example.org/more.kml</href></Link></NetworkLink>
</Document></kml>
"""
GEOJSON = """{"type": "FeatureCollection", "name": "survey", "features": [
 {"type": "Feature", "properties": {"route": "R01", "point": 1, "note": "by the field gate", "colour": "red"},
  "geometry": {"type": "Point", "coordinates": [-1.99, 50.7001, 41]}},
 {"type": "Feature", "properties": {"Route": "R01", "POINT": "2"},
  "geometry": {"type": "Point", "coordinates": [-1.9775, 50.7002]}},
 {"type": "Feature", "properties": {"name": "R03-01"}, "geometry": {"type": "Point", "coordinates": [-1.9, 50.8]}},
 {"type": "Feature", "properties": {"name": "R04 Long Drove"},
  "geometry": {"type": "MultiPoint", "coordinates": [[-1.8, 50.9], [-1.81, 50.9]]}},
 {"type": "Feature", "properties": {"name": "Car park"}, "geometry": {"type": "Point", "coordinates": [-1.9, 50.7]}},
 {"type": "Feature", "properties": {"route": "R01", "name": "R01 Fernhythe Common"},
  "geometry": {"type": "LineString", "coordinates": [[-1.99, 50.7001], [-1.9775, 50.7002]]}},
 {"type": "Feature", "properties": null, "geometry": {"type": "GeometryCollection", "geometries": [
   {"type": "MultiLineString", "coordinates": [[[-1.8, 50.9], [-1.81, 50.9]], [[-1.7, 50.9], [-1.71, 50.9]]]},
   {"type": "Polygon", "coordinates": [[[-1.8, 50.9], [-1.81, 50.9], [-1.8, 50.91], [-1.8, 50.9]]]}]}}
]}
"""


def kmz(files: Mapping[str, str | bytes]) -> bytes:
    """Return an archive of files by their names."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return held.getvalue()


def reading(path: Path, **choices: object) -> Reading:
    """Read a map file as its own importer does."""
    endings = {".kmz": ".kml"}
    ending = endings.get(path.suffix, path.suffix)
    importer = next(one for one in MAP_IMPORTERS if ending in one.endings)
    return importer.read(path, Choices(**choices))  # type: ignore[arg-type]  # by their names


def routes(path: Path, **choices: object) -> RoutesRead:
    """Read a map file that must be free of faults."""
    found = reading(path, **choices)
    assert found.faults == ()
    assert isinstance(found.read, RoutesRead)
    return found.read


def rows(read: RoutesRead) -> list[tuple[str, int, float, float, str]]:
    """Return route, number, latitude, longitude and note of each point."""
    return [(row.route, row.number, row.place.latitude, row.place.longitude, row.note) for row in read.points]
