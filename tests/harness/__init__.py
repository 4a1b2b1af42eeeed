"""What the tests share: the program, a shop system that talks to it, documents, and PDF tools."""
