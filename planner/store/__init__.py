"""The season file: schema, migrations, transactions, history."""
