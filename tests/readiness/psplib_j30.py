"""Ten networks of the PSPLIB set j30 as figures, with the MPM-Time (length of the longest path) of their headers.

Source: R. Kolisch, A. Sprecher, "PSPLIB - a project scheduling problem library", European Journal
of Operational Research 96 (1997) 205-216. Resources are left out: the longest path needs none.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Instance:
    """One network: durations of activities 1 to 32 (1 and 32 are the begin and the end), and who follows each."""

    name: str
    mpm_time: int
    durations: str
    successors: str

    def minutes(self) -> dict[str, float]:
        """Return the duration of each activity by its number."""
        return {str(number): float(text) for number, text in enumerate(self.durations.split(), 1)}

    def before(self) -> dict[str, list[str]]:
        """Return the predecessors of each activity."""
        found: dict[str, list[str]] = {number: [] for number in self.minutes()}
        for number, followers in enumerate(self.successors.split(), 1):
            for follower in followers.split(",") if followers != "-" else ():
                found[follower].append(str(number))
        return found


INSTANCES = (
    Instance(
        "j301_1",
        38,
        "0 8 4 6 3 8 5 9 2 7 9 2 6 3 9 10 6 5 3 7 2 7 2 3 3 7 8 3 7 2 2 0",
        "2,3,4 6,11,15 7,8,13 5,9,10 20 30 27 12,19,27 14 16,25 20,26 14 17,18 17 25 21,22 22 20,22 "
        "24,29 23,25 28 23 24 30 30 31 28 31 32 32 32 -",
    ),
    Instance(
        "j305_7",
        43,
        "0 9 6 10 5 6 8 3 8 7 2 4 7 10 8 6 3 7 5 10 8 1 5 2 1 7 4 8 4 5 10 0",
        "2,3,4 5,7,17 8,15,22 6,12,26 9,11 19,23 10,27 31 13,26,30 14,21 26 16,22 21 29 24 18,20,25 27 "
        "28 29 28 29 23 31 28 27 31 30 30 32 32 32 -",
    ),
    Instance(
        "j309_3",
        48,
        "0 10 8 8 4 3 3 2 2 4 10 9 10 9 10 5 2 2 3 3 5 2 7 7 4 7 6 5 3 8 5 0",
        "2,3,4 5,17,25 6,9,10 17 7,29 8,11,15 13 27 18,21,30 12,14,19 22 16,22 24,31 25,27 19 20 18 31 "
        "22 23 26 28 26 27 26,29 31 30 30 32 32 32 -",
    ),
    Instance(
        "j3013_1",
        34,
        "0 3 2 1 7 2 1 9 8 8 8 4 10 4 10 7 1 4 9 1 4 3 5 4 3 1 7 6 9 7 3 0",
        "2,3,4 8,14,15 6,7,16 5,10,11 9,19,21 12 13 20 29 25 18 24,29 20 23,24 17,31 22 23 19,27 20 22 "
        "23,27 26 25,28 27 26,29 30 28 30 32 32 32 -",
    ),
    Instance(
        "j3017_4",
        42,
        "0 8 2 1 8 10 5 4 4 5 1 9 10 4 3 1 2 10 3 8 1 3 5 7 1 6 8 8 2 2 2 0",
        "2,3,4 5,6,15 7,20,23 8,13 9,10,14 30,31 8,13 10,11,16 16,17,22 19,26,27 12,21 14,22,29 30 26 "
        "20,23,26 18 21 25,28 24,25 27,29 24,31 27 24,25 30 29 28 28 31 32 32 32 -",
    ),
    Instance(
        "j3021_9",
        43,
        "0 10 8 6 6 3 8 1 6 2 8 2 10 3 2 7 3 6 3 1 1 3 2 2 10 8 7 1 6 10 4 0",
        "2,3,4 5,9 7,8,16 27,31 6,10,11 26,28 27 15 12,14,19 13,18,22 17,28 13,25 16,26 17,20,25 17,20 "
        "24 30 23,25,26 22,23,24 21,24,29 22,23 28 27,31 31 29 29 30 30 32 32 32 -",
    ),
    Instance(
        "j3029_2",
        55,
        "0 6 7 6 4 7 6 7 8 7 9 5 9 7 1 10 2 6 10 10 3 5 1 3 9 2 8 6 3 5 8 0",
        "2,3,4 5,8,10 17,29 6,7,17 7,18,22 11,12,13 9 14,25,29 11,19 16,20,26 20 21,23,27 14,15,24 20,31 "
        "25,30 23,27 21 19 24 23 22,24,25 28 28 28 31 27,29 30,31 30 32 32 32 -",
    ),
    Instance(
        "j3033_5",
        43,
        "0 4 7 8 5 7 5 1 1 4 10 2 8 7 1 5 2 3 1 1 7 4 7 8 7 4 7 4 5 7 7 0",
        "2,3,4 6,11,13 5,7,16 5,9,13 12,14,21 10,17,26 8,13,23 12,15,30 14,16,19 14,16,24 12,26,27 17,20 "
        "15,17,24 15,18,25 22,29 23,25,29 22 20 21,25,26 29 22,23,24 31 28,31 27,28 27,30 28 31 30 32 32 "
        "32 -",
    ),
    Instance(
        "j3041_6",
        65,
        "0 9 1 3 7 4 9 3 6 1 4 6 5 7 4 1 9 7 4 1 10 8 7 2 5 4 8 8 5 1 6 0",
        "2,3,4 5,9,11 8,15,22 13,17,22 6,10,19 7,13,18 12,14,25 10,18,19 13,15,26 21,23,24 20,24,25 "
        "16,23,27 16,30,31 16,17,22 17,19 20 20,28 25,27 21,27 21 29 23,24 26,28 30 26 29,31 28,29,30 31 "
        "32 32 32 -",
    ),
    Instance(
        "j3048_10",
        54,
        "0 7 10 2 6 8 1 8 1 7 4 6 4 9 10 1 7 8 6 2 5 6 2 2 6 9 4 10 3 5 8 0",
        "2,3,4 5,15,21 7,8,14 11,14,24 6,9,10 8,13,30 13,15,21 16,18 11,16,20 12,18,19 17,23,26 13,14,22 "
        "16,31 23,27,29 18,19,20 17 29 24,25,26 22,27,28 25,28 22,23,27 24,25,26 28 29 31 31 30 30 32 32 "
        "32 -",
    ),
)
