"""The endpoint of each operation, as the router of the API has it."""

from installs.api.urls import router as of_the_fitting
from jobs.operations import Operation
from surveys.api.urls import router as of_surveys


def route_of(operation: Operation) -> str:
    """Method and address, such as `POST /api/v1/beads/{bead}/put-back/`.

    Raises `LookupError` for an operation that has no endpoint.
    """
    lookup = f"{{{operation.changes}}}"
    registered = [*of_the_fitting.registry, *of_surveys.registry]
    for prefix, view, _ in registered:
        if getattr(view, "model", None) is not operation.model:
            continue
        for route in of_the_fitting.get_routes(view):
            actions = of_the_fitting.get_method_map(view, route.mapping)
            for method, action in actions.items():
                if action == operation.action:
                    path = route.url.format(prefix=prefix, lookup=lookup, trailing_slash="/")
                    return f"{method.upper()} /api/v1/{path.strip('^$')}"
    raise LookupError(f"{operation.name} has no endpoint")
