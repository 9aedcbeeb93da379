"""Every page of a large studio on PostgreSQL, measured: `python -m tests.page_table`.

It fills a database once, keeps it under its own name, and measures on a copy of it; with
`--beside CHECKOUT` on two copies, the other by the code of an older checkout.
"""
