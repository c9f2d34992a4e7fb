"""A job is its log; everything else is computed from sheet and log.

Here, from the ground up: the facts and the state they add up to (`log`), what rules a job (`book`),
what its readings come to (`readings`) and contradict (`disagree`), what that decides (`verdicts`);
all of it together (`case`); what is asked about before it is kept (`slips`), what to do next
(`plan`), to get (`parts`) and to set (`settings`), what forbids the first start (`prestart`), when it
is due again (`due`).
Not here: any file, clock or chance; numbers' rules live in the numeric rooms.
Start with `log.fold.fold`, then `case.case_of`.
"""
