"""Boards to compare: an invented one of thirteen terminals, and units."""

from trainer.nets.wires import Wire, groups_of
from trainer.unit.layout import load_layout, unit_of
from trainer.unit.state import Unit

#: Invented board: two legs, contactor, three pins, two sides of a capacitor, a fan.
NETS = "LINE1 L1;LINE2 L2;T1 R CAP_C FAN_1;T2 C FAN_2;S CAP_H"
SWAPPED = "LINE1 L1;LINE2 L2;T1 R;R CAP_C;T1 FAN_1;CAP_C FAN_1;T2 S;CAP_H C;T2 FAN_2"


def wires(text: str) -> list[Wire]:
    rows = [row.split() for row in text.split(";") if row]
    return [Wire(str(n), a, b) for n, (a, b) in enumerate(rows, 1)]


def nets(text: str = NETS) -> frozenset[frozenset[str]]:
    return frozenset(frozenset(row.split()) for row in text.split(";"))


def chain(text: str = NETS) -> list[Wire]:
    """Wires that make these nets, one terminal to the next."""
    pairs = [f"{a} {b}" for net in text.split(";") for a, b in zip(net.split(), net.split()[1:])]
    made = wires(";".join(pairs))
    assert groups_of(made) == nets(text)
    return made


def unit(layout: str) -> Unit:
    return unit_of(load_layout(layout), layout)


def with_end(of: Unit, tag: str, side: str, on: str | None) -> Unit:
    return of.with_conductor(of.conductors[tag].with_end(side, on=on))  # type: ignore[arg-type]
