"""A job is its log; everything else is computed from sheet and log.

Here: the facts (`entries`), their JSON (`coding`), the state they add up to (`fold`), what the
readings say (`judge`), what to do next (`plan`), what to get (`parts`), what to set (`settings`),
what forbids the first start (`prestart`), when it is due again (`due`).
Not here: any file, clock or chance; numbers' rules live in the numeric rooms.
Start with `fold.fold`.
"""
