"""A whole installation in one file, and out of it again, whichever database it has.

The file is gzip of JSON lines (`archive`). `make_backup` writes all rows as one moment saw them
(`snapshot`), and every file that a row names, while others go on writing; `restore_backup` puts
them into an empty installation, and reads each back. Rows are those of the migrations that the
database has had, so that a backup from before an upgrade is restored after it.

Sessions are left out: whoever reads a backup must not be able to go on in one. After restoring,
everybody signs in anew; sign-in links work as before. Sounds are computed again.
"""
