"""A quiet reminder at a time that a student chooses, once a day at most.

Two ways. A file for any calendar (`calendar_file`, RFC 5545), which needs nothing of us once it is
there. Or a message to the device (Web Push: RFC 8030, encrypted by RFC 8291, signed by RFC 8292),
sent by the worker: `sending` finds who is due, by the clock of their studio, and each is claimed in
the database before anything goes out, so that of several workers one sends. Nobody is reminded on
a day on which they have played.

Where messages go comes from the browser, so from whoever pretends to be one: `push_device` takes
https addresses on the usual port alone, and `push_session` hangs up on any machine that is not on
the public internet, whatever name led to it.
"""
