"""Twenty-seven shoots, three solvers: ampwalk's placement of heads against HiGHS and CP-SAT.

Not part of the tests. In a virtual environment:
    python3 -m venv VENV && VENV/bin/pip install highspy ortools
    cargo build --release -p ampwalk-exact --example placing
    cargo build --release -p ampwalk-exact --example placing --features exact --target-dir target/exact
    VENV/bin/python tests/peers/placing.py target/release/examples/placing \
        --exact target/exact/release/examples/placing
The exact build needs cmake and libclang, and may be left out. `--instances DIR` reads other instances than
those of tests/reference/placement/, whose files say what is asked; words after that pick some by name.

Both peers get the same program in whole numbers: alike heads as one count a place (sockets of one room and
circuit), the order of striking as one switch a distinct strike of an RCD and setup. They make it small level
by level: importance of what stays dark, cost of generators, moves, metres, and how full the fullest circuit
is; each level is held before the next, from the answer to the one before, `LIMIT` seconds in all, the
building of the program not counted. Both have as many threads as the machine has cores; ampwalk has one.
Every answer, ours too, is judged again here by adding up its sockets and striking its heads one by one.

A row says dark/generators/moves/metres, how many of these four are proven (a `+`: the fullest circuit as
well), the fullest circuit in thousandths, and seconds. It leaves with 1 where an answer breaks a limit or
says of itself what it is not.
"""

import argparse
import collections
import importlib.metadata
import json
import math
import os
import pathlib
import platform
import subprocess
import sys
import time

import highspy
import numpy
from ortools.sat.python import cp_model

LIMIT = 10.0
TIMES = (50, 200, 1000)
EXACT = 3000
THREADS = os.cpu_count() or 1
LEVELS = 4
HERE = pathlib.Path(__file__).resolve().parent.parent / "reference" / "placement"


class Shoot:
    """An instance, its sockets gathered to places and its heads to kinds."""

    def __init__(self, path):
        self.data = json.loads(path.read_text())
        self.path = path
        self.name = path.stem
        known = {}
        self.places = []
        self.ways = []
        of_socket = []
        for at, socket in enumerate(self.data["sockets"]):
            if socket["circuit"] is None:
                of_socket.append(None)
                continue
            key = (socket["room"], socket["circuit"])
            if key not in known:
                known[key] = len(self.places)
                self.places.append((at, socket["circuit"]))
                self.ways.append(0)
            self.ways[known[key]] += socket["outlets"]
            of_socket.append(known[key])
        self.room = [node["limit"] - node["base"] for node in self.data["circuits"]]
        self.rcd = [node["rcd"] for node in self.data["circuits"]]
        self.generator = [node["generator"] for node in self.data["circuits"]]
        self.home = [self.place(of_socket, lamp["fixed_socket"]) for lamp in self.data["lamps"]]
        self.now = [self.place(of_socket, lamp["current_socket"]) for lamp in self.data["lamps"]]

    @staticmethod
    def place(of_socket, socket):
        return None if socket is None else of_socket[socket]

    def metres(self, lamp, place):
        return self.data["dist"][self.data["lamps"][lamp]["room"]][self.places[place][0]]

    def may(self, lamp, place):
        """Whether a head may go to a place by itself: pinned there, or in reach with volts enough."""
        if self.home[lamp] is not None:
            return self.home[lamp] == place
        metres = self.metres(lamp, place)
        lost = self.data["lamps"][lamp]["amps"] / 10 * metres * self.data["cable_ohm_per_m_loop"] / self.data["volts"] * 100
        return lost <= self.data["vdrop_max_pct"] and metres <= max(lead["length"] for lead in self.data["cables"])

    def judged(self, placing):
        """What a placement comes to, a place or None a head: five levels. Raises where it breaks a limit."""
        lamps = self.data["lamps"]
        ways = collections.Counter()
        amps = collections.Counter()
        lit = collections.defaultdict(list)
        generators, lengths, moves = set(), [], 0
        for at, place in enumerate(placing):
            if place is None:
                continue
            assert self.may(at, place), f"{self.name}: head {at} may not go to place {place}"
            circuit = self.places[place][1]
            ways[place] += 1
            lengths.append(self.metres(at, place))
            moves += self.now[at] not in (None, place)
            if self.generator[circuit] is not None:
                generators.add(self.generator[circuit])
            for setup in lamps[at]["setups"]:
                amps[circuit, setup] += lamps[at]["amps"]
                lit[self.rcd[circuit], setup].append(lamps[at])
        assert all(count <= self.ways[place] for place, count in ways.items()), f"{self.name}: ways"
        assert all(sum_ <= self.room[circuit] for (circuit, _), sum_ in amps.items()), f"{self.name}: amps"
        for (rcd, _), heads in lit.items():
            node = self.data["rcds"][rcd]
            leaks = 0
            for head in sorted(heads, key=lambda head: head["standing"] - head["strike"]):
                assert leaks + head["strike"] <= node["hold"], f"{self.name}: strike on RCD {rcd}"
                leaks += head["standing"]
            assert leaks <= node["standing_limit"], f"{self.name}: standing leakage of RCD {rcd}"
        leads = sorted((lead["length"] for lead in self.data["cables"] for _ in range(lead["count"])), reverse=True)
        lengths.sort(reverse=True)
        assert len(lengths) <= len(leads), f"{self.name}: more heads than leads"
        assert all(length <= lead for length, lead in zip(lengths, leads)), f"{self.name}: leads"
        dark = sum(lamp["importance"] for lamp, place in zip(lamps, placing, strict=True) if place is None)
        cost = sum(self.data["generators"][at]["cost"] for at in generators)
        fullest = max((math.ceil(1000 * sum_ / self.room[circuit]) for (circuit, _), sum_ in amps.items()), default=0)
        return (dark, cost, moves, sum(lengths), fullest)


class Program:
    """A shoot as columns (least, most), rows (terms, least, most) and one cost a level."""

    def __init__(self, shoot):
        self.shoot = shoot
        self.columns = []
        self.rows = []
        kinds = collections.defaultdict(list)
        for at, lamp in enumerate(shoot.data["lamps"]):
            words = (lamp["amps"], lamp["standing"], lamp["strike"], lamp["room"], tuple(lamp["setups"]), lamp["importance"])
            kinds[words + (shoot.home[at], shoot.now[at])].append(at)
        self.kinds = list(kinds.values())
        self.counts = []  # (kind, place, column)
        self.dark = []
        for kind, heads in enumerate(self.kinds):
            terms = []
            for place, (_, circuit) in enumerate(shoot.places):
                amps = shoot.data["lamps"][heads[0]]["amps"]
                most = min(len(heads), shoot.ways[place], shoot.room[circuit] // amps)
                if most > 0 and shoot.may(heads[0], place):
                    self.counts.append((kind, place, self.column(most)))
                    terms.append((self.counts[-1][2], 1))
            self.dark.append(self.column(len(heads)))
            self.rows.append((terms + [(self.dark[kind], 1)], len(heads), len(heads)))
        self.limits()
        self.costs = self.levels()

    def column(self, most):
        self.columns.append(most)
        return len(self.columns) - 1

    def head(self, kind):
        return self.shoot.data["lamps"][self.kinds[kind][0]]

    def switch(self, columns):
        """A switch that is on where any of these columns is over 0."""
        switch = self.column(1)
        for column in columns:
            self.rows.append(([(column, 1), (switch, -self.columns[column])], None, 0))
        return switch

    def of_setups(self, counts):
        """The counts that are on in a setup, for each setup that none other holds wholly."""
        sets = {frozenset(count for count in counts if setup in self.head(count[0])["setups"]) for setup in range(self.shoot.data["setups"])}
        largest = [own for own in sets if own and not any(own < other for other in sets)]
        return sorted(sorted(own) for own in largest)

    def limits(self):
        shoot = self.shoot
        on_circuit, on_rcd = collections.defaultdict(list), collections.defaultdict(list)
        for count in self.counts:
            circuit = shoot.places[count[1]][1]
            on_circuit[circuit].append(count)
            on_rcd[shoot.rcd[circuit]].append(count)
        for place, ways in enumerate(shoot.ways):
            self.rows.append(([(column, 1) for _, own, column in self.counts if own == place], None, ways))
        self.amps = []
        for circuit, counts in sorted(on_circuit.items()):
            for own in self.of_setups(counts):
                terms = [(column, self.head(kind)["amps"]) for kind, _, column in own]
                self.rows.append((terms, None, shoot.room[circuit]))
                self.amps.append((terms, shoot.room[circuit]))
        for rcd, counts in sorted(on_rcd.items()):
            for own in self.of_setups(counts):
                self.limit_rcd(shoot.data["rcds"][rcd], own)
        leads = sorted((lead["length"], lead["count"]) for lead in shoot.data["cables"])
        for at, (length, _) in enumerate(leads):
            longer = [(column, 1) for kind, place, column in self.counts if shoot.metres(self.kinds[kind][0], place) > length]
            self.rows.append((longer, None, sum(count for _, count in leads[at + 1 :])))
        self.running = []
        for generator in range(len(shoot.data["generators"])):
            fed = [column for _, place, column in self.counts if shoot.generator[shoot.places[place][1]] == generator]
            self.running.append(self.switch(fed))

    def limit_rcd(self, node, counts):
        """Standing leakage, and for each strike what leaks of heads that strike as much or more, and it."""
        standing = [(column, self.head(kind)["standing"]) for kind, _, column in counts]
        self.rows.append((standing, None, node["standing_limit"]))
        strike = {column: self.head(kind)["strike"] - self.head(kind)["standing"] for kind, _, column in counts}
        for extra in sorted(set(strike.values())):
            if extra <= node["hold"] - node["standing_limit"]:
                continue
            before = [(column, amount) for column, amount in standing if strike[column] >= extra]
            switch = self.switch([column for column, own in strike.items() if own == extra])
            self.rows.append((before + [(switch, extra)], None, node["hold"]))

    def levels(self):
        shoot = self.shoot
        dark = [(column, self.head(kind)["importance"]) for kind, column in enumerate(self.dark)]
        running = [(column, node["cost"]) for column, node in zip(self.running, shoot.data["generators"], strict=True)]
        now = [shoot.now[heads[0]] for heads in self.kinds]
        moves = [(column, 1) for kind, place, column in self.counts if now[kind] not in (None, place)]
        metres = [(column, shoot.metres(self.kinds[kind][0], place)) for kind, place, column in self.counts]
        self.fullest = self.column(1000)
        return [dark, running, moves, metres, [(self.fullest, 1)]]

    def balance(self):
        """Rows that make the last column as full as the fullest circuit; only the last level needs them."""
        return [([(column, 1000 * times) for column, times in terms] + [(self.fullest, -room)], None, 0) for terms, room in self.amps]

    def placing(self, values):
        """Places handed out to the heads."""
        placing = [None] * len(self.shoot.data["lamps"])
        waiting = [list(heads) for heads in self.kinds]
        for kind, place, column in self.counts:
            for _ in range(values[column]):
                placing[waiting[kind].pop()] = place
        return placing


def level_by_level(program, solve):
    """Values, levels proven and seconds; `solve(terms, rows, start, seconds)` gives values and whether proven."""
    begun = time.perf_counter()
    values, proven, rows = None, 0, list(program.rows)
    for level, terms in enumerate(program.costs):
        left = LIMIT - (time.perf_counter() - begun)
        if left <= 0.0:
            break
        if level == LEVELS:
            rows += program.balance()
            values[program.fullest] = program.shoot.judged(program.placing(values))[-1]
        cost = None if values is None else sum(values[column] * times for column, times in terms)
        if cost != 0:
            found, is_proven = solve(terms, rows, values, left)
            if found is None:
                break
            values = found
            cost = sum(values[column] * times for column, times in terms)
        else:
            is_proven = True
        rows.append((list(terms), None, cost))
        if not is_proven:
            break
        proven += 1
    return values, proven, time.perf_counter() - begun


def with_highs(program):
    def solve(terms, rows, start, seconds):
        solver = highspy.Highs()
        solver.silent()
        for option, value in {
            "threads": THREADS,
            "mip_rel_gap": 0.0,
            "mip_abs_gap": 0.99,
            "time_limit": seconds,
        }.items():
            solver.setOptionValue(option, value)
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(program.columns), len(rows)
        costs = numpy.zeros(len(program.columns))
        for column, times in terms:
            costs[column] = times
        model.col_cost_ = costs
        model.col_lower_ = numpy.zeros(len(program.columns))
        model.col_upper_ = numpy.array(program.columns, float)
        model.row_lower_ = numpy.array([-highspy.kHighsInf if least is None else least for _, least, _ in rows], float)
        model.row_upper_ = numpy.array([highspy.kHighsInf if most is None else most for _, _, most in rows], float)
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_ = numpy.cumsum([0] + [len(terms) for terms, _, _ in rows]).astype(numpy.int32)
        model.a_matrix_.index_ = numpy.array([column for terms, _, _ in rows for column, _ in terms], numpy.int32)
        model.a_matrix_.value_ = numpy.array([times for terms, _, _ in rows for _, times in terms], float)
        model.integrality_ = [highspy.HighsVarType.kInteger] * len(program.columns)
        solver.passModel(model)
        if start is not None:
            warm = highspy.HighsSolution()
            warm.col_value = [float(value) for value in start]
            solver.setSolution(warm)
        solver.run()
        if solver.getInfo().primal_solution_status != 2:
            return None, False
        values = [round(value) for value in solver.getSolution().col_value]
        return values, solver.getModelStatus() == highspy.HighsModelStatus.kOptimal

    return level_by_level(program, solve)


def with_cp_sat(program):
    def solve(terms, rows, start, seconds):
        model = cp_model.CpModel()
        columns = [model.new_int_var(0, most, "") for most in program.columns]
        for own, least, most in rows:
            sum_ = cp_model.LinearExpr.weighted_sum([columns[column] for column, _ in own], [times for _, times in own])
            if most is not None:
                model.add(sum_ <= most)
            if least is not None:
                model.add(sum_ >= least)
        model.minimize(cp_model.LinearExpr.weighted_sum([columns[column] for column, _ in terms], [times for _, times in terms]))
        for column, value in zip(columns, start or []):
            model.add_hint(column, value)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = THREADS
        solver.parameters.max_time_in_seconds = seconds
        status = solver.solve(model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None, False
        return [solver.value(column) for column in columns], status == cp_model.OPTIMAL

    return level_by_level(program, solve)


Row = collections.namedtuple("Row", "score proven seconds")


def by_a_peer(shoot, peer):
    program = Program(shoot)
    values, proven, seconds = peer(program)
    if values is None:
        return None
    return Row(shoot.judged(program.placing(values)), proven, seconds)


def by_us(shoot, tool, times):
    """One row a time; the program's own words are held against what its sockets come to."""
    words = [str(milliseconds) for milliseconds in times]
    said = subprocess.run([tool, *words, str(shoot.path)], capture_output=True, text=True, check=True).stdout
    rows = []
    for line in said.splitlines():
        _, _, took, *told, proven, _, places = line.split()
        placing = [None if place == "-" else int(place) for place in places.split(",")]
        score = shoot.judged(placing)
        assert score[:LEVELS] == tuple(map(int, told)), f"{shoot.name}: {told} said, {score} found"
        # The program counts odds as a level of its own; here there are none, and it is the third.
        ours = int(proven)
        rows.append(Row(score, min(ours if ours < 3 else ours - 1, LEVELS), int(took) / 1000))
    return rows


def told(row):
    if row is None:
        return "none"
    levels = "/".join(map(str, row.score[:LEVELS]))
    proven = f"{min(row.proven, LEVELS)}{'+' if row.proven > LEVELS else ''}"
    return f"{levels} p{proven} {row.score[-1]}‰ {row.seconds:.2f}s"


def versions():
    peers = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in ("highspy", "ortools"))
    load = ", ".join(f"{load:.2f}" for load in os.getloadavg())
    return f"Python {platform.python_version()}, {peers}; {platform.machine()}, {THREADS} cores, load before {load}"


def main():
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("tool", help="the example `placing`, built for release")
    asked.add_argument("--exact", help="the same with the exact prover, for instances of 40 heads")
    asked.add_argument("--instances", type=pathlib.Path, default=HERE)
    asked.add_argument("names", nargs="*", help="words of which a name must have one")
    given = asked.parse_intermixed_args()
    paths = sorted(given.instances.glob("*.json"), key=lambda path: ("SML".find(path.stem[0]), path.stem))
    paths = [path for path in paths if not given.names or any(name in path.stem for name in given.names)]
    print(versions())
    heads = [f"ours {milliseconds} ms" for milliseconds in TIMES] + [f"exact {EXACT} ms", "HiGHS", "CP-SAT"]
    print(" | ".join(["instance", *heads]))
    counted = collections.Counter()
    for path in paths:
        shoot = Shoot(path)
        ours = by_us(shoot, given.tool, TIMES)
        is_middle = shoot.name.startswith("M") and given.exact
        exact = by_us(shoot, given.exact, [EXACT])[0] if is_middle else None
        peers = [by_a_peer(shoot, peer) for peer in (with_highs, with_cp_sat)]
        cells = [*map(told, ours), told(exact) if exact else "", *map(told, peers)]
        print(" | ".join([shoot.name, *cells]), flush=True)
        count(counted, shoot.name[0], ours, exact, [row for row in peers if row])
    for words, number in counted.items():
        print(f"{words}: {number}")


def is_near(ours, best, share):
    """As good above metres; in metres within a share, where all above is equal."""
    upper, theirs = ours.score[: LEVELS - 1], best.score[: LEVELS - 1]
    return upper < theirs or upper == theirs and ours.score[LEVELS - 1] <= best.score[LEVELS - 1] * (1 + share)


def count(counted, size, ours, exact, peers):
    """What the table comes to, by size."""
    best = min(peers, key=lambda row: row.score[:LEVELS])
    every = [*ours, *peers, *([exact] if exact else [])]
    lowest = min(every, key=lambda row: row.score[:LEVELS])
    counted[f"{size} instances"] += 1
    for at, milliseconds in enumerate(TIMES):
        counted[f"{size} {milliseconds} ms: as the best of all above metres"] += ours[at].score[: LEVELS - 1] == lowest.score[: LEVELS - 1]
        counted[f"{size} {milliseconds} ms: and metres within 2 %"] += is_near(ours[at], lowest, 0.02)
        counted[f"{size} {milliseconds} ms: proven above metres"] += ours[at].proven >= LEVELS - 1
        counted[f"{size} {milliseconds} ms: proven on all four levels"] += ours[at].proven >= LEVELS
        counted[f"{size} {milliseconds} ms: no worse than the better peer above metres, metres within 2 %"] += is_near(ours[at], best, 0.02)
    if exact:
        counted[f"{size} exact {EXACT} ms: proven on all four levels"] += exact.proven >= LEVELS


if __name__ == "__main__":
    try:
        main()
    except AssertionError as wrong:
        sys.exit(f"wrong: {wrong}")
