"""One feeder, three solvers: ampwalk's ladder against pandapower and OpenDSS, volts and time.

Not part of the tests. In a virtual environment:
    python3 -m venv VENV && VENV/bin/pip install pandapower numba opendssdirect.py
    cargo build --release -p ampwalk-core --example feeder
    VENV/bin/python tests/peers/feeder.py target/release/examples/feeder
It leaves with 1 where any two solvers differ by 1e-4 V or more anywhere on the feeder.

The feeder is a row of N leads with a load of constant power at the end of each. Each solver is timed
over the solve alone, with its network already built, from a flat start, as the middle of many solves.
"""

import importlib.metadata
import os
import platform
import statistics
import subprocess
import sys
import time
import warnings

import opendssdirect as dss
import pandapower as pp

VOLTS = 230.0
CLOSE = 1e-4
SECTIONS = (3, 10, 50)
SOLVES = 60


def feeder(sections):
    """Ohms both ways, watts and power factor of each section: the last end gets 8 to 9 % less."""
    ohms = 1.5 / sections
    watts = 4600.0 / sections
    return [
        (ohms * (1.0 + 0.3 * (at % 3 - 1)), watts * (1.0 + 0.4 * (at % 2)), (1.0, 0.95, 0.9)[at % 3])
        for at in range(sections)
    ]


def middle(solve, prepare=lambda: None):
    """Seconds of a solve, the middle of many."""
    times = []
    for _ in range(SOLVES):
        prepare()
        begun = time.perf_counter()
        solve()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def with_ampwalk(program, leads):
    text = "\n".join([repr(VOLTS)] + [f"{ohms!r} {watts!r} {pf!r}" for ohms, watts, pf in leads])
    said = subprocess.run([program], input=text, capture_output=True, text=True, check=True).stdout.split()
    return [float(volts) for volts in said[:-2]], float(said[-1]) * 1e-9


def with_pandapower(leads):
    """Balanced three lines, each of them the feeder: three times the watts, line to line √3 times the volts."""
    net = pp.create_empty_network(sn_mva=0.01)
    kv = VOLTS * 3**0.5 / 1000.0
    here = pp.create_bus(net, kv)
    pp.create_ext_grid(net, here)
    ends = []
    for ohms, watts, pf in leads:
        there = pp.create_bus(net, kv)
        pp.create_line_from_parameters(net, here, there, 1.0, r_ohm_per_km=ohms, x_ohm_per_km=0.0, c_nf_per_km=0.0, max_i_ka=1.0)
        megawatts = 3.0 * watts * 1e-6
        pp.create_load(net, there, p_mw=megawatts, q_mvar=megawatts * (1.0 / pf**2 - 1.0) ** 0.5)
        ends.append(there)
        here = there
    def solve():
        pp.runpp(net, init="flat", tolerance_mva=1e-12, numba=True)
    solve()
    return [float(net.res_bus.vm_pu[end]) * VOLTS for end in ends], middle(solve)


def with_opendss(leads):
    dss.Basic.ClearAll()
    dss.Text.Command(f"New Circuit.f bus1=b0 phases=1 basekv={VOLTS / 1000.0} pu=1 R1=1e-9 X1=1e-9 R0=1e-9 X0=1e-9")
    for at, (ohms, watts, pf) in enumerate(leads):
        dss.Text.Command(f"New Line.l{at} bus1=b{at} bus2=b{at + 1} phases=1 length=1 units=none rmatrix=[{ohms!r}] xmatrix=[0] cmatrix=[0]")
        dss.Text.Command(f"New Load.d{at} bus1=b{at + 1} phases=1 conn=wye model=1 kV={VOLTS / 1000.0} kW={watts / 1000.0!r} pf={pf!r} vminpu=0.1 vmaxpu=2")
    dss.Text.Command("Set tolerance=1e-10")
    dss.Text.Command("Set maxiterations=500")
    dss.Text.Command("Set controlmode=off")

    def solve():
        dss.Solution.Solve()
        assert dss.Solution.Converged()

    def unload():
        # It starts from its last answer: one without loads is a flat start.
        dss.Solution.LoadMult(1e-9)
        dss.Solution.Solve()
        dss.Solution.LoadMult(1.0)

    seconds = middle(solve, unload)
    volts = []
    for at in range(len(leads)):
        dss.Circuit.SetActiveBus(f"b{at + 1}")
        volts.append(dss.Bus.VMagAngle()[0])
    return volts, seconds


def main(program):
    warnings.filterwarnings("ignore")
    peers = ("pandapower", "opendssdirect.py", "dss-python", "numba")
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in peers)
    print(f"Python {platform.python_version()}, {versions}; {platform.machine()}, {os.cpu_count()} cores")
    print(f"{'N':>3} {'end V':>10} {'apart V':>9} {'ampwalk µs':>11} {'pandapower µs':>14} {'OpenDSS µs':>11} {'times':>7} {'times':>6}")
    worst = 0.0
    for sections in SECTIONS:
        leads = feeder(sections)
        ours, our_time = with_ampwalk(program, leads)
        theirs = {"pandapower": with_pandapower(leads), "OpenDSS": with_opendss(leads)}
        apart = max(
            abs(one - other)
            for volts, _ in theirs.values()
            for one, other in zip(ours, volts, strict=True)
        )
        worst = max(worst, apart)
        pandapower, opendss = (theirs[name][1] for name in ("pandapower", "OpenDSS"))
        print(
            f"{sections:>3} {ours[-1]:>10.5f} {apart:>9.1e} {our_time * 1e6:>11.2f} {pandapower * 1e6:>14.0f} {opendss * 1e6:>11.1f} {pandapower / our_time:>7.0f} {opendss / our_time:>6.0f}"
        )
    if worst >= CLOSE:
        sys.exit(f"apart by {worst} V")


if __name__ == "__main__":
    main(sys.argv[1])
