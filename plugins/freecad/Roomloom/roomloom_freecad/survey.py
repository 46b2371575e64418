"""What the program makes of a model by itself: its unit, its up axis, what its parts are."""

import json
import pathlib
import tempfile

from roomloom_files import FIELDS_OF, Told
from roomloom_files.program import ask_program

from . import marks, parts, things

PATIENCE_S = 180
_GUESSED_LATER = ("automatic", "marker")  # nothing that a mark would add to


def _program():
    from .routing import program  # pylint: disable=import-outside-toplevel

    return program().path


def ask(model, job=None):
    """The program's survey of a model file, as it prints it with --json. Raises Told."""
    arguments = ["survey", str(model), "--json"]
    arguments += ["--job", str(job)] if job else []
    status, out, err = ask_program(_program(), arguments, PATIENCE_S)
    try:
        answer = json.loads(out)
        error = answer.get("error")
        if error:
            raise Told(*(str(error.get(key, "")) for key in ("code", "what", "where", "remedy")))
        if status != 0 or "parts" not in answer:
            raise ValueError
        return answer
    except (ValueError, AttributeError):
        raise Told(
            "survey.broken",
            f"The program does not say what the model holds. {err}".strip(),
            str(model),
        ) from None


def guess_marks(document):
    """Marks what is not marked yet as the program understands it, as one undoable step.

    Returns {part's label: (role, why)} of what was marked. Raises Told.
    """
    found, _ = parts.collect(document)
    if not found:
        raise Told("model.empty", "The document holds no room.", document.Label)
    with tempfile.TemporaryDirectory(prefix="roomloom-") as folder:
        folder = pathlib.Path(folder)
        model = parts.write_model(found, folder)
        job = folder / "job.json"
        rules = [
            {"match": part.name, "is": part.mark["is"]}
            for part in found
            if part.mark and part.mark["is"] != "rack"
        ]
        job.write_text(json.dumps({"model": model, "parts": rules}), encoding="utf-8")
        answer = ask(folder / model["file"], job)
    by_name = {part.name: part for part in found}
    # Only now: FreeCAD ends a step when another document opens or closes, and writing does both.
    with things.Step(document, "Guess what parts are"):
        return _mark_as_understood(by_name, answer)


def _mark_as_understood(by_name, answer):
    marked = {}
    for item in answer["parts"]:
        part, role = by_name.get(item["name"]), item.get("is")
        if part is None or part.mark or role in _GUESSED_LATER or role not in FIELDS_OF:
            continue
        build = item.get("build", "unknown")
        known = {"build": build} if role == "wall" and build != "unknown" else {}
        marks.mark(part.thing, role, **known)
        marked[part.thing.Label] = (role, str(item.get("why", "")))
    return marked
