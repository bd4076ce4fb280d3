"""The household's books: an append-only journal, and the tables it adds up to.

The journal is the truth. A change is one line of it, on the disk before anybody is told that it
is done. The tables are what all those lines come to; they are kept in a snapshot beside the
journal so that opening is quick, and they can be made again from the journal at any time.

    books.py      the household: opening, asking, writing through one door, taking back
    pages.py      what can be asked, of the household and of a change being prepared
    draft.py      a change being prepared
    records.py    which table holds which kind of record
    shelves.py    the tables in memory
    keeper.py     memory and files kept together: following the journal, snapshots, damage
    journal.py    the journal: lines, seals, torn ends
    storage.py    the snapshot, and TinyDB over the tables
    mending.py    looking the books over, and putting a damaged journal right
    upgrades.py   books of an older program
    disk.py       every touch of the disk, in one place
    troubles.py   what can go wrong, worded for the person
"""
