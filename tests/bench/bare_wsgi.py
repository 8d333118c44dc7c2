"""The product's own server application with the benchmarks' bare view among its addresses."""

from django.conf import settings

from config.wsgi import application

settings.ROOT_URLCONF = "tests.bench.bare"

__all__ = ["application"]
