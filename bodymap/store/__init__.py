"""The record file: schema, migrations, journal, backup."""
