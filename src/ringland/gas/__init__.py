"""Air and gas: what compression and leak tests can and cannot say.

Here: air and mixture (`air`, `mixture`), flow through a hole (`flow`), a machine's own baseline
(`baseline`), crankcase and cooling tests (`pressure_test`, `decay`), cylinder leak-down
(`leakdown`), the cranking model (`cranking`) and its reading (`reading`), and which cause the
evidence points at (`causes`). Pressures are absolute [Pa] unless the name says gauge.
Not here: limits of a sheet, wording of a job, drawing (`ringland.charts`).
Start with `baseline` for a compression reading, `pressure_test` for a leak test.
Import the module you need; this package imports none of them, so that a command starts quickly.
"""
