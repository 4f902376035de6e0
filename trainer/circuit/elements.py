"""The flat list of ideal elements that every analysis of a circuit reads.

A part (contactor, capacitor, compressor) writes itself down here as resistors,
switches, inductive and capacitive branches and machine windings between nodes,
plus the devices that move its switches. The solver knows these few kinds and no part.

Conventions: SI throughout; node 0 is the chassis; a branch current flows from its
first node through the branch to its second; volts and amps are instantaneous (peak of
a sine, never rms) unless a name ends in ``_rms``; angles in radians; heat in joules.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from trainer.motor.params import LoadParams, MotorParams

CHASSIS = 0

#: Insulation from every node to chassis: keeps a floating island solvable and gives an
#: insulation tester something to read. Invented, of the order of clean dry equipment.
LEAKAGE_S = 1e-8
#: Smallest resistance of anything that carries current: a short copper link. Invented.
LEAST_OHMS = 2e-4
#: An open contact. Invented, of the order of a clean air gap with surface film.
OPEN_OHMS = 1e9


@dataclass(frozen=True)
class Resistor:
    """Resistance between two nodes; ``part`` is the part its heat is booked to."""

    name: str
    a: int
    b: int
    ohms: float
    part: str = ""


@dataclass(frozen=True)
class Switch:
    """A contact. ``closed`` is its state with nothing energised and the handle as found.

    Opening waits for current zero (``arcs``). ``weld_a2s`` is the I2t of a closing surge
    that welds it shut; infinity for a contact that does not weld.
    """

    name: str
    a: int
    b: int
    closed: bool
    closed_ohms: float = 1e-3
    open_ohms: float = OPEN_OHMS
    weld_a2s: float = float("inf")
    arcs: bool = True
    part: str = ""


@dataclass(frozen=True)
class Inductive:
    """Series R-L with an optional source: sum(coeff * v[node]) = R i + L di/dt - emf.

    ``taps`` gives the node coefficients; (a, +1), (b, -1) is a plain branch, and extra
    taps at a turns ratio make an ideal transformer (current coeff * i leaves each node).
    """

    name: str
    taps: tuple[tuple[int, float], ...]
    ohms: float
    henries: float
    source: int = -1
    source_scale: float = 1.0
    part: str = ""


@dataclass(frozen=True)
class Capacitive:
    """Series capacitance and ESR; ``volts`` is the charge it holds at the beginning."""

    name: str
    a: int
    b: int
    farads: float
    esr_ohms: float
    volts: float = 0.0
    part: str = ""


@dataclass(frozen=True)
class Source:
    """A sinusoidal emf: volts_peak * sin(2 pi hz t + phase_rad). Branches refer to it."""

    name: str
    volts_peak: float
    hz: float
    phase_rad: float = 0.0


@dataclass(frozen=True)
class Machine:
    """Two windings on one rotor: main from ``main[0]`` to ``main[1]``, auxiliary likewise."""

    name: str
    main: tuple[int, int]
    aux: tuple[int, int]
    params: MotorParams
    load: LoadParams
    part: str = ""


@dataclass(frozen=True)
class Sense:
    """What a device feels: volts between two nodes, or amps through named elements.

    ``amps`` lists (element name, sign); with several, the algebraic sum (a core balance).
    """

    volts: tuple[int, int] | None = None
    amps: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Coil:
    """An electromagnet: one-cycle rms of ``sense`` against pickup and drop-out."""

    name: str
    sense: Sense
    pickup_rms: float
    dropout_rms: float
    operate_s: float
    release_s: float
    makes: tuple[str, ...] = ()
    breaks: tuple[str, ...] = ()
    part: str = ""


@dataclass(frozen=True)
class Thermal:
    """A heated element that trips: c dT/dt = ohms i^2 - (T - T_around)/r.

    ``machine`` names the machine whose winding heat is the surrounding (None: ambient).
    ``resets_c`` None means it stays open until somebody resets it.
    """

    name: str
    sense: Sense
    ohms: float
    c_j_per_k: float
    r_k_per_w: float
    trips_c: float
    resets_c: float | None
    breaks: tuple[str, ...]
    start_c: float = 25.0
    ambient_c: float = 25.0
    machine: str | None = None
    part: str = ""


@dataclass(frozen=True)
class Magnetic:
    """Instantaneous trip: ``delay_s`` after |amps| first pass ``peak_a`` it opens ``breaks``."""

    name: str
    sense: Sense
    peak_a: float
    breaks: tuple[str, ...]
    delay_s: float = 0.004
    part: str = ""


@dataclass(frozen=True)
class Residual:
    """Core-balance trip (GFCI): one-cycle rms of the summed amps; t = (k / i)^n seconds."""

    name: str
    sense: Sense
    trip_a_rms: float
    k_a: float
    exponent: float
    breaks: tuple[str, ...]
    part: str = ""


@dataclass(frozen=True)
class Timer:
    """Acts ``delay_s`` after its one-cycle rms passes ``threshold_rms``; undone when it falls.

    ``lockout_s``: time without volts before it may act again (0: at once).
    """

    name: str
    sense: Sense
    threshold_rms: float
    delay_s: float
    makes: tuple[str, ...] = ()
    breaks: tuple[str, ...] = ()
    lockout_s: float = 0.0
    off_before_s: float = 1e9
    part: str = ""


@dataclass(frozen=True)
class Ptc:
    """Positive-temperature resistor: heats by its own loss, resistance follows temperature.

    R(T) = cold below switch_c, then cold * exp(b (T - switch_c)) up to ``hot_ohms``.
    """

    name: str
    resistor: str
    cold_ohms: float
    hot_ohms: float
    switch_c: float
    b_per_k: float
    c_j_per_k: float
    r_k_per_w: float
    start_c: float = 25.0
    ambient_c: float = 25.0
    part: str = ""


@dataclass(frozen=True)
class PhaseControl:
    """Firing of an antiparallel pair: delay from each zero of ``sense`` ramps to nothing.

    The boost switches stay made until the cycle rms of ``current_sense`` falls below
    ``settled_ratio`` of its first peak (or ``boost_most_s``); bypass makes at the end.
    """

    name: str
    sense: Sense
    pair: str
    bypass: tuple[str, ...]
    boost: tuple[str, ...]
    first_delay_s: float
    ramp_s: float
    current_sense: Sense
    limit_a_rms: float
    settled_ratio: float
    boost_most_s: float
    give_up_s: float
    part: str = ""


@dataclass(frozen=True)
class Generator:
    """Alternator behind its sources: emf sags by reactance change, regulator and speed.

    The branch inductance is the subtransient; ``extra_ohms`` is (X'd - X''d) in ohms, taken as
    a fall of emf that grows in over ``subtransient_s`` with the sensed rms amps. The regulator
    raises emf towards ``ceiling`` with ``regulator_s``; speed falls with shaft power over H.
    """

    name: str
    sources: tuple[int, ...]
    sense: Sense
    volts: Sense
    rated_w: float
    extra_ohms: float
    subtransient_s: float
    regulator_s: float
    ceiling: float
    inertia_s: float
    governor_s: float
    droop: float
    stall_hz: float
    part: str = ""


@dataclass(frozen=True)
class Inverter:
    """Current-limited source: emf folds back above ``limit_a_peak``; gives up after ``surge_s``."""

    name: str
    sources: tuple[int, ...]
    sense: Sense
    limit_a_peak: float
    fold_ohms: float
    surge_s: float
    rated_a_rms: float
    breaks: tuple[str, ...] = ()
    part: str = ""


Device = Coil | Thermal | Magnetic | Residual | Timer | Ptc | PhaseControl | Generator | Inverter


@dataclass
class Elements:
    """A whole circuit: nodes by name and everything between them. Built once, then read only."""

    nodes: list[str] = field(default_factory=lambda: ["chassis"])
    resistors: list[Resistor] = field(default_factory=list)
    switches: list[Switch] = field(default_factory=list)
    inductives: list[Inductive] = field(default_factory=list)
    capacitives: list[Capacitive] = field(default_factory=list)
    machines: list[Machine] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    devices: list[Device] = field(default_factory=list)
    _index: dict[str, int] = field(default_factory=lambda: {"chassis": CHASSIS})

    def node(self, name: str) -> int:
        """The number of the node of this name, made on first use."""
        if name not in self._index:
            self._index[name] = len(self.nodes)
            self.nodes.append(name)
        return self._index[name]

    def has_node(self, name: str) -> bool:
        return name in self._index

    def resistor(self, name: str, a: int, b: int, ohms: float, part: str = "") -> None:
        self.resistors.append(Resistor(name, a, b, max(ohms, LEAST_OHMS), part))

    def add(self, *items: object) -> None:
        """Put elements into their lists by kind. Raises TypeError for anything else."""
        for item in items:
            self._list_for(item).append(item)

    def source(self, source: Source) -> int:
        """Add a source and return the number that branches use for it."""
        self.sources.append(source)
        return len(self.sources) - 1

    def amps_of(self, name: str) -> bool:
        """Whether some element of this name carries a current that can be sensed."""
        return any(e.name == name for e in self._carriers())

    def _carriers(self) -> Iterable[Resistor | Switch | Inductive | Capacitive]:
        yield from self.resistors
        yield from self.switches
        yield from self.inductives
        yield from self.capacitives

    def _list_for(self, item: object) -> list:
        table: list[tuple[type | tuple[type, ...], list]] = [
            (Resistor, self.resistors),
            (Switch, self.switches),
            (Inductive, self.inductives),
            (Capacitive, self.capacitives),
            (Machine, self.machines),
            (Device.__args__, self.devices),
        ]
        for kind, where in table:
            if isinstance(item, kind):
                return where
        raise TypeError(f"{item!r} is not an element of a circuit")
