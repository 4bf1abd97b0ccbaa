#!/usr/bin/python3
"""Tables of scripts/bench.

  bench_table.py times RAW.tsv [--other NAME] [--kept PAGE.md]
                                                medians, ratios pair by pair, scaling; beside those of the table on PAGE
  bench_table.py rows OUT.gpkg PEER.csv         in how many rows the program and bench_peer.py differ

RAW.tsv has a line a run: roofs, threads, storage curve, round, program or yardstick, wall s, CPU s, peak MiB. Round 0
only warmed up.
"""
import argparse
import csv
import sqlite3
import sys
from collections import defaultdict
from statistics import median

TOLERANCE = 1e-6  # of the value, and of 1 for small ones


def read_runs(path):
    """(roofs, threads, curve) -> who -> round -> (wall, cpu, MiB)."""
    runs = defaultdict(lambda: defaultdict(dict))
    with open(path) as lines:
        for line in lines:
            roofs, threads, curve, number, who, *figures = line.split()
            if int(number) > 0:
                runs[int(roofs), int(threads), curve][who][int(number)] = tuple(map(float, figures))
    return runs


def in_order(runs):
    """By size, with the curve first, by threads."""
    return sorted(runs.items(), key=lambda run: (run[0][0], run[0][2] != "true", run[0][1]))


def ratios(a, b, what):
    """Median, least and most of a / b over the rounds that both have; a dash where b is too quick to be timed."""
    pairs = [a[number][what] / b[number][what] for number in sorted(a) if number in b and b[number][what] > 0]
    return f"{median(pairs):.2f} ({min(pairs):.2f} to {max(pairs):.2f})" if pairs else "-"


def of_runs(runs, what, form):
    return format(median(run[what] for run in runs.values()), form) if runs else "-"


def print_table(head, rows):
    print("\n| " + " | ".join(head) + " |\n|" + " ---: |" * len(head))
    for row in rows:
        print("| " + " | ".join(map(str, row)) + " |")


def times(words):
    runs = read_runs(words.raw)
    if not runs:
        sys.exit(f"bench_table.py: {words.raw} holds no counted run; run scripts/bench with --pairs 1 or more")
    rows = []
    for (roofs, threads, curve), who in in_order(runs):
        own, other = who["program"], who["yardstick"]
        rows.append([roofs, threads, curve, of_runs(own, 1, ".2f"), of_runs(other, 1, ".2f"), ratios(own, other, 1),
                     of_runs(own, 0, ".2f"), of_runs(other, 0, ".2f"), ratios(own, other, 0),
                     f"{roofs / median(run[0] for run in own.values()):.0f}", of_runs(own, 2, ".0f"),
                     of_runs(other, 2, ".0f")])
    name = words.other
    print(f"Medians of {len(own)} pairs; ratio: program over {name}, pair by pair, median (least to most).")
    print_table(["roofs", "threads", "curve", "CPU s", f"{name} CPU s", "CPU ratio", "wall s", f"{name} wall s",
                 "wall ratio", "roofs/s", "peak MiB", f"{name} MiB"], rows)
    if words.kept:
        compare_with_kept(runs, words.kept)
    compare(runs, "1 over 2 threads", lambda key: (key[0], 2, key[2]) if key[1] == 1 else None)
    compare(runs, "with over without curve", lambda key: (*key[:2], "false") if key[2] == "true" else None)


def compare(runs, title, partner):
    """The program against itself, round by round."""
    rows = [[*key, ratios(who["program"], runs[partner(key)]["program"], 0),
             ratios(who["program"], runs[partner(key)]["program"], 1)]
            for key, who in in_order(runs) if partner(key) in runs]
    if rows:
        print_table(["roofs", "threads", "curve", f"{title}: wall", "CPU"], rows)


def kept_figures(page):
    """(roofs, threads, curve) -> column -> first number of the cell, of the first table with a column of CPU ratios."""
    head, kept = None, {}
    with open(page) as lines:
        for line in lines:
            cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
            if head is None and "CPU ratio" in cells and "roofs" in cells:
                head = cells
            elif head and line.startswith("|") and cells[0].isdigit():
                row = dict(zip(head, cells))
                curve = {"with": "true", "without": "false"}[row["curve"]]
                kept[int(row["roofs"]), int(row["threads"]), curve] = {
                    name: float(cell.split()[0]) for name, cell in row.items() if cell[:1].isdigit()}
            elif head and not line.startswith("|"):
                break
    return kept


def compare_with_kept(runs, page):
    """Ratios to the yardstick against those that the page keeps: seconds of another day or machine do not compare."""
    kept, rows = kept_figures(page), []
    for key, who in in_order(runs):
        if key not in kept or not who["yardstick"]:
            continue
        own, other, then = who["program"], who["yardstick"], kept[key]
        now = [median(own[n][what] / other[n][what] for n in own if n in other and other[n][what] > 0) for what in (1, 0)]
        peak = median(run[2] for run in own.values())
        rows.append([*key, f"{now[0]:.2f} / {then['CPU ratio']:.2f} = {now[0] / then['CPU ratio']:.2f}",
                     f"{now[1]:.2f} / {then['wall ratio']:.2f} = {now[1] / then['wall ratio']:.2f}",
                     f"{peak:.0f} / {then['peak MiB']:.0f} = {peak / then['peak MiB']:.2f}"])
    if rows:
        print_table(["roofs", "threads", "curve", "CPU ratio: now / kept", "wall ratio", "peak MiB"], rows)


def differs(a, b):
    """Numbers by the tolerance, all else as text; an empty text is null."""
    if a is None or b == "":
        return (a is None) != (b == "")
    try:
        return abs(float(a) - float(b)) > TOLERANCE * max(1.0, abs(float(a)))
    except ValueError:
        return a != b


def rows(words):
    columns = ["roof_id", "plan_area_m2", "harvest_dependable_m3", "storage_m3", "replaced_dependable_m3", "pad_elev_m",
               "delivery"]
    database = sqlite3.connect(f"file:{words.gpkg}?mode=ro", uri=True)
    own = database.execute(f"SELECT {', '.join(columns)} FROM roofs").fetchall()
    with open(words.csv, newline="") as lines:
        other = list(csv.DictReader(lines))
    if [row[0] for row in own] != [row["roof_id"] for row in other]:
        sys.exit(f"bench_table.py: {words.gpkg} and {words.csv} hold different roofs, or in another order")
    unlike, by_column = 0, dict.fromkeys(columns, 0)
    for mine, theirs in zip(own, other):
        found = [name for name, value in zip(columns, mine) if differs(value, theirs[name])]
        unlike += bool(found)
        for name in found:
            by_column[name] += 1
    pads = sum(row["pad_elev_m"] != "" for row in other)
    print(f"{len(own)} roofs, {pads} with a pad: {unlike} rows differ by more than {TOLERANCE:g}", end="")
    print("; " + ", ".join(f"{name} {count}" for name, count in by_column.items() if count) if unlike else "")


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    kinds = words.add_subparsers(required=True)
    kind = kinds.add_parser("times")
    kind.add_argument("raw")
    kind.add_argument("--other", default="yardstick")
    kind.add_argument("--kept")
    kind.set_defaults(run=times)
    kind = kinds.add_parser("rows")
    kind.add_argument("gpkg")
    kind.add_argument("csv")
    kind.set_defaults(run=rows)
    words = words.parse_args()
    words.run(words)


if __name__ == "__main__":
    main()
