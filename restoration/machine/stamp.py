"""A mark that the database itself renews with every write to the wiring, whoever writes and by whatever way.

Who keeps the wiring in memory compares the mark before each use. It is drawn by chance and never counted up, so that
the mark of an undone transaction does not come back for another wiring.

SQLite has one writer at a time: its triggers renew the one row. On PostgreSQL one row would make writers wait for one
another, and lock each other out; there each transaction adds a row of its own at its first write and takes away,
without waiting, those it finds. The mark is all the rows that one sees, and while one's own transaction is writing
also a word that each of its writes renews.
"""

from django.db.backends.base.base import BaseDatabaseWrapper

TABLE = "machine_wiringstamp"
# What of each table the wiring in memory is made of.
COLUMNS = {
    "machine_slot": ("id", "rack_id", "design_id"),
    "machine_terminal": ("id", "slot_id", "code"),
    "machine_interconnect": ("id", "source_id", "load_id"),
    "machine_stage": ("id", "design_id", "is_barrier"),
    "machine_stageport": ("id", "stage_id", "terminal", "way"),
}
OWN_WORD = "heaters_on.wiring"

SQLITE_CHANCE, POSTGRESQL_CHANCE = "hex(randomblob(16))", "gen_random_uuid()::text"
SQLITE_RENEW = f"UPDATE {TABLE} SET stamp = {SQLITE_CHANCE};"  # noqa: S608  (no word comes from outside, here and below)
SQLITE_NEVER_WITHOUT = f"""
    CREATE TRIGGER {TABLE}_wiring_delete AFTER DELETE ON {TABLE} WHEN NOT EXISTS (SELECT 1 FROM {TABLE})
    BEGIN INSERT INTO {TABLE} (stamp) VALUES ({SQLITE_CHANCE}); END"""  # noqa: S608
POSTGRESQL_RENEW = f"""
    CREATE OR REPLACE FUNCTION machine_wiring_written() RETURNS trigger AS $$
    BEGIN
      IF coalesce(current_setting('{OWN_WORD}', true), '') = '' THEN
        IF current_setting('transaction_isolation') = 'read committed' THEN
          DELETE FROM {TABLE} WHERE id IN (SELECT id FROM {TABLE} FOR UPDATE SKIP LOCKED);
        END IF;
        INSERT INTO {TABLE} (stamp) VALUES ({POSTGRESQL_CHANCE});
      END IF;
      PERFORM set_config('{OWN_WORD}', {POSTGRESQL_CHANCE}, true);
      RETURN NULL;
    END
    $$ LANGUAGE plpgsql"""  # noqa: S608
SQLITE_READ = f"SELECT coalesce(group_concat(stamp, ' '), '') FROM {TABLE}"  # noqa: S608
POSTGRESQL_READ = (
    f"SELECT coalesce(string_agg(stamp, ' ' ORDER BY id), ''), coalesce(current_setting('{OWN_WORD}', true), '') "  # noqa: S608
    f"FROM {TABLE}"
)


def _trigger(table: str, event: str) -> str:
    return f"{table}_wiring_{event}"


def _sqlite_triggers() -> dict[str, str]:
    made = {f"{TABLE}_wiring_delete": SQLITE_NEVER_WITHOUT}
    for table, columns in COLUMNS.items():
        differs = " OR ".join(f"OLD.{column} IS NOT NEW.{column}" for column in columns)
        events = {"insert": "INSERT", "delete": "DELETE", "update": f"UPDATE OF {', '.join(columns)}"}
        for event, words in events.items():
            when = f"WHEN {differs}" if event == "update" else ""
            name = _trigger(table, event)
            made[name] = f"CREATE TRIGGER {name} AFTER {words} ON {table} {when} BEGIN {SQLITE_RENEW} END"
    return made


def _postgresql_triggers() -> dict[str, str]:
    made = {}
    for table, columns in COLUMNS.items():
        differs = " OR ".join(f"OLD.{column} IS DISTINCT FROM NEW.{column}" for column in columns)
        events = {"insert": "INSERT", "delete": "DELETE", "truncate": "TRUNCATE"}
        for event, words in events.items():
            name = _trigger(table, event)
            made[name] = _postgresql_trigger(name, f"{words} ON {table} FOR EACH STATEMENT")
        name, words = _trigger(table, "update"), f"UPDATE OF {', '.join(columns)} ON {table}"
        made[name] = _postgresql_trigger(name, f"{words} FOR EACH ROW WHEN ({differs})")
    return made


def _postgresql_trigger(name: str, when: str) -> str:
    return f"CREATE TRIGGER {name} AFTER {when} EXECUTE FUNCTION machine_wiring_written()"


def _triggers(connection: BaseDatabaseWrapper) -> dict[str, str]:
    return _postgresql_triggers() if connection.vendor == "postgresql" else _sqlite_triggers()


def install_stamp(connection: BaseDatabaseWrapper) -> None:
    """Set the triggers anew, and a new mark: whatever was read before they stood is not to be trusted."""
    is_postgresql = connection.vendor == "postgresql"
    remove_stamp(connection)
    with connection.cursor() as cursor:
        if is_postgresql:
            cursor.execute(POSTGRESQL_RENEW)
        cursor.execute(f"DELETE FROM {TABLE}")  # noqa: S608
        chance = POSTGRESQL_CHANCE if is_postgresql else SQLITE_CHANCE
        cursor.execute(f"INSERT INTO {TABLE} (stamp) VALUES ({chance})")  # noqa: S608
        for statement in _triggers(connection).values():
            cursor.execute(statement)


def remove_stamp(connection: BaseDatabaseWrapper) -> None:
    """Take the triggers away, for undoing the migration."""
    with connection.cursor() as cursor:
        for name in _triggers(connection):
            table = name.partition("_wiring_")[0]
            on_table = f" ON {table}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")


def stamp_stands(connection: BaseDatabaseWrapper) -> bool:
    """Say whether every trigger is in its place; a table that is made anew loses those of the old one."""
    catalogue = {"postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled = 'O'"}
    sqlite = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    with connection.cursor() as cursor:
        cursor.execute(catalogue.get(connection.vendor, sqlite))
        return set(_triggers(connection)) <= {name for (name,) in cursor.fetchall()}


def read_stamp(connection: BaseDatabaseWrapper) -> str | None:
    """Read the mark of the wiring as this connection sees it now; None where there is none to go by."""
    is_postgresql = connection.vendor == "postgresql"
    with connection.cursor() as cursor:
        cursor.execute(POSTGRESQL_READ if is_postgresql else SQLITE_READ)
        marks, *own_word = cursor.fetchone()
    return " ".join([marks, *own_word]) if marks else None
