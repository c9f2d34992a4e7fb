"""What was put into a job's log, and the state it adds up to.

Here: the facts (`entries`), their JSON (`coding`), the fold (`fold`), how far a group is tightened
(`tightening`), and what outlives a job: gauges, machines, hours (`shop`).
Not here: what any of it means. Start with `fold.fold`.
"""
