"""What each check's value decides: the verdict, why, and what to do now.

Here: a value held against its limits (`held`), what would settle an undecided one (`settle`), tests
with a rule of their own (`pressure`). Not here: what a verdict brings (`job.consequences`).
Start with `judge.judge`.
"""
