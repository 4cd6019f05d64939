"""The wiring graph: cones with hops, ways between two places, loops, layers, and sources with their whole load."""

from restoration.engineering.wiring.components import Components, Loop, components, loops, self_links
from restoration.engineering.wiring.cones import Cone, beyond, cone, path_to
from restoration.engineering.wiring.graph import Place, Start, Wiring, build_wiring
from restoration.engineering.wiring.loads import loads_of_source, same_source, sources_of_link

__all__ = [
    "Components",
    "Cone",
    "Loop",
    "Place",
    "Start",
    "Wiring",
    "beyond",
    "build_wiring",
    "components",
    "cone",
    "loads_of_source",
    "loops",
    "path_to",
    "same_source",
    "self_links",
    "sources_of_link",
]
