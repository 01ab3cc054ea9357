"""The history again, slow and plain: every explanation is tried. Written from the description of the open folder alone.

Nothing of the package but its nouns is used, and none of its shortcuts: relations by trying all chains of coats, states
by their sentence, explanations by going through all states of all parts and all tapings at all coats.
"""

from __future__ import annotations

from itertools import combinations, pairwise, product

FITTED, OFF, AWAY = "fitted", "off", "away"
STATES = (FITTED, OFF, AWAY)


def twin(record):
    """All that the description settles of `bodymap history`, as the JSON has it, lists that have no order as sets."""
    pairs = relations(record)
    seen = [coat.coat_id for coat in record.coats if any(coat.coat_id in _there(record, s.stack_id) for s in record.stacks)]
    over = {(a, b): _reaches(pairs, a, b) for a in seen for b in seen}
    circle = {coat for coat in seen if over[coat, coat]}
    found = {
        "unseen_coats": [coat.coat_id for coat in record.coats if coat.coat_id not in seen],
        "unordered": {frozenset((a, b)) for a in seen for b in seen if a != b and not over[a, b] and not over[b, a]},
        "relations": {(a, b) for a, b in pairs if _same(over, a, b) or not _follows(over, seen, a, b)},
        "circles": {frozenset(b for b in seen if b == a or _same(over, a, b)) for a in circle},
    }
    order = None if circle else _order(seen, pairs)
    if order is not None:
        found["order"] = order
    found["states"], found["zone_contradictions"] = states(record, seen if order is None else order, order)
    if order is None:
        found["circle_removals"] = removals(record)
    else:
        found |= explanation(record, order, found["states"])
    return found


# --- order -------------------------------------------------------------------------------------------------------------


def _there(record, stack_id):
    layers = sorted((layer for layer in record.layers if layer.stack_id == stack_id), key=lambda layer: layer.position)
    return [layer.coat_id for layer in layers if layer.extent != "none"]


def relations(record, without=()):
    """{(below, above): stacks}."""
    found = {}
    for stack in record.stacks:
        if stack.stack_id not in without:
            for pair in pairwise(_there(record, stack.stack_id)):
                found.setdefault(pair, set()).add(stack.stack_id)
    return found


def _reaches(pairs, start, end):
    """Whether a chain of one relation or more leads up from one coat to another."""
    reached, todo = set(), [start]
    while todo:
        coat = todo.pop()
        for below, above in pairs:
            if below == coat and above not in reached:
                reached.add(above)
                todo.append(above)
    return end in reached


def _same(over, a, b):
    return over[a, b] and over[b, a]


def _follows(over, seen, a, b):
    """Whether the relation follows from a chain through a third coat, outside the circles of the two."""
    others = [c for c in seen if c not in (a, b) and not _same(over, a, c) and not _same(over, b, c)]
    return any(over[a, c] and over[c, b] for c in others)


def _order(seen, pairs):
    waiting, order = list(seen), []
    while waiting:
        coat = next(coat for coat in waiting if not any(below in waiting for below, above in pairs if above == coat))
        waiting.remove(coat)
        order.append(coat)
    return order


def removals(record):
    """All smallest sets of stacks without which nothing runs in a circle."""
    stacks = [stack.stack_id for stack in record.stacks]
    for size in range(1, len(stacks) + 1):
        found = {frozenset(gone) for gone in combinations(stacks, size) if _clear(relations(record, gone))}
        if found:
            return found
    return set()


def _clear(pairs):
    return not any(_reaches(pairs, below, below) for below, _ in pairs)


# --- states ------------------------------------------------------------------------------------------------------------


def states(record, coats, order):
    """{coat: {zone: state}}, and {(zone, coat): stacks that contradict each other}; without an order all are tried."""
    if order is not None:
        return _states(record, order, coats)
    # What does not need the order is what comes out the same whichever coat is later. That a coat was seen never needs it.
    answers = [_states(record, list(perm), coats) for perm in _orders(coats)]
    common, contradictions = answers[0]
    for coat in coats:
        for zone in record.zones:
            kinds = {found[coat][zone.zone_id] for found, _ in answers}
            if len(kinds) > 1:
                seen = kinds & {"full", "mist"}
                common[coat][zone.zone_id] = seen.pop() if seen else "unknown"
    for _, more in answers[1:]:
        contradictions = {key: contradictions[key] & stacks for key, stacks in more.items() if key in contradictions}
    return common, contradictions


def _orders(coats):
    return [perm for perm in product(coats, repeat=len(coats)) if len(set(perm)) == len(coats)]


def _states(record, order, coats):
    found, contradictions = {}, {}
    for coat in coats:
        found[coat] = {}
        for zone in record.zones:
            said = {}
            for stack in record.stacks:
                if stack.zone_id == zone.zone_id:
                    state = _state(record, zone, stack, coat, order)
                    if state in ("full", "mist", "shielded"):
                        said[stack.stack_id] = state
            kinds = set(said.values())
            if len(kinds) > 1:
                contradictions[zone.zone_id, coat] = frozenset(said)
                found[coat][zone.zone_id] = "unknown"
            elif kinds:
                found[coat][zone.zone_id] = kinds.pop()
            else:
                found[coat][zone.zone_id] = _unsaid(record, zone, coat, order) or "unknown"
    return found, contradictions


def _unsaid(record, zone, coat, order):
    first = next(part.first_coat for part in record.parts if part.part_id == zone.part_id)
    if first in order and order.index(first) > order.index(coat):
        return "not made"
    stacks = {stack.stack_id for stack in record.stacks if stack.zone_id == zone.zone_id}
    for layer in record.layers:
        flagged = layer.stack_id in stacks and layer.cut_back and layer.extent != "none"
        if flagged and order.index(layer.coat_id) > order.index(coat):
            return "cut back"
    return None


def _state(record, zone, stack, coat, order):
    layers = [layer for layer in record.layers if layer.stack_id == stack.stack_id]
    extents = {layer.extent for layer in layers if layer.coat_id == coat}
    for extent in ("full", "mist"):
        if extent in extents:
            return extent
    if _unsaid(record, zone, coat, order):
        return _unsaid(record, zone, coat, order)
    there = _there(record, stack.stack_id)
    lowest_earlier = bool(there) and order.index(there[0]) < order.index(coat)
    return "shielded" if stack.reaches_substrate or "none" in extents or lowest_earlier else "unknown"


# --- explanation -------------------------------------------------------------------------------------------------------


def gets(record, zone, fitting, taped):
    """What a zone gets. `fitting`: state of every part that is there."""
    if fitting[zone.part_id] == AWAY or taped:
        return "nothing"
    covering = [cover for cover in record.covers if cover.zone_id == zone.zone_id and fitting.get(cover.part_id) == FITTED]
    if fitting[zone.part_id] == FITTED and covering:
        return "mist" if all(cover.gap for cover in covering) else "nothing"
    return "full"


def meets(state, got, taped):
    """Whether an observation is met."""
    if state == "full":
        return got == "full"
    if state == "mist":
        return got == "mist" or taped
    if state == "shielded":
        return got in ("nothing", "mist")
    return True


class _Coat:
    """One coat: the parts and zones that were there, what was seen, and every allowed (states, tapings)."""

    def __init__(self, record, coat, order, seen):
        def made(part):
            return part.first_coat not in order or order.index(part.first_coat) <= order.index(coat)

        self.record = record
        self.fixed = {part.part_id: FITTED for part in record.parts if made(part) and not part.removable}
        self.parts = [part.part_id for part in record.parts if made(part) and part.removable]
        self.seen = dict(seen)
        there = set(self.fixed) | set(self.parts)
        self.zones = [zone for zone in record.zones if zone.part_id in there]
        gone = [zone.zone_id for zone in record.zones if zone.part_id not in there]
        self.unexplained = [zone for zone in gone if seen[zone] in ("full", "mist")]
        self.unexplained += [zone.zone_id for zone in self.zones if not self._possible(zone)]
        for zone in self.unexplained:
            self.seen[zone] = "unknown"
        self.allowed = {states: list(self._tapings(states)) for states in product(STATES, repeat=len(self.parts))}

    def fitting(self, states):
        return self.fixed | dict(zip(self.parts, states, strict=True))

    def _possible(self, zone):
        return any(
            meets(self.seen[zone.zone_id], gets(self.record, zone, self.fitting(states), taped), taped)
            for states in product(STATES, repeat=len(self.parts))
            for taped in (False, True)
        )

    def _tapings(self, states):
        fitting = self.fitting(states)
        for tapes in product((False, True), repeat=len(self.zones)):
            if all(
                meets(self.seen[zone.zone_id], gets(self.record, zone, fitting, taped), taped)
                for zone, taped in zip(self.zones, tapes, strict=True)
            ):
                yield frozenset(zone.zone_id for zone, taped in zip(self.zones, tapes, strict=True) if taped)


def explanation(record, order, seen):
    """Cost, parts, taped zones and unexplained observations, by trying everything."""
    coats = [_Coat(record, coat, order, seen[coat]) for coat in order]
    best, cheapest = None, []
    for story in product(*[[states for states, tapings in coat.allowed.items() if tapings] for coat in coats]):
        cost = sum(4 * min(map(len, coat.allowed[states])) for coat, states in zip(coats, story, strict=True))
        cost += sum(3 * states.count(AWAY) for states in story)
        for (before, b), (after, a) in pairwise(zip(coats, story, strict=True)):
            was = dict(zip(before.parts, b, strict=True))
            cost += sum(1 for part, state in zip(after.parts, a, strict=True) if was.get(part, state) != state)
        if best is None or cost < best:
            best, cheapest = cost, []
        if cost == best:
            cheapest.append(story)
    found = {"cost": best, "parts": {}, "taped": {}, "unexplained": set(), "look_next": {}}
    for number, (name, coat) in enumerate(zip(order, coats, strict=True)):
        found["unexplained"] |= {(name, zone) for zone in coat.unexplained}
        found["parts"][name] = _parts(coat, {story[number] for story in cheapest})
        found["taped"][name] = _taped(coat, {story[number] for story in cheapest})
    return found


def _parts(coat, cheapest):
    found = {}
    allowed = [states for states, tapings in coat.allowed.items() if tapings]
    for number, part in enumerate(coat.parts):
        values = {states[number] for states in cheapest}
        every = {states[number] for states in allowed}
        on = {value == FITTED for value in values}
        found[part] = {
            "values": values,
            "grade": grade(values, every),
            "on_vehicle": "open" if len(on) > 1 else "yes" if on == {True} else "no",
            "on_vehicle_grade": grade(on, {value == FITTED for value in every}),
            "allowed": every,
        }
    return found


def _taped(coat, cheapest):
    fewest = [
        taped for states in cheapest for taped in coat.allowed[states] if len(taped) == min(map(len, coat.allowed[states]))
    ]
    every = [taped for tapings in coat.allowed.values() for taped in tapings]
    return {
        zone.zone_id: grade({zone.zone_id in taped for taped in fewest}, {zone.zone_id in taped for taped in every})
        for zone in coat.zones
        if any(zone.zone_id in taped for taped in fewest)
    }


def grade(cheapest, allowed):
    return "proven" if len(allowed) == 1 else "likely" if len(cheapest) == 1 else "open"


def told_apart(record, order, found, zone, coat):
    """Facts about parts that a look at a zone would settle: {(part, what)}, what being `state` or `on vehicle`."""
    scene = _Coat(record, coat, order, dict.fromkeys((zone.zone_id for zone in record.zones), "unknown"))
    facts = found["parts"][coat]

    def outcomes(part, state):
        choices = [[state] if other == part else sorted(facts[other]["values"]) for other in scene.parts]
        return {gets(record, zone, scene.fitting(states), taped=False) for states in product(*choices)}

    settled = set()
    for part, fact in facts.items():
        for what, how, kind in (("state", fact["grade"], str), ("on vehicle", fact["on_vehicle_grade"], FITTED.__eq__)):
            values = fact["values"] if how == "open" else fact["allowed"]
            pairs = [(a, b) for a, b in combinations(sorted(values), 2) if kind(a) != kind(b)]
            if how != "proven" and pairs and all(not outcomes(part, a) & outcomes(part, b) for a, b in pairs):
                settled.add((part, what))
    return settled
