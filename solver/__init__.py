"""The engine: lengths, the model of parts and applications, the answer graph and the judge."""

from .answers import Answers, solve
from .assembly import Assembly
from .finding import Finding, Verdict
from .graph import Graph, GraphSolver, graph_of
from .judge import judge
from .notation import NotationError, parse_length, parse_span
from .setting import JobError, Setting
from .statement import (
    Door,
    Into,
    Keep,
    OfStatus,
    OpeningIs,
    Selective,
    Statement,
    Use,
    Want,
    Without,
    WithoutTrait,
)
from .watch import Deadline, OutOfTime, Watch

__all__ = [
    "Answers",
    "Assembly",
    "Deadline",
    "Door",
    "Finding",
    "Graph",
    "GraphSolver",
    "Into",
    "JobError",
    "Keep",
    "NotationError",
    "OfStatus",
    "OpeningIs",
    "OutOfTime",
    "Selective",
    "Setting",
    "Statement",
    "Use",
    "Verdict",
    "Want",
    "Watch",
    "Without",
    "WithoutTrait",
    "graph_of",
    "judge",
    "parse_length",
    "parse_span",
    "solve",
]
