"""The classroom's database: tables, connections, migrations, copies. Knows no rule of a class."""
