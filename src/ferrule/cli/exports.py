"""`export`: a golfer's readings and pictures as files."""

from pathlib import Path
from typing import Any

from ferrule.app.exports import FORMS, readings_file
from ferrule.app.lessons import lesson, lessons
from ferrule.app.sheets import golfer_named
from ferrule.app.workspace import Workspace
from ferrule.errors import InputError, NotFoundError, StoreError

Answer = dict[str, Any]


def written(folder: Path, golfer: str, out: Path, form: str, lesson_id: int | None, pictures: bool) -> Answer:
    """Write readings and pictures into a folder; the data folder may be open in the workbench meanwhile."""
    from ferrule.web.drawings import case_drawings, drawing_file
    from ferrule.web.rest.exports import plain_name

    if form not in (*FORMS, "both"):
        raise InputError.of("choice", "--form", expected=f"{', '.join(FORMS)} or both", got=repr(form))
    forms = FORMS if form == "both" else (form,)
    made: dict[str, bytes] = {}
    with Workspace(folder, read_only=True) as ws:
        who = golfer_named(ws, golfer)
        name = plain_name(who.name)
        if lesson_id is not None and lesson(ws, lesson_id).golfer_id != who.id:
            numbers = ", ".join(str(line.id) for line in lessons(ws, who.id)[:10]) or "none yet"
            raise NotFoundError(f"{who.name} has no lesson {lesson_id}. There are: {numbers}.")
        for each in forms:
            if lesson_id is None:
                made[f"readings-{name}.{each}"] = readings_file(ws, each, golfer_id=who.id)
            else:
                made[f"readings-lesson-{lesson_id}.{each}"] = readings_file(ws, each, lesson_id=lesson_id)
        if pictures:
            drawn = case_drawings(ws, who.id)
            for picture in drawn:
                for kind in ("svg", "png"):
                    made[f"{picture}-{name}.{kind}"] = drawing_file(drawn, picture, kind)
    try:
        out.mkdir(parents=True, exist_ok=True)
        for file, content in made.items():
            (out / file).write_bytes(content)
    except OSError as error:
        raise StoreError(f"{out} could not be written ({error.strerror}). Choose another place.") from None
    return {"schema": 1, "golfer": who.name, "folder": str(out), "files": sorted(made)}


def told(answer: Answer) -> str:
    """What was written where."""
    return "\n".join([f"{answer['golfer']}: {len(answer['files'])} files in {answer['folder']}", *answer["files"]])
