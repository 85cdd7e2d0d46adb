"""The road network as a networkx graph, for scripts and for checking by other libraries."""

from __future__ import annotations

import networkx as nx

from planner.travel.road_arrays import RoadArrays
from planner.travel.routing.turn_states import TurnStates


def road_graph(roads: RoadArrays, states: TurnStates, attribution: str) -> nx.MultiDiGraph[int]:
    """Return junctions, states beyond them and every open arc; see ``RoadNetwork.graph``."""
    graph: nx.MultiDiGraph[int] = nx.MultiDiGraph(attribution=attribution)
    junctions = states.junctions
    columns = (junctions, roads.node_latitudes[junctions], roads.node_longitudes[junctions])
    graph.add_nodes_from(
        (state, {"junction": junction, "latitude": latitude, "longitude": longitude})
        for state, (junction, latitude, longitude) in enumerate(
            zip(*(column.tolist() for column in columns), strict=True)
        )
    )
    for start, arc, end in zip(*(column.tolist() for column in states.steps()), strict=True):
        edge = arc // 2
        graph.add_edge(
            start,
            end,
            key=arc,
            edge=edge,
            seconds=float(states.seconds[arc]),
            metres=float(roads.metres[edge]),
            kind=roads.kinds[roads.kind_numbers[edge]],
            name=roads.names[roads.name_numbers[edge]],
        )
    return graph
