from quotes.models.requests import Opening, Request

__all__ = ["Opening", "Request"]
