"""The critical path against published networks, and random ones against networkx."""

from __future__ import annotations

from random import Random

import networkx as nx
import pytest
from tests.readiness.psplib_j30 import INSTANCES, Instance

from fitup.model.refusal import Refused
from fitup.readiness import cpm

# C. Hendrickson, "Project Management for Construction", table 10-1
HENDRICKSON_DURATIONS = {"A": 4.0, "B": 3, "C": 8, "D": 7, "E": 9, "F": 12, "G": 2, "H": 5, "I": 6}
HENDRICKSON_BEFORE = {"C": "A", "D": "A", "E": "BC", "F": "BC", "G": "DE", "H": "DE", "I": "FG"}
# ES, EF, LS, LF, total float
HENDRICKSON_TABLE = {
    "A": (0, 4, 0, 4, 0),
    "B": (0, 3, 9, 12, 9),
    "C": (4, 12, 4, 12, 0),
    "D": (4, 11, 15, 22, 11),
    "E": (12, 21, 13, 22, 1),
    "F": (12, 24, 12, 24, 0),
    "G": (21, 23, 22, 24, 1),
    "H": (21, 26, 25, 30, 4),
    "I": (24, 30, 24, 30, 0),
}

# University of North Carolina at Greensboro, SCM 304, unit 6.3.1: low, likely, high weeks
UNCG = {
    "A": (6, 7, 14),
    "B": (8, 10, 12),
    "C": (2, 3, 4),
    "D": (6, 7, 8),
    "E": (5, 5.5, 9),
    "F": (5, 7, 9),
    "G": (4, 6, 8),
    "H": (2.5, 3, 3.5),
}
UNCG_BEFORE = {"C": "A", "D": "A", "E": "BC", "F": "BC", "G": "DE", "H": "F"}


def test_nine_activity_network_of_hendrickson_has_the_published_times() -> None:
    network = cpm(HENDRICKSON_DURATIONS, HENDRICKSON_BEFORE)
    times = {
        name: (
            network.earliest_start[name],
            network.earliest_finish[name],
            network.latest_start[name],
            network.latest_finish[name],
            network.total_float(name),
        )
        for name in HENDRICKSON_DURATIONS
    }
    assert times == HENDRICKSON_TABLE
    assert network.length == 30
    assert [name for name in times if network.total_float(name) == 0] == ["A", "C", "F", "I"]


def test_pert_example_of_uncg_takes_23_weeks_along_its_published_path() -> None:
    # mean (a + 4m + b) / 6, as the same page gives it
    means = {name: (low + 4 * likely + high) / 6 for name, (low, likely, high) in UNCG.items()}
    assert means == {"A": 8, "B": 10, "C": 3, "D": 7, "E": 6, "F": 7, "G": 6, "H": 3}
    network = cpm(means, UNCG_BEFORE)
    assert network.length == 23
    assert [name for name in means if network.total_float(name) == 0] == ["A", "C", "E", "G"]


@pytest.mark.parametrize("instance", INSTANCES, ids=lambda instance: instance.name)
def test_longest_path_of_psplib_networks_is_their_mpm_time(instance: Instance) -> None:
    assert cpm(instance.minutes(), instance.before()).length == instance.mpm_time


@pytest.mark.parametrize("seed", range(60))
def test_longest_path_with_lags_is_that_of_networkx(seed: int) -> None:
    random = Random(seed)
    size = random.randint(1, 40)
    names = [f"a{number}" for number in range(size)]
    durations = {name: float(random.randint(0, 50)) for name in names}
    before: dict[str, list[str]] = {}
    lags: dict[tuple[str, str], float] = {}
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(["begin", *names])
    for place, name in enumerate(names):
        before[name] = random.sample(names[:place], min(place, random.randint(0, 3)))
        graph.add_edge("begin", name, weight=0)
        for predecessor in before[name]:
            if random.random() < 0.4:
                lags[predecessor, name] = float(random.randint(1, 30))
            graph.add_edge(predecessor, name, weight=durations[predecessor] + lags.get((predecessor, name), 0))
    for name in names:
        graph.add_edge(name, "end", weight=durations[name])
    random.shuffle(names)
    network = cpm({name: durations[name] for name in names}, before, lags)
    assert network.length == nx.dag_longest_path_length(graph)
    for name in names:
        reached = nx.dag_longest_path_length(graph.subgraph({name} | nx.ancestors(graph, name)))
        assert network.earliest_start[name] == reached
        behind = nx.dag_longest_path_length(graph.subgraph({name} | nx.descendants(graph, name)))
        assert network.tail[name] == behind - durations[name]
        assert network.latest_finish[name] == network.length - network.tail[name]


def test_activity_starts_no_earlier_than_outside_allows() -> None:
    network = cpm({"a": 2, "b": 3}, {"b": ["a"]}, not_before={"b": 10})
    assert (network.earliest_start["b"], network.length) == (10, 13)
    assert network.total_float("a") == 8


def test_network_without_activities_has_no_length() -> None:
    assert cpm({}, {}).length == 0


def test_circle_is_refused_by_name() -> None:
    with pytest.raises(Refused, match="a waits for itself in a circle"):
        cpm({"a": 1, "b": 1}, {"a": ["b"], "b": ["a"]})
