"""Newton's method on a batch of readings, port by port."""

import numpy as np

from tracegraph.network.batch import Batch, Flow, Found, Probes, State
from tracegraph.network.bends import BELOW, begun, limited
from tracegraph.network.circuit import Floats, Ints
from tracegraph.network.device import law
from tracegraph.network.drive import CLAMP_SLOPE, LN10, trusted
from tracegraph.network.hot import Reach, Step, bends, corrected, hot_ports
from tracegraph.network.skeleton import Truths

ROUNDS = 40
STEP = 1e-6  # volts; after so small a step less than 1e-9 V are left
SHARE = 10.0  # how much smaller than trusted a residual must be
LEAST_OHMS = 1e-2
PATIENCE = 2  # rounds after which a port that swings to and fro is slowed
SWING = 0.1  # volts that it may go all the same
GROWTH = 1.1  # of the way that it may go, each time


def newton(batch: Batch, probes: Probes, state: State, rounds: int = ROUNDS) -> Found:
    """Return where Newton's method comes to rest, converged or not."""
    width = len(state.across)
    found = Found(
        np.full(width, np.nan),
        state.ports.copy(),
        np.full(width, np.inf),
        np.zeros(width, np.bool_),
    )
    left = np.arange(width)
    for turn in range(rounds):
        flow = _flow(batch, probes, state)
        rest = (state.step <= STEP) & trusted(SHARE * flow.residual, batch.drive)
        if rest.any():
            _keep(found, left, rest, state, flow)
            going = np.flatnonzero(~rest)
            if not going.size:
                return found
            left, probes = left[going], probes.take(going)
            state, flow = state.take(going), flow.take(going)
        state = _advance(batch, probes, state, flow, turn)
    found.ports[:, left] = state.ports
    found.across[left] = state.across
    return found


def _keep(found: Found, left: Ints, rest: Truths, state: State, flow: Flow) -> None:
    """Write down the readings that are at rest."""
    readings = left[rest]
    found.across[readings] = flow.across[rest]
    found.ports[:, readings] = state.ports[:, rest]
    found.residual[readings] = flow.residual[rest]
    found.converged[readings] = True


def start(batch: Batch, probes: Probes) -> State:
    """Return where to begin: every port alone behind the idle section."""
    skeleton = batch.skeleton
    rest = (skeleton.undo @ (batch.share * skeleton.rest))[:, None]
    open_volts = batch.share * probes.rest + _between(batch, probes, rest)
    amps, behind = _delivered(batch, open_volts, probes.idle)
    reach, felt = probes.reach[:-1], np.diagonal(skeleton.impedance)[:, None]
    felt = felt - reach**2 / np.maximum(behind + probes.idle, LEAST_OHMS)
    ohms = np.maximum(felt, LEAST_OHMS)
    ports = begun(batch.knees, batch.amps, rest + reach * amps, ohms)
    across = open_volts + probes.idle * amps
    return begin(ports, across)


def begin(ports: Floats, across: Floats) -> State:
    """Return a state to begin at."""
    endless = np.full_like(ports, np.inf)
    return State(
        ports, across, np.zeros_like(ports), endless, np.full_like(across, np.inf)
    )


def _delivered(batch: Batch, volts: Floats, ohms: Floats) -> tuple[Floats, Floats]:
    """Return what the meter delivers into a straight section, and from behind what."""
    drive = batch.drive
    if not batch.limited:
        amps = (drive.amps - volts / drive.ohms) / (1 + ohms / drive.ohms)
        return amps, np.full_like(volts, drive.ohms)
    beyond = volts + ohms * drive.amps > drive.volts
    reached = (drive.volts - volts) / np.where(beyond, ohms, 1.0)
    amps = np.where(beyond, reached, drive.amps)
    return amps, np.where(beyond, 0.0, np.inf)


def _between(batch: Batch, probes: Probes, ports: Floats) -> Floats:
    """Return what port voltages make between the probes, ports at idle slopes."""
    tied, idle = batch.skeleton.tied[:, None], batch.skeleton.idle[:, None]
    drawn = np.where(tied, ports, -idle * ports)
    return np.asarray((probes.leads * drawn).sum(axis=0))


def _flow(batch: Batch, probes: Probes, state: State) -> Flow:
    """Return the currents at a state, and what is missing to an answer."""
    skeleton, circuit = batch.skeleton, batch.skeleton.circuit
    values = circuit.values if probes.values is None else probes.values.T
    flows = law(circuit, values, state.ports.T)
    amps, slopes = flows.amps.T, flows.slopes.T
    delivered, by_volts = batch.drive.current(state.across)
    missing = skeleton.by_volts @ state.ports + skeleton.by_amps @ amps
    missing -= probes.leads * delivered
    missing -= batch.share * skeleton.rest[:, None]
    drawn = np.where(skeleton.tied[:, None], state.ports, -amps)
    across = np.einsum("ij,ij->j", probes.leads, drawn)
    across += probes.straight * delivered + batch.share * probes.rest
    residual = _misfit(batch, slopes, missing)
    residual += np.abs(by_volts * (state.across - across))
    through = 2 * np.abs(delivered) + np.abs(amps).sum(axis=0)
    residual += skeleton.flaw * through + skeleton.source_flaw
    return Flow(slopes, by_volts, missing, across, residual)


def _misfit(batch: Batch, slopes: Floats, missing: Floats) -> Floats:
    """Return the current by which the ports' laws and Kirchhoff's disagree.

    A tree port's equation is a current already; any other port stands off by a
    voltage, which its law turns into a current.
    """
    tied = batch.skeleton.tied
    steep = slopes[: len(tied)].copy()
    steep[tied] = 1.0
    steep *= missing
    misfit = np.abs(steep, out=steep).sum(axis=0)
    for link in batch.links:
        off = np.where(tied[link.voltage, None], 0.0, missing[link.voltage])
        misfit += np.abs(slopes[link.entry] * off).sum(axis=0)
    return np.asarray(misfit)


def _advance(
    batch: Batch, probes: Probes, state: State, flow: Flow, turn: int
) -> State:
    """Return the state after one step."""
    step = _step(batch, probes, state, flow)
    ohms = np.diagonal(batch.skeleton.impedance)
    wanted = state.ports + step.ports
    ports = limited(batch.knees, batch.amps, ohms, wanted, state.ports)
    np.clip(ports, -batch.most, batch.most, out=ports)
    bound = state.bound
    if turn >= PATIENCE:
        ports, bound = _slowed(ports, state)
    across = state.across + step.across
    allowed = _held(batch, across, state.across)
    moved = ports - state.ports
    size = np.abs(moved).max(axis=0, initial=0.0) + np.abs(allowed - state.across)
    bounded = (np.abs(ports - wanted) > STEP).any(axis=0) | (
        np.abs(allowed - across) > STEP
    )
    return State(ports, allowed, moved, bound, np.where(bounded, np.inf, size))


def _step(batch: Batch, probes: Probes, state: State, flow: Flow) -> Step:
    """Return Newton's step."""
    skeleton = batch.skeleton
    ports = -(skeleton.undo @ flow.missing)
    gap = flow.across - state.across
    idle = Step(ports, gap + _between(batch, probes, ports))
    bent = bends(flow.slopes, skeleton.idle, batch.links)
    reach = Reach(batch.impedance, probes.reach, probes.idle, flow.delivered)
    return corrected(idle, bent, reach, hot_ports(bent, skeleton.impedance))


def _slowed(ports: Floats, state: State) -> tuple[Floats, Floats]:
    """Return port voltages, those that swing to and fro held back, and how far."""
    change = ports - state.ports
    last = np.abs(state.moved)
    swings = (change * state.moved < 0) & (2 * np.abs(change) > last)
    swings &= last > SWING
    bound = np.where(swings, np.maximum(last / 2, SWING), state.bound * GROWTH)
    return state.ports + np.clip(change, -bound, bound), bound


def _held(batch: Batch, wanted: Floats, before: Floats) -> Floats:
    """Return the voltage across the probes, not far past the meter's limit."""
    if not batch.limited:
        return wanted
    fold = CLAMP_SLOPE / LN10
    begin = np.maximum(before, batch.drive.volts - BELOW * fold)
    over = np.maximum(wanted - begin, 0.0)
    return np.maximum(wanted - over + fold * np.log1p(over / fold), -batch.most)
