"""The API's description, as YAML or as JSON."""

from typing import Any

from drf_spectacular.renderers import (
    OpenApiJsonRenderer,
    OpenApiJsonRenderer2,
    OpenApiYamlRenderer,
    OpenApiYamlRenderer2,
)
from drf_spectacular.views import SpectacularAPIView

from jobs.api.schema import Description


class YamlRenderer(OpenApiYamlRenderer):
    def render(self, data: Any, *args: Any, **named: Any) -> bytes:
        if isinstance(data, Description):
            return data.as_yaml
        refusal: bytes = super().render(data, *args, **named)
        return refusal


class PlainYamlRenderer(YamlRenderer):
    media_type = OpenApiYamlRenderer2.media_type


class DescriptionView(SpectacularAPIView):
    renderer_classes = [
        YamlRenderer,
        PlainYamlRenderer,
        OpenApiJsonRenderer,
        OpenApiJsonRenderer2,
    ]
