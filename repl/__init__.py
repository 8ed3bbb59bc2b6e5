"""The job language, the command and the shell."""
