"""The one error the model raises, for whoever asked: what is wrong, where, and what to do."""

__all__ = ["ModelProblem"]


class ModelProblem(Exception):  # noqa: N818 - named for what the API calls it, a problem
    """A request the model cannot or must not answer.

    Attributes
    ----------
    code : str
        Stable word for programs: "out-of-range", "missing-reading", "bad-log", "too-many-readings",
        "no-equilibrium" or "not-converged".
    path : str
        Where in the request, e.g. "$.log[3].teardown"; "$" for the request as a whole.
    detail : str
        A sentence for people: what was expected, what came, what to do.
    """

    def __init__(self, code: str, path: str, detail: str):
        super().__init__(detail + ", at " + path)
        self.code = code
        self.path = path
        self.detail = detail
