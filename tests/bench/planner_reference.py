"""What the reference solver makes of the garages of planner.rs: lines of JSON in, lines of CSV out.

    cargo bench --bench ratios -- planner-garages | python3 tests/bench/planner_reference.py [--hint] [--interleave] [seconds] [name ...]

Needs ortools (Apache-2.0). One worker, fixed seed. It knows the model from the words at the head of server/trade/plan/mod.rs
and shares no code with the planner (with --hint it begins from the planner's quick plan, and says so): pieces are assigned to evenings, access is a flow from evening to evening, and an order
within an evening is asked for only where something must not be open.
"""

import json
import sys
import time

import ortools
from ortools.sat.python import cp_model


def prefix(x, piece, evening):
    return sum(var for at, var in x[piece].items() if at <= evening)


def solve(garage, seconds, hinted, interleaved):
    model = cp_model.CpModel()
    evenings, doors = garage["evenings"], garage["access"]
    count = len(evenings)
    conflicts = garage["conflicts"]

    # Pieces: (job, minutes), with what each needs and must avoid.
    pieces, first, last = [], [], []
    for number, job in enumerate(garage["jobs"]):
        first.append(len(pieces))
        pieces += [(number, minutes) for minutes in job["pieces"]]
        last.append(len(pieces) - 1)
    needs = [set(garage["jobs"][job]["needs"]) for job, _ in pieces]
    avoids = []
    for number, (job, _) in enumerate(pieces):
        avoid = set(garage["jobs"][job]["blocked_by"])
        for one, other in conflicts:
            avoid |= {other} if one in needs[number] else set()
            avoid |= {one} if other in needs[number] else set()
        avoids.append(avoid)

    x = []
    for number, (job, _) in enumerate(pieces):
        known = garage["jobs"][job]
        allowed = [e for e, (day, _, helper) in enumerate(evenings) if day >= known["from"] and (helper or not known["helper"])]
        x.append({e: model.new_bool_var(f"x{number},{e}") for e in allowed})
        model.add_exactly_one(x[-1].values())

    worked = [model.new_bool_var(f"worked{e}") for e in range(count)]
    carry = [[model.new_bool_var(f"carry{a},{e}") for e in range(count + 1)] for a in range(len(doors))]
    costs, load = [], [[] for _ in evenings]
    for piece, (_, minutes) in enumerate(pieces):
        for e, var in x[piece].items():
            model.add_implication(var, worked[e])
            load[e].append(minutes * var)
    for a, (to_open, to_close, to_keep) in enumerate(doors):
        model.add(carry[a][0] == 0)
        model.add(carry[a][count] == 0)
        users = [piece for piece in range(len(pieces)) if a in needs[piece]]
        for e in range(count):
            into, out = carry[a][e], carry[a][e + 1]
            present, opened, closed, kept = (model.new_bool_var(f"{kind}{a},{e}") for kind in "pock")
            here = [x[piece][e] for piece in users if e in x[piece]]
            for var in here:
                model.add_implication(var, present)
            model.add_implication(present, worked[e])
            model.add_bool_or(present, ~into, ~worked[e])
            model.add_bool_or(present, ~out, ~worked[e])
            model.add(into == out).only_enforce_if(~worked[e])
            model.add_bool_or(opened, into, ~present)
            model.add_bool_or(closed, out, ~present)
            model.add_bool_or(kept, ~into, ~worked[e])
            # Nothing is opened ahead of its evening.
            model.add_bool_or(*here, into, ~present)
            if to_keep is None:
                model.add(out == 0)
            cost = to_open * opened + to_close * closed + (to_keep or 0) * kept
            load[e].append(cost)
            costs.append(cost)
    for e, (_, minutes, _) in enumerate(evenings):
        model.add(sum(load[e]) <= minutes)

    before = [(piece - 1, piece) for piece in range(1, len(pieces)) if pieces[piece - 1][0] == pieces[piece][0]]
    goes_on = list(before)
    before += [(last[b], first[j]) for j, job in enumerate(garage["jobs"]) for b in job["after"]]
    for one, other in before:
        for e in range(count):
            model.add(prefix(x, other, e) <= prefix(x, one, e))

    contended = set().union(*avoids)
    if contended:
        place = [model.new_int_var(0, len(pieces), f"place{piece}") for piece in range(len(pieces))]
        for one, other in before:
            model.add(place[one] < place[other])
        for piece, avoid in enumerate(avoids):
            for a in avoid:
                comes_first = model.new_bool_var(f"first{piece},{a}")
                for e, var in x[piece].items():
                    model.add_bool_or(~var, ~comes_first, ~carry[a][e])
                    model.add_bool_or(~var, comes_first, ~carry[a][e + 1])
                    for user in range(len(pieces)):
                        if a in needs[user] and e in x[user]:
                            both = [var, x[user][e]]
                            model.add(place[piece] < place[user]).only_enforce_if(*both, comes_first)
                            model.add(place[user] < place[piece]).only_enforce_if(*both, ~comes_first)

    horizon = evenings[-1][0]
    finish = model.new_int_var(0, horizon, "finish")
    for e, (day, _, _) in enumerate(evenings):
        model.add(finish >= day).only_enforce_if(worked[e])
    nights = []
    for e in range(1, count):
        apart = model.new_bool_var(f"apart{e}")
        for a in range(len(doors)):
            model.add_implication(carry[a][e], apart)
        for one, other in goes_on:
            model.add(prefix(x, one, e - 1) - prefix(x, other, e - 1) <= apart)
        nights.append((evenings[e][0] - evenings[e - 1][0]) * apart)
    work = sum(minutes for _, minutes in pieces)
    scale = horizon + 1
    model.minimize((work + sum(costs)) * scale * scale + finish * scale + sum(nights))

    if hinted:
        for piece, slot in enumerate(garage["hint"]):
            for e, var in x[piece].items():
                model.add_hint(var, e == slot)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    # One worker that takes turns at several ways to search, local ones among them: better on the larger garages.
    solver.parameters.interleave_search = interleaved
    solver.parameters.max_time_in_seconds = seconds
    began = time.monotonic()
    status = solver.solve(model)
    took = time.monotonic() - began
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return f"none,none,none,{solver.status_name(status)},none,{took:.1f}"
    value = round(solver.objective_value)
    bound = int(solver.best_objective_bound) // (scale * scale)
    minutes, rest = divmod(value, scale * scale)
    return f"{minutes},{rest // scale},{rest % scale},{solver.status_name(status)},{bound},{took:.1f}"


def main():
    hinted = "--hint" in sys.argv
    interleaved = "--interleave" in sys.argv
    given = [word for word in sys.argv[1:] if not word.startswith("--")]
    seconds = float(given[0]) if given else 60.0
    names = set(given[1:])
    solver = f"ortools {ortools.__version__}" + (" hinted" if hinted else "") + (" interleaved" if interleaved else "")
    print("name,time,finish,nights,status,least_time,seconds,solver")
    for line in sys.stdin:
        garage = json.loads(line)
        if not names or garage["name"] in names:
            print(f"{garage['name']},{solve(garage, seconds, hinted, interleaved)},{solver}", flush=True)


main()
