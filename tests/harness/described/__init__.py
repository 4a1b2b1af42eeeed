"""Cases made up from the published description, for tests/test_schemathesis.py."""
