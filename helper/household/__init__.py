"""The household's books: an append-only journal, and the tables it adds up to.

The journal is the truth. A change is one line of it, on the disk before anybody is told that it
is done. The tables are what all those lines come to; they are kept in a snapshot beside the
journal so that opening is quick, and they can be made again from the journal at any time.

    journal.py   the journal: lines, seals, torn ends
    storage.py   the tables, as a TinyDB storage that is written whole or not at all
    records.py   which table holds which kind of record
    pages.py     what can be asked of the books
    draft.py     a change being prepared
    books.py     the household: opening, writing, undoing
    disk.py      every touch of the disk, in one place
    upgrades.py  books of an older program
    troubles.py  what can go wrong, worded for the person
"""
