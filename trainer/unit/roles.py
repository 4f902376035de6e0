"""What a start report looks for in a unit: its compressor, start gear, supply and their nodes.

Knows parts by role; must know no finding.
"""

from __future__ import annotations

from trainer.study.build import Roles, roles_in, watched
from trainer.study.model import Watch
from trainer.unit.circuit import elements_of, parts_of
from trainer.unit.state import Unit

#: Of two supplies the street is the one that a report watches.
STREET = "split_phase_service"


def roles_of(unit: Unit) -> Roles:
    """The roles of a unit's parts in its circuit as it is wired now."""
    parts = parts_of(unit.parts)
    watch = watched(parts, Watch())
    if "supply" not in watch:
        street = [n for n, part in parts.items() if getattr(part, "kind", "") == STREET]
        watch |= {"supply": street[0]} if street else {}
    _, nodes = elements_of(unit)
    return roles_in(parts, watch, nodes.numbers)
