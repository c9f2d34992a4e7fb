"""Readings, what they are worth, and what they decide: plain functions on SI floats.

Here: what a gauge and its readings are worth (`gauges`), uncertainty by first order (`estimates`)
and by sampling (`sampling`), temperature (`temperature`), the bore (`bore`), a face (`flatness`),
leaves and gaps (`gaps`), clearance with shared errors (`clearance`), the verdict (`conformance`,
for form values `form`), what would settle it (`settle`), readings that disagree (`consistency`).
Not here: limits and where they stand (`ringland.sheet`), the job's verdict words (`ringland.job`).
Start with `conformance.probability_within`. Nothing is imported here, so that a command which
judges one reading starts without arrays.
"""
