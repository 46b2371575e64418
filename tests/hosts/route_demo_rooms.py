"""route_demo_rooms.py ROOMLOOM MODELS FOLDER

Routes each demo room into FOLDER/<room> and writes beside it, as expected.json, what plan.json and
lengths.csv say that other programs must find in the models: names, groups, properties, lengths.
"""

import csv
import json
import math
import pathlib
import shutil
import subprocess
import sys


def listed_m(row):
    """The list rounds to five decimals of its unit."""
    return float(row["Drawn (m)"]) if "Drawn (m)" in row else float(row["Drawn (ft)"]) * 0.3048


def run_items(plan, rows):
    items = []
    for run in plan["runs"]:
        if not run["routed"]:
            raise SystemExit(f"run {run['id']} of {plan['name']} has no way")
        drawn = run["drawn_m"]
        if abs(drawn - listed_m(rows[run["id"]])) > 6e-6:
            raise SystemExit(f"lengths.csv says another length of {run['id']}")
        items.append({
            "name": "Run " + run["id"], "obj_name": ("Run " + run["id"]).replace(" ", "_"),
            "group": "Runs", "length_m": drawn,
            # A circle swept along its centreline fills area times length (Pappus' theorem).
            "volume_m3": math.pi / 4 * run["diameter_m"] ** 2 * drawn,
            # Where it bends tighter than its own radius, the tube is drawn in separate pieces.
            "solids": 1 + sum(bend["used_m"] < run["diameter_m"] / 2 for bend in run["bends"]),
            "extras": {"run": run["id"], "from": run["from"], "to": run["to"],
                       "cable": run["cable"], "cut_m": run["cut_m"], "drawn_m": drawn}})
    return items


def hole_items(plan):
    return [{"name": "Hole " + hole["name"], "obj_name": "Hole_" + hole["name"],
             "group": "Crossings", "extras": {"diameter_m": hole["diameter_m"]}}
            for hole in plan["holes"]]


def raceway_items(plan):
    return [{"name": f"Raceway {i}", "obj_name": f"Raceway_{i}", "group": "Raceway",
             "extras": {"size": piece["size"]}}
            for i, piece in enumerate(plan["raceways"], 1)]


def main():
    program, models, folder = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    for job in sorted(models.glob("*/job.json")):
        out = folder / job.parent.name
        shutil.rmtree(out, ignore_errors=True)
        subprocess.run([program, "route", str(job), "-o", str(out), "--effort", "quick",
                        "--no-drawings", "--quiet"], check=True)
        plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
        model = job.parent / json.loads(job.read_text(encoding="utf-8"))["model"]["file"]
        if model.suffix == ".glb":  # what the validator says of the original is not ours
            shutil.copy(model, out / "room.glb")
        with open(out / "lengths.csv", newline="", encoding="utf-8") as text:
            rows = {row["Run"]: row for row in csv.DictReader(text)}
        items = run_items(plan, rows) + hole_items(plan) + raceway_items(plan)
        (out / "expected.json").write_text(json.dumps(items), encoding="utf-8")


main()
