"""The endpoint of each operation, as the router of the API has it."""

from installs.api.urls import router
from installs.operations import Operation


def route_of(operation: Operation) -> str:
    """Method and address, such as `POST /api/v1/beads/{bead}/put-back/`.

    Raises `LookupError` for an operation that has no endpoint.
    """
    lookup = f"{{{operation.changes}}}"
    for prefix, view, _ in router.registry:
        if getattr(view, "model", None) is not operation.model:
            continue
        for route in router.get_routes(view):
            actions = router.get_method_map(view, route.mapping)
            for method, action in actions.items():
                if action == operation.action:
                    path = route.url.format(prefix=prefix, lookup=lookup, trailing_slash="/")
                    return f"{method.upper()} /api/v1/{path.strip('^$')}"
    raise LookupError(f"{operation.name} has no endpoint")
