"""The database itself refuses to change or take out a line of the log book."""

from django.db.backends.base.base import BaseDatabaseWrapper

REFUSAL = "The log book is only ever added to."

SQLITE = {
    "logbook_no_update": f"""
        CREATE TRIGGER logbook_no_update BEFORE UPDATE ON logbook_entry
        BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    "logbook_no_delete": f"""
        CREATE TRIGGER logbook_no_delete BEFORE DELETE ON logbook_entry
        BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    # INSERT OR REPLACE takes a line away without a DELETE that a trigger would see.
    "logbook_next_only": f"""
        CREATE TRIGGER logbook_next_only BEFORE INSERT ON logbook_entry
        WHEN NEW.number <= (SELECT COALESCE(MAX(number), 0) FROM logbook_entry)
          OR EXISTS (SELECT 1 FROM logbook_entry WHERE hash = NEW.hash)
        BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",  # noqa: S608  (no word of it comes from outside)
}
POSTGRESQL_FUNCTION = f"""
    CREATE OR REPLACE FUNCTION logbook_refuse() RETURNS trigger AS $$
    BEGIN RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'integrity_constraint_violation'; END
    $$ LANGUAGE plpgsql"""
POSTGRESQL = {
    "logbook_no_update": """
        CREATE TRIGGER logbook_no_update BEFORE UPDATE OR DELETE ON logbook_entry
        FOR EACH ROW EXECUTE FUNCTION logbook_refuse()""",
    "logbook_no_delete": """
        CREATE TRIGGER logbook_no_delete BEFORE TRUNCATE ON logbook_entry
        FOR EACH STATEMENT EXECUTE FUNCTION logbook_refuse()""",
}


def install_guards(connection: BaseDatabaseWrapper) -> None:
    """Set the triggers that refuse UPDATE and DELETE (and TRUNCATE where there is such a thing)."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(POSTGRESQL_FUNCTION)
        for statement in (POSTGRESQL if connection.vendor == "postgresql" else SQLITE).values():
            cursor.execute(statement)


def remove_guards(connection: BaseDatabaseWrapper) -> None:
    """Take the triggers away: for emptying a test database, and for undoing the migration."""
    suffix = " ON logbook_entry" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        for name in SQLITE:
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{suffix}")
