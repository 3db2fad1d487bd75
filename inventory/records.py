"""The refrigerant book's own guards, beside the one that every final row has.

1. No container gives more than it holds. 2. A movement repeats its entry and its places truly, and a container takes
only its own refrigerant. 3. A closed month takes no entries.
"""

from __future__ import annotations

from shop.records import Guard, guard

_HOLDS = (
    "(SELECT COALESCE(SUM(mass), 0) FROM {table} WHERE target_id = NEW.source_id)"
    " - (SELECT COALESCE(SUM(mass), 0) FROM {table} WHERE source_id = NEW.source_id)"
)
_AGREES = (
    "EXISTS (SELECT 1 FROM inventory_entry e, inventory_place s, inventory_place t"
    " WHERE e.id = NEW.entry_id AND s.code = NEW.source_id AND t.code = NEW.target_id"
    ' AND e."on" = NEW."on" AND e.establishment_id = NEW.establishment_id'
    " AND s.kind = NEW.source_kind AND t.kind = NEW.target_kind"
    " AND NOT EXISTS (SELECT 1 FROM inventory_container c WHERE c.place_id IN (NEW.source_id, NEW.target_id)"
    " AND (c.refrigerant_id <> NEW.refrigerant_id OR c.establishment_id <> NEW.establishment_id)))"
)
_CLOSED = (
    "EXISTS (SELECT 1 FROM inventory_monthclose m WHERE m.establishment_id = NEW.establishment_id"
    ' AND m.last_day >= NEW."on")'
)

guard(
    "inventory.Movement",
    Guard(
        "container gives no more than it holds",
        sqlite=(
            "CREATE TRIGGER {table}_holds BEFORE INSERT ON {table}"
            f" WHEN NEW.source_kind IN ('can', 'cylinder') AND NEW.mass > {_HOLDS} BEGIN"
            " SELECT RAISE(ABORT, 'container gives no more than it holds'); END",
        ),
        postgresql=(
            "CREATE OR REPLACE FUNCTION tarebook_holds() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
            " IF NEW.source_kind NOT IN ('can', 'cylinder') THEN RETURN NEW; END IF;"
            " PERFORM 1 FROM inventory_place WHERE code = NEW.source_id FOR NO KEY UPDATE;"
            f" IF NEW.mass > {_HOLDS} THEN"
            " RAISE EXCEPTION 'container gives no more than it holds' USING ERRCODE = 'check_violation';"
            " END IF; RETURN NEW; END $$",
            "CREATE TRIGGER {table}_holds BEFORE INSERT ON {table}"
            " FOR EACH ROW EXECUTE FUNCTION tarebook_holds()",
        ),
    ),
)
guard(
    "inventory.Movement",
    Guard(
        "movement repeats its entry and its places",
        sqlite=(
            "CREATE TRIGGER {table}_agrees BEFORE INSERT ON {table}"
            f" WHEN NOT {_AGREES} BEGIN"
            " SELECT RAISE(ABORT, 'movement disagrees with its entry or its places'); END",
        ),
        postgresql=(
            "CREATE OR REPLACE FUNCTION tarebook_agrees() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
            f" IF NOT {_AGREES} THEN"
            " RAISE EXCEPTION 'movement disagrees with its entry or its places' USING ERRCODE = 'check_violation';"
            " END IF; RETURN NEW; END $$",
            "CREATE TRIGGER {table}_agrees BEFORE INSERT ON {table}"
            " FOR EACH ROW EXECUTE FUNCTION tarebook_agrees()",
        ),
    ),
)
# On the movements too: an entry that is already there takes no more of them once its month is closed.
_OPEN_MONTH = Guard(
    "closed month takes no entries",
    sqlite=(
        "CREATE TRIGGER {table}_open_month BEFORE INSERT ON {table}"
        f" WHEN {_CLOSED} BEGIN SELECT RAISE(ABORT, 'closed month takes no entries'); END",
    ),
    postgresql=(
        "CREATE OR REPLACE FUNCTION tarebook_open_month() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
        f" IF {_CLOSED} THEN"
        " RAISE EXCEPTION 'closed month takes no entries' USING ERRCODE = 'check_violation';"
        " END IF; RETURN NEW; END $$",
        "CREATE TRIGGER {table}_open_month BEFORE INSERT ON {table}"
        " FOR EACH ROW EXECUTE FUNCTION tarebook_open_month()",
    ),
)
guard("inventory.Entry", _OPEN_MONTH)
guard("inventory.Movement", _OPEN_MONTH)
