"""One worker process of the site, asked by lines of JSON: who is reached from a place, and join these two terminals."""

import json
import os
import sys
from typing import Any

import django
from django.db import transaction


def answer(asked: dict[str, Any]) -> dict[str, Any]:
    """Do what is asked and say what came of it."""
    from restoration.engineering.wiring import cone
    from restoration.machine import services
    from restoration.machine.wiring import find_place, wiring_now

    with transaction.atomic():
        if "join" in asked:
            source, load = (services.End(*end.split(":")) for end in asked["join"])
            services.add_interconnect(source=source, load=load, by=None)
        if asked.get("undo"):
            seen = len(wiring_now().links)
            transaction.set_rollback(True)
            return {"pid": os.getpid(), "seen": seen}
    known = wiring_now()
    found = cone(known.graph, known.start(find_place(asked["from"])), down=True)
    return {"pid": os.getpid(), "slots": sorted(known.slot_codes(found.slots)), "kept": id(known)}


def main() -> None:
    """Answer each line until there is none."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "restoration.settings"
    django.setup()
    for line in sys.stdin:
        print(json.dumps(answer(json.loads(line))), flush=True)


if __name__ == "__main__":
    main()
