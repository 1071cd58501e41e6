"""Works out every model of `reference_models` again with pyAgrum's exact inference and compares to 1e-9.

Outside reference: pyAgrum (PyPI `pyagrum`), lazy propagation, an exact method for discrete Bayesian networks.
Usage: reference_models | python check.py
A model too large to be followed in full says how far it can be off, and is held to that; of the random ones, 240 must be exact.
Prints the closing line "N passed, N failed" and exits with 1 on any difference.
"""

import itertools
import json
import math
import sys
import time

import pyagrum as gum

TOLERANCE = 1e-9
EXACT = 240


class Net:
    """A network of yes/no nodes, with small helpers for tables."""

    def __init__(self):
        self.bn = gum.BayesNet()
        self.count = 0
        self.zero = None

    def node(self, parents, chance, size=2):
        """A node whose chance of 1 (or list of chances) is a function of its parents' values."""
        name = f"n{self.count}"
        self.count += 1
        self.bn.add(gum.LabelizedVariable(name, name, size))
        for p in parents:
            self.bn.addArc(p, name)
        sizes = [self.bn.variable(p).domainSize() for p in parents]
        for values in itertools.product(*map(range, sizes)):
            p = chance(*values)
            row = list(p) if isinstance(p, (list, tuple)) else [1 - p, p]
            self.bn.cpt(name)[dict(zip(parents, values))] = row
        return name

    def false(self):
        if self.zero is None:
            self.zero = self.node([], lambda: 0.0)
        return self.zero

    def any(self, nodes):
        """Or of nodes, two at a time, so that no table grows."""
        if not nodes:
            return self.false()
        total = nodes[0]
        for n in nodes[1:]:
            total = self.node([total, n], lambda a, b: float(a or b))
        return total


def met(net, look, cause, habit, awake):
    """Whether a look finds a cause awake: of one that shows for moments, only where it meets one."""
    def chance(h):
        minutes = math.inf if look["minutes"] is None else look["minutes"]
        return 1.0 if "awake" in h else 1 - (1 - h["each_minute"]) ** minutes

    chances = [chance(h) for h in cause["habits"]]
    if all(c == 1.0 for c in chances):
        return awake
    if habit is None:
        return net.node([awake], lambda a, p=chances[0]: p if a else 0.0)
    return net.node([awake, habit], lambda a, i, p=chances: p[i] if a else 0.0)


def build(problem):
    net = Net()
    spells = problem["spells"]
    there, awake, ever, habit = [], [], [], []
    for c in problem["causes"]:
        # There from the first, brought by work in a later spell, or never.
        begins = [0] + [start for start, _ in c["arrivals"]]
        chances, absent = [c["prior"]], 1 - c["prior"]
        for _, chance in c["arrivals"]:
            chances.append(absent * chance)
            absent *= 1 - chance
        x = net.node([], lambda p=chances + [absent]: p, size=len(chances) + 1)
        habits = c["habits"]
        h = net.node([], lambda: [h["weight"] for h in habits], size=len(habits)) if len(habits) > 1 else None
        habit.append(h)
        failed = [(start, net.node([], lambda f=fails: f)) for start, fails in c["corrections"]]
        row_t, row_a = [], []
        for s in range(spells):
            before = [(start, f) for start, f in failed if start <= s]

            def is_there(i, *survived, s=s, starts=[start for start, _ in before], begins=begins):
                if i >= len(begins) or begins[i] > s:
                    return 0.0
                return float(all(v for start, v in zip(starts, survived) if i == 0 or start > begins[i]))

            t = net.node([x] + [f for _, f in before], is_there)
            # A fault that shows for moments is awake in every spell; whether a look meets a moment is a node of that look.
            chance = [h["awake"][s] if "awake" in h else 1.0 for h in habits]
            if h is None:
                a = net.node([t], lambda t, p=chance[0]: p if t else 0.0)
            else:
                a = net.node([t, h], lambda t, i, p=chance: p[i] if t else 0.0)
            row_t.append(t)
            row_a.append(a)
        ever.append(net.node([x], lambda i, n=len(chances): float(i < n)))
        there.append(row_t)
        awake.append(row_a)
    shows = {}
    evidence = {}
    for o in problem["observations"]:
        on = (there if o["present"] else awake)
        at = [row[o["spell"]] for row in on]
        if not o["present"]:
            at = [met(net, o, c, h, node) for c, h, node in zip(problem["causes"], habit, at)]

        def gate(f):
            if "any" in f:
                return net.any([at[c] for c in f["any"]])
            # A copy of each part, since two parts may be one and the same node.
            parts = [net.node([gate(p)], float) for p in f["of"]]
            return net.node(parts, lambda *v, k=f["count"]: float(sum(v) >= k))

        events = []
        for e, event in enumerate(o["events"]):
            terms = []
            for cause, chance in event["causes"]:
                key = (o["key"], e, cause)
                if key not in shows:
                    shows[key] = net.node([], lambda p=chance: p)
                terms.append(net.node([at[cause], shows[key]], lambda a, d: float(a and d)))
            for f, chance in event["gates"]:
                terms.append(net.node([gate(f)], lambda g, p=chance: p if g else 0.0))
            terms.append(net.node([], lambda p=event["leak"]: p))
            events.append(net.any(terms))
        size = len(events) + 1

        def first(*v, size=size):
            k = next((i for i, x in enumerate(v) if x), size - 1)
            return [float(i == k) for i in range(size)]

        evidence[net.node(events, first, size=size)] = o["weights"]
    return net.bn, evidence, there, awake, ever, habit


def habits_off(ie, present, habit, ours):
    """How far our probabilities of the habits of a present cause are off."""
    joint = ie.jointPosterior({present, habit})
    weights = [joint[{present: 1, habit: i}] for i in range(len(ours))]
    whole = sum(weights)
    return max(abs(w / whole - mine) for w, mine in zip(weights, ours)) if whole > 1e-6 else 0.0


def main():
    passed = failed = exact = 0
    worst = 0.0
    ratios = []
    for line in sys.stdin:
        model = json.loads(line)
        bn, evidence, there, awake, ever, habit = build(model["problem"])
        ie = gum.LazyPropagation(bn)
        ie.setEvidence(evidence)
        nodes = there[0][-1:] + [row[-1] for row in there] + [row[-1] for row in awake] + ever
        start = time.perf_counter()
        ie.makeInference()
        for node in nodes:
            ie.posterior(node)
        theirs = time.perf_counter() - start
        if len(there) > 100:
            ratios.append(theirs / model["seconds"])
            print(f"{model['name']}: {len(there)} causes, {theirs:.3f} s against {model['seconds']:.4f} s")
        off = 0.0
        for i, (present, awake_now, first) in enumerate(model["beliefs"]):
            for ours, node in ((present, there[i][-1]), (awake_now, awake[i][-1]), (first, ever[i])):
                off = max(off, abs(ours - ie.posterior(node)[1]))
            # On the shipped trees the joint tables do not fit into memory.
            if habit[i] is not None and len(there) <= 100:
                off = max(off, habits_off(ie, there[i][-1], habit[i], model["habits"][i]))
        off_evidence = abs(model["log_evidence"] - math.log(ie.evidenceProbability()))
        if model["left_out"] <= TOLERANCE:
            worst = max(worst, off, off_evidence)
            exact += model["name"].startswith("random")
        # What was left out is at most this share of the whole: no probability is further off, and the evidence by its log.
        share = model["left_out"]
        most = -math.log1p(-share) if share < 1 else math.inf
        if off <= share + TOLERANCE and off_evidence <= most + TOLERANCE:
            passed += 1
        else:
            failed += 1
            print(f"{model['name']}: off by {off:.3g}, its evidence by {off_evidence:.3g}")
    print(f"posteriors against pyAgrum {gum.__version__}: largest difference {worst:.2g}")
    if ratios:
        print(f"on the shipped trees ours takes 1/{min(ratios):.0f} to 1/{max(ratios):.0f} of its time, building its network left out")
    print(f"{exact} random models exact")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or exact < EXACT else 0


if __name__ == "__main__":
    sys.exit(main())
