"""What a student's device keeps for places without a network.

Two halves, which know nothing of each other:

- **The queue.** ``logPractice(fields)`` in ``queue.js`` keeps an entry in IndexedDB (``store.js``),
  then sends it (``sync.js``). Exactly once comes of three things: the id is made on the device
  before the first try, and the server logs an id once; what is sent is kept word for word before it
  goes out, so that a second try is the same; an entry leaves the device only when the server has
  answered that it has it. Before sending, the device asks ``/api/device/`` who is signed in and
  what time it is: entries of another student wait, and the day of an entry is that of the server's
  clock (``clock.js``). What the server refuses stays on the device, is listed in My log, and comes
  back into the form. A form that writes into the queue has ``data-log-form`` and
  ``data-variation``; a part of a page that is read anew once something is logged, ``data-fresh``.
- **The worker**, ``worker.js``, started by ``/service-worker.js``, which names the files to keep
  and their version. Each version fills caches of its own before the former ones go. Pages are
  copies made with the header ``X-Offline-Copy``, so that no message is spent on a copy; they are
  shown only while their student is signed in, and deleted when that ends or the link is revoked.
  Pages that should be there without a network are in ``OFTEN`` of `site_files`.

A copy of a page may be shown any number of times: ids of new things are made by scripts, never
taken from the page. An entry may wait for weeks: the API goes on taking what the scripts of an
earlier version send.
"""
