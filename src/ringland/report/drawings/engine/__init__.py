"""The engine cutaway, drawn from the sheet's own figures, as a table of contents of the job.

Here: the kinematics (`geometry`), the pen (`pen`), castings and moving parts, the marks with their
states (`marks`), what of a job each mark stands for (`contents`). Start with `contents.cutaway`.
"""
